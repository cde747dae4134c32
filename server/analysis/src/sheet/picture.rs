//! The days around the worst gap, hour by hour: what the terminal and the drawing show.

use super::When;
use crate::drift::{DriftRun, Prediction, ZoneDrift};
use air::drift::HumidityLimit;
use air::{Celsius, Fahrenheit, MoistAir};
use model::UnitOfMeasure;
use serde::Serialize;

/// Hours shown before and after the gap.
const MARGIN: usize = 24;
/// Hours shown where no gap is above its limit.
const WEEK: usize = 7 * 24;
/// Most hours shown: two weeks.
const MOST: usize = 2 * WEEK;

/// One hour, temperatures on the zone's own scale.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PictureHour {
    /// Dew point of the zone at its end.
    pub dew_point: f64,
    /// The dew point that the strictest limit means then.
    pub limit: Option<f64>,
    /// Whether some unit may dry the zone.
    pub may_dry: bool,
}

/// Some hours in a row.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Picture {
    /// The first moment.
    pub from: When,
    /// The moment behind the last hour.
    pub to: When,
    /// The hours.
    pub hours: Vec<PictureHour>,
    /// The scale of their temperatures: `°F`.
    pub scale: String,
}

impl Picture {
    /// Nothing where nothing was predicted.
    pub(super) fn of(zone: &ZoneDrift<'_>, prediction: &Prediction) -> Option<Picture> {
        let runs = zone.runs().ok()?;
        let start = zone.instant(0);
        let hour = |instant: i64| ((instant - start).max(0) / 3600) as usize;
        let (first, last) = match &prediction.worst_gap {
            Some(gap) => (hour(gap.gap.from), hour(gap.gap.to)),
            None => {
                let dampest = |run: &DriftRun| {
                    let hours = run.drift.hours.iter().enumerate();
                    let ratio = |air: &MoistAir| air.humidity_ratio().0;
                    let most = hours.max_by(|a, b| ratio(a.1).total_cmp(&ratio(b.1)))?;
                    Some((run.first + most.0, ratio(most.1)))
                };
                let all = runs.iter().filter_map(dampest);
                let (at, _) = all.max_by(|a, b| a.1.total_cmp(&b.1))?;
                (at.saturating_sub(WEEK / 2 - MARGIN), at + WEEK / 2 - MARGIN)
            }
        };
        let run = runs.iter().find(|run| run.first <= first && first < run.first + run.drift.hours.len())?;
        let from = first.saturating_sub(MARGIN).max(run.first);
        let to = (last + MARGIN).min(from + MOST).min(run.first + run.drift.hours.len());
        let scale = zone.scale();
        let hours = (from..to).filter_map(|hour| {
            let air = run.drift.hours.get(hour - run.first)?;
            let kind = zone.conditioning.at(hour)?;
            let limits = kind.criteria.iter().filter_map(|n| dew_point(zone.criteria.get(*n)?.limit, air));
            let limit = limits.min_by(|a, b| a.0.total_cmp(&b.0));
            Some(PictureHour {
                dew_point: on(scale, air.dew_point()),
                limit: limit.map(|limit| on(scale, limit)),
                may_dry: kind.may_dry,
            })
        });
        let (hours, from) = (hours.collect::<Vec<_>>(), zone.instant(from));
        let when = |unix| When::of(&zone.period, unix);
        let to = when(from + 3600 * hours.len() as i64);
        Some(Picture { from: when(from), to, hours, scale: scale.symbol().to_owned() })
    }

    /// The lowest and the highest temperature in it, to whole degrees outward, never the same.
    pub fn range(&self) -> (f64, f64) {
        let values = || self.hours.iter().flat_map(|h| [Some(h.dew_point), h.limit]).flatten();
        let low = values().fold(f64::INFINITY, f64::min).floor();
        let high = values().fold(f64::NEG_INFINITY, f64::max).ceil();
        (low, high.max(low + 1.0))
    }
}

/// The dew point that a limit means in this air.
fn dew_point(limit: HumidityLimit, air: &MoistAir) -> Option<Celsius> {
    match limit {
        HumidityLimit::DewPoint(limit) => Some(limit),
        HumidityLimit::RelativeHumidity(limit) => air::dew_point(air.dry_bulb(), limit).ok(),
        HumidityLimit::HumidityRatio(limit) => {
            let air = MoistAir::from_humidity_ratio(air.dry_bulb(), limit, air.pressure());
            air.ok().map(|air| air.dew_point())
        }
    }
}

fn on(scale: UnitOfMeasure, temperature: Celsius) -> f64 {
    if scale == UnitOfMeasure::Fahrenheit { Fahrenheit::from(temperature).0 } else { temperature.0 }
}
