//! What a zone's dew point is predicted to be, week by week. It proves nothing.

use super::Locate;
use super::words::short_moment;
use super::year::{days_around, weekday};
use crate::analysis::Analysis;
use crate::drift::ZoneDrift;
use crate::unit::UnitAnalysis;
use air::drift::HumidityLimit;
use air::{Celsius, Fahrenheit};
use calendar::{Date, LocalTime};
use model::UnitOfMeasure;
use serde::Serialize;

/// A year of a zone's predicted dew point.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct DewPoints<P> {
    /// The scale of its temperatures: `°F`.
    pub scale: String,
    /// The weather in words.
    pub weather: String,
    /// The highest dew point of each week, Monday first; nothing where the weather has no reading.
    pub weeks: Vec<Option<f64>>,
    /// Whether a limit is passed in the week.
    pub above: Vec<bool>,
    /// The strictest limit that is a dew point.
    pub limit: Option<DewPointLimit<P>>,
    /// Hours above a limit, over the whole period.
    pub hours_above: usize,
    /// Of those, hours in which nothing may dry the zone.
    pub hours_above_in_gaps: usize,
    /// Hours for which the weather has no reading.
    pub missing_hours: usize,
    /// Hours predicted.
    pub hours: usize,
    /// The highest of the year.
    pub highest: Option<DewPointPeak>,
}

/// What a zone's dew point is held to.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct DewPointLimit<P> {
    /// On the scale of the prediction.
    pub value: f64,
    /// Who asks for it: `the requirement`, or a document.
    pub source: String,
    /// Where it is written; nothing for a published limit.
    pub at: Option<P>,
}

/// The highest dew point.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct DewPointPeak {
    /// On the scale of the prediction.
    pub value: f64,
    /// When: `Mon May 17 08:00`.
    pub at: String,
    /// The week, counted from the first.
    pub week: usize,
}

impl<P> DewPoints<P> {
    /// Nothing where there is no weather, or nothing can be predicted for the zone.
    pub(super) fn of(
        over: &Analysis<'_, '_>,
        analysis: &UnitAnalysis<'_>,
        shown: Date,
        locate: Locate<'_, P>,
    ) -> Option<DewPoints<P>> {
        let zone = over.drift(over.view.find(&model::Name::new(analysis.zone?.name()))?)?;
        let prediction = zone.prediction(over.memo)?;
        if prediction.hours == 0 {
            return None;
        }
        let runs = zone.runs().ok()?;
        let days = days_around(analysis, shown);
        let first = *days.first()?;
        let start = zone.period.instant(LocalTime { date: first, minute: 0 })?;
        let count = (weekday(first) + days.len()).div_ceil(7);
        let scale = zone.scale();
        let (mut weeks, mut above): (Vec<Option<f64>>, _) = (vec![None; count], vec![false; count]);
        let mut highest: Option<DewPointPeak> = None;
        let base = start - 24 * 3600 * weekday(first) as i64;
        for run in &runs {
            for (n, air) in run.drift.hours.iter().enumerate() {
                let at = zone.instant(run.first + n);
                // A clock change moves an hour of midnight into the week before.
                let Some(week) = usize::try_from((at - base).div_euclid(7 * 24 * 3600)).ok() else {
                    continue;
                };
                let Some(slot) = weeks.get_mut(week).filter(|_| at >= start) else { continue };
                let value = on(scale, air.dew_point());
                if slot.is_none_or(|known| known < value) {
                    *slot = Some(value);
                }
                if highest.as_ref().is_none_or(|known| known.value < value) {
                    let at = short_moment(&zone.period, at + 3600);
                    highest = Some(DewPointPeak { value, at, week });
                }
                let held = zone.conditioning.at(run.first + n).map_or(&[][..], |kind| &kind.criteria);
                let passed =
                    held.iter().any(|n| zone.criteria.get(*n).is_some_and(|h| h.limit.excess(air) > 0.0));
                if let (true, Some(above)) = (passed, above.get_mut(week)) {
                    *above = true;
                }
            }
        }
        let site = &zone.outdoors.weather;
        let station = &site.weather.station.name;
        Some(DewPoints {
            scale: scale.symbol().to_owned(),
            weather: site.file.as_ref().map_or_else(|| station.clone(), ToString::to_string),
            weeks,
            above,
            limit: limit(&zone, scale, locate),
            hours_above: prediction.above,
            hours_above_in_gaps: prediction.above_in_gaps,
            missing_hours: zone.outdoors.missing.len(),
            hours: prediction.hours,
            highest,
        })
    }
}

fn limit<P>(zone: &ZoneDrift<'_>, scale: UnitOfMeasure, locate: Locate<'_, P>) -> Option<DewPointLimit<P>> {
    let dew_points = zone.criteria.iter().filter_map(|held| match held.limit {
        HumidityLimit::DewPoint(limit) => Some((on(scale, limit), held)),
        _ => None,
    });
    let (value, held) = dew_points.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let at = held.place.as_ref().and_then(locate);
    Some(DewPointLimit { value, source: held.source.clone(), at })
}

/// A temperature on a zone's own scale.
pub(super) fn on(scale: UnitOfMeasure, temperature: Celsius) -> f64 {
    if scale == UnitOfMeasure::Fahrenheit { Fahrenheit::from(temperature).0 } else { temperature.0 }
}
