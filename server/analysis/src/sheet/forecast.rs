//! What a zone's air is predicted to do. It proves nothing.

use super::{Days, Picture, When};
use crate::analysis::Analysis;
use crate::drift::{Prediction, SurfacePeak, WorstHour, ZoneDrift, weather};
use crate::memo::Memo;
use crate::words::degrees_words;
use model::{Kind, Name, View, Zone};
use serde::Serialize;

/// The prediction for a zone.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Forecast {
    /// The zone.
    pub zone: String,
    /// The review period.
    pub period: Days,
    /// The weather in words: its file and station, or the constant state.
    pub weather: String,
    /// Hours for which the weather has no reading.
    pub missing_hours: usize,
    /// What the zone is held to.
    pub held_to: Vec<HeldTo>,
    /// The surface humidity from which mould may grow, in %RH; nothing where the site sets none.
    pub mould: Option<f64>,
    /// What comes of it.
    pub result: Figures,
    /// With half the infiltration.
    pub tight: Figures,
    /// With twice the infiltration.
    pub leaky: Figures,
    /// All that is taken for granted.
    pub assumptions: Vec<Assumption>,
    /// The days around the worst gap.
    pub picture: Option<Picture>,
}

/// A limit of a zone's humidity.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct HeldTo {
    /// The limit in words.
    pub limit: String,
    /// Where it comes from.
    pub source: String,
}

/// Something taken for granted.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Assumption {
    /// What it is.
    pub name: String,
    /// The value with its unit.
    pub value: String,
    /// Where it comes from.
    pub source: String,
    /// Whether the job does not set it.
    pub default: bool,
}

/// The figures of a prediction.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Figures {
    /// Hours predicted.
    pub hours: usize,
    /// Hours above a limit.
    pub above: usize,
    /// Of those, hours in which nothing may dry the zone.
    pub above_in_gaps: usize,
    /// The hour furthest above a limit.
    pub worst_hour: Option<HourAbove>,
    /// The gap that ends up furthest above a limit.
    pub worst_gap: Option<GapAbove>,
    /// The highest mean over thirty days at the coldest surface.
    pub surface: Option<SurfaceMean>,
}

/// An hour above a limit.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct HourAbove {
    /// When it ends.
    pub at: When,
    /// °C.
    pub dew_point: f64,
    /// The dew point on the zone's own scale, in words.
    pub dew_point_words: String,
    /// %RH.
    pub relative_humidity: f64,
    /// The limit, in words.
    pub limit: Option<String>,
}

/// A gap that ends above a limit.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct GapAbove {
    /// Its begin.
    pub from: When,
    /// Its end.
    pub to: When,
    /// Its length in hours.
    pub hours: f64,
    /// Hours until the limit is passed.
    pub crosses_after: f64,
    /// Its hour furthest above.
    pub worst: HourAbove,
}

/// A mean over days at a surface.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SurfaceMean {
    /// When the days end.
    pub until: When,
    /// How many days.
    pub days: usize,
    /// %RH.
    pub relative_humidity: f64,
    /// °C.
    pub temperature: f64,
    /// The temperature on the zone's own scale, in words.
    pub temperature_words: String,
    /// Whether mould may grow.
    pub favours_mould: bool,
}

impl Forecast {
    /// The prediction for a zone.
    ///
    /// # Errors
    /// Why there is none, in plain words.
    pub fn of(view: &View<'_>, memo: &Memo, name: &str) -> Result<Forecast, String> {
        let zone = zone(view, memo, name)?;
        let with = |times| {
            zone.prediction_with(memo, times).ok_or_else(|| {
                format!("nothing can be predicted for `{name}` at {times} times its infiltration")
            })
        };
        let (prediction, tight, leaky) = (with(1.0)?, with(0.5)?, with(2.0)?);
        if prediction.hours == 0 {
            return Err(format!(
                "nothing can be predicted for `{name}`: the weather has no hour of the review period"
            ));
        }
        let site = &zone.outdoors.weather;
        let station = &site.weather.station.name;
        let criteria = zone.criteria.iter();
        let taken = zone.room.taken.iter();
        Ok(Forecast {
            zone: name.to_owned(),
            period: Days::of(&zone.period),
            weather: site.file.as_ref().map_or_else(|| station.clone(), |file| format!("{file} ({station})")),
            missing_hours: zone.outdoors.missing.len(),
            held_to: criteria.map(|h| HeldTo { limit: h.words.clone(), source: h.source.clone() }).collect(),
            mould: zone.mould.map(air::RelativeHumidity::percent),
            result: figures(&zone, &prediction),
            tight: figures(&zone, &tight),
            leaky: figures(&zone, &leaky),
            assumptions: taken
                .map(|taken| Assumption {
                    name: taken.name.to_owned(),
                    value: taken.value.clone(),
                    source: taken.source.clone(),
                    default: taken.default,
                })
                .collect(),
            picture: Picture::of(&zone, &prediction),
        })
    }
}

/// A zone that something can be predicted for.
fn zone<'j>(view: &View<'j>, memo: &Memo, name: &str) -> Result<ZoneDrift<'j>, String> {
    let Some(found) = view.find::<Zone>(&Name::new(name)) else {
        let near = view.near(Kind::Zone, name);
        let hint = near.first().map_or_else(String::new, |near| format!(" Did you mean `{near}`?"));
        return Err(format!("This job has no zone `{name}`.{hint}"));
    };
    if weather(view, memo).is_none() {
        if view.site_field("weather").is_some() {
            return Err(
                "the weather that the site names cannot be read; `drycall review` says why".to_owned()
            );
        }
        return Err(
            "there is no weather to predict by; name a TMY2, TMY3 or EPW file inside the job folder \
                    (`site: {weather: {file: …}}`), or a constant state (`dry-bulb` and `dew-point`)"
                .to_owned(),
        );
    }
    let over = Analysis::of_review(view, memo);
    let zone = over.and_then(|over| over.drift(found)).ok_or_else(|| {
        format!(
            "nothing can be predicted for `{name}`: no unit that dries serves it, or something about it \
             cannot be told; `drycall review` says more"
        )
    })?;
    // The equations refuse numbers that no room can have.
    zone.runs().map_err(|why| format!("nothing can be predicted for `{name}`: {why}"))?;
    Ok(zone)
}

fn figures(zone: &ZoneDrift<'_>, figures: &Prediction) -> Figures {
    let when = |unix| When::of(&zone.period, unix);
    let degrees = |t| degrees_words(t, zone.scale());
    let hour = |hour: &WorstHour| HourAbove {
        at: when(hour.at),
        dew_point: hour.dew_point().0,
        dew_point_words: degrees(hour.dew_point()),
        relative_humidity: hour.air.relative_humidity().percent(),
        limit: zone.criteria.get(hour.criterion).map(|criterion| criterion.words.clone()),
    };
    Figures {
        hours: figures.hours,
        above: figures.above,
        above_in_gaps: figures.above_in_gaps,
        worst_hour: figures.worst.as_ref().map(hour),
        worst_gap: figures.worst_gap.as_ref().map(|gap| GapAbove {
            from: when(gap.gap.from),
            to: when(gap.gap.to),
            hours: gap.gap.hours(),
            crosses_after: gap.crosses_after,
            worst: hour(&gap.worst),
        }),
        surface: figures.surface.as_ref().map(|peak| SurfaceMean {
            until: when(peak.until),
            days: SurfacePeak::DAYS,
            relative_humidity: peak.mean.humidity.percent(),
            temperature: peak.mean.temperature.0,
            temperature_words: degrees(peak.mean.temperature),
            favours_mould: figures.mould.is_some(),
        }),
    }
}
