//! A prediction for programs.

use analysis::sheet::{Figures, Forecast};
use serde_json::{Value, json};

/// The prediction for a zone. Temperatures in °C, humidities in %RH, times as Unix seconds.
pub fn drift_json(forecast: &Forecast) -> Value {
    json!({
        "format": 1,
        "zone": forecast.zone,
        "prediction": true,
        "weather": forecast.weather,
        "missing-hours": forecast.missing_hours,
        "held-to": forecast.held_to,
        "result": figures(&forecast.result),
        "infiltration-times-0.5": figures(&forecast.tight),
        "infiltration-times-2": figures(&forecast.leaky),
        "assumptions": forecast.assumptions,
    })
}

fn figures(figures: &Figures) -> Value {
    let worst_hour = figures.worst_hour.as_ref().map(|worst| {
        json!({
            "at": worst.at.unix,
            "dew-point": worst.dew_point,
            "relative-humidity": worst.relative_humidity,
            "limit": worst.limit,
        })
    });
    let worst_gap = figures.worst_gap.as_ref().map(|gap| {
        json!({
            "from": gap.from.unix,
            "to": gap.to.unix,
            "passes-after-hours": gap.crosses_after,
            "dew-point": gap.worst.dew_point,
            "limit": gap.worst.limit,
        })
    });
    let surface = figures.surface.as_ref().map(|peak| {
        json!({
            "until": peak.until.unix,
            "relative-humidity": peak.relative_humidity,
            "temperature": peak.temperature,
            "favours-mould": peak.favours_mould,
        })
    });
    json!({
        "hours": figures.hours,
        "hours-above": figures.above,
        "hours-above-in-gaps": figures.above_in_gaps,
        "worst-hour": worst_hour,
        "worst-gap": worst_gap,
        "surface-mean-of-30-days": surface,
    })
}
