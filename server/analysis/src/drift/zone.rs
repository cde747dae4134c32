//! A zone as a prediction sees it.

use super::hours::{Conditioning, conditioning};
use super::outdoors::Outdoors;
use super::requirement::{HumidityCriterion, humidity_criteria};
use super::room::{Room, room};
use crate::analysis::Analysis;
use air::drift::{Drift, predict};
use air::{Celsius, MoistAir, OutOfRange, RelativeHumidity};
use calendar::Period;
use model::{Found, LimitKey, Unit, UnitOfMeasure, View, Zone};
use std::sync::Arc;

/// All that a zone's prediction rests on.
pub struct ZoneDrift<'j> {
    pub zone: Found<'j, Zone>,
    pub period: Arc<Period>,
    /// Outdoor air, hour by hour.
    pub outdoors: Arc<Outdoors>,
    /// What the thermostat and the units do, hour by hour.
    pub conditioning: Conditioning,
    /// The room, with what was taken for granted.
    pub room: Room,
    /// The most humidity that the zone may have.
    pub criteria: Vec<HumidityCriterion>,
    /// The surface humidity from which mould may grow; nothing where the site sets none.
    pub mould: Option<RelativeHumidity>,
}

/// A run of hours for which the weather has readings, from this hour of the period on.
pub struct DriftRun {
    /// First hour, counted from the start of the period.
    pub first: usize,
    /// Its hours.
    pub drift: Drift,
}

impl<'j> Analysis<'_, 'j> {
    /// A zone as a prediction sees it. Nothing where there is no weather, where no unit serves the zone, or
    /// where something about it is not known, which checks report.
    pub fn drift(&self, zone: Found<'j, Zone>) -> Option<ZoneDrift<'j>> {
        let outdoors = self.outdoors()?;
        if zone.entry.facts.doubtful() {
            return None;
        }
        let criteria = humidity_criteria(self.view, zone);
        let (conditioning, units) = conditioning(self, zone, &criteria)?;
        let mould = self.view.limit("surface-humidity").map(|l| RelativeHumidity::from_percent(l.value.si()));
        let period = self.over.clone();
        Some(ZoneDrift { zone, period, outdoors, conditioning, room: room(zone, &units), criteria, mould })
    }
}

impl ZoneDrift<'_> {
    /// The hours themselves, not kept. An error where the zone is one that the equations do not know.
    pub fn runs(&self) -> Result<Vec<DriftRun>, OutOfRange> {
        self.runs_in(&self.room.air)
    }

    pub(super) fn runs_in(&self, room: &air::drift::ZoneModel) -> Result<Vec<DriftRun>, OutOfRange> {
        let mut runs = Vec::new();
        for (first, air) in self.outdoors.runs() {
            let Some(start) = self.start(first, air) else { continue };
            let drift = predict(room, start, air, |hour| {
                self.conditioning.at(first + hour).map(|kind| kind.conditions).unwrap_or_default()
            })?;
            runs.push(DriftRun { first, drift });
        }
        Ok(runs)
    }

    /// Air between the setpoints at 50 %RH: what it was before is forgotten within days.
    fn start(&self, hour: usize, outdoors: &[MoistAir]) -> Option<MoistAir> {
        let conditions = self.conditioning.at(hour)?.conditions;
        let dry_bulb = match (conditions.heat_below, conditions.cool_above) {
            (Some(heat), Some(cool)) => Celsius(f64::midpoint(heat.0, cool.0)),
            (Some(only), None) | (None, Some(only)) => only,
            (None, None) => outdoors.first()?.dry_bulb(),
        };
        let half = RelativeHumidity::from_percent(50.0);
        MoistAir::from_relative_humidity(dry_bulb, half, outdoors.first()?.pressure()).ok()
    }

    /// °F or °C, as the zone writes its setpoints.
    pub fn scale(&self) -> UnitOfMeasure {
        let [heat, cool] = LimitKey::SETPOINTS;
        let mut setpoints = self.zone.is.each_limits().flat_map(|l| [l.value(cool), l.value(heat)]).flatten();
        setpoints.next().map_or(UnitOfMeasure::Fahrenheit, |setpoint| setpoint.value.unit)
    }

    /// The units that can dry the zone, at other hours than those in a gap.
    pub fn drying_units<'v>(&self, view: &View<'v>) -> Vec<Found<'v, Unit>> {
        self.conditioning.drying.iter().filter_map(|name| view.find(name)).collect()
    }

    /// The moment at which an hour of the period begins, in Unix seconds.
    pub fn instant(&self, hour: usize) -> i64 {
        self.period.start() + 3600 * hour as i64
    }
}
