//! A prediction for programs.

use super::predicted;
use analysis::drift::{Prediction, ZoneDrift};
use model::View;
use serde_json::{Value, json};
use workspace::Workspace;

/// The prediction for a zone. Temperatures in °C, humidities in %RH, times as Unix seconds.
///
/// # Errors
/// Why there is none, in plain words.
pub fn drift_json(workspace: &Workspace, name: &str) -> Result<Value, String> {
    let view = View::new(workspace.job());
    let predicted = predicted(&view, workspace, name)?;
    let zone = &predicted.zone;
    let held: Vec<Value> =
        zone.held.iter().map(|held| json!({"limit": held.words, "source": held.source})).collect();
    let taken = zone.room.taken.iter().map(|taken| {
        json!({"name": taken.name, "value": taken.value, "source": taken.source, "default": taken.default})
    });
    Ok(json!({
        "format": 1,
        "zone": name,
        "prediction": true,
        "weather": predicted.weather(),
        "missing-hours": zone.outdoors.missing.len(),
        "held-to": held,
        "result": figures(zone, &predicted.prediction),
        "infiltration-times-0.5": figures(zone, &predicted.tight),
        "infiltration-times-2": figures(zone, &predicted.leaky),
        "assumptions": taken.collect::<Vec<Value>>(),
    }))
}

fn figures(zone: &ZoneDrift<'_>, figures: &Prediction) -> Value {
    let limit = |held: usize| zone.held.get(held).map(|held| held.words.clone());
    let worst_hour = figures.worst.map(|worst| {
        json!({
            "at": worst.at,
            "dew-point": worst.dew_point().0,
            "relative-humidity": worst.air.relative_humidity().percent(),
            "limit": limit(worst.held),
        })
    });
    let worst_gap = figures.worst_gap.as_ref().map(|gap| {
        json!({
            "from": gap.gap.from,
            "to": gap.gap.to,
            "passes-after-hours": gap.crosses_after,
            "dew-point": gap.worst.dew_point().0,
            "limit": limit(gap.worst.held),
        })
    });
    let surface = figures.surface.map(|peak| {
        json!({
            "until": peak.until,
            "relative-humidity": peak.mean.humidity.percent(),
            "temperature": peak.mean.temperature.0,
            "favours-mould": figures.mould.is_some(),
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
