//! What a zone's air does over the review period, above all while nothing may dry it. A prediction from
//! weather of a typical year and from assumptions that are printed: it proves nothing, unlike a verdict.

mod hours;
mod outdoors;
mod prediction;
mod requirement;
mod room;

pub use hours::{Conditioning, HourKind, conditioning};
pub use outdoors::{Outdoors, SiteWeather, outdoors, read_weather, weather};
pub use prediction::{Prediction, SurfacePeak, WorstGap, WorstHour};
pub use requirement::{Held, held_to};
pub use room::{Room, Taken, room};

use crate::memo::Memo;
use air::drift::{Drift, predict};
use air::{Celsius, MoistAir, OutOfRange, RelativeHumidity};
use calendar::Period;
use model::{Found, Measured, Unit, View, Zone};
use std::sync::Arc;

/// All that a zone's prediction rests on.
pub struct ZoneDrift<'j> {
    /// The zone.
    pub zone: Found<'j, Zone>,
    /// The review period.
    pub period: Arc<Period>,
    /// Outdoor air, hour by hour.
    pub outdoors: Arc<Outdoors>,
    /// What the thermostat and the units do, hour by hour.
    pub conditioning: Conditioning,
    /// The room, with what was taken for granted.
    pub room: Room,
    /// What the zone is held to.
    pub held: Vec<Held>,
    /// The surface humidity from which mould may grow; nothing where the site sets none.
    pub mould: Option<RelativeHumidity>,
}

/// A run of hours for which the weather has readings, from this hour of the period on.
pub struct Run {
    /// First hour, counted from the start of the period.
    pub first: usize,
    /// Its hours.
    pub drift: Drift,
}

/// A zone as a prediction sees it. Nothing where there is no weather, where no unit serves the zone, or
/// where something about it cannot be told, which checks report.
pub fn drift<'j>(view: &View<'j>, memo: &Memo, zone: Found<'j, Zone>) -> Option<ZoneDrift<'j>> {
    let outdoors = outdoors(view, memo)?;
    if zone.entry.facts.doubtful() {
        return None;
    }
    let held = held_to(view, zone);
    let (conditioning, units) = conditioning(view, memo, zone, &held)?;
    let mould = view.limit("surface-humidity").map(|l| RelativeHumidity::from_percent(l.value.si()));
    Some(ZoneDrift {
        zone,
        period: crate::time::period(view, memo)?,
        outdoors,
        conditioning,
        room: room(zone, &units),
        held,
        mould,
    })
}

impl ZoneDrift<'_> {
    /// The prediction, worked out once for all zones that are alike.
    pub fn prediction(&self, memo: &Memo) -> Option<Arc<Prediction>> {
        self.prediction_with(memo, 1.0)
    }

    /// The prediction with the infiltration multiplied, for a sensitivity line.
    pub fn prediction_with(&self, memo: &Memo, infiltration: f64) -> Option<Arc<Prediction>> {
        let room = self.room.air.with_infiltration_times(infiltration);
        // All that the answer depends on but the weather and the hours; numbers are written out in full.
        let setup =
            format!("{room:?} {:?} {:?} {:?}", self.conditioning.kinds, self.held_limits(), self.mould);
        let key = (Arc::as_ptr(&self.outdoors) as usize, setup, self.conditioning.hours.clone());
        memo.prediction(key, &self.outdoors, || {
            let runs = self.runs_in(&room).ok()?;
            Some(Prediction::of(self, &runs))
        })
    }

    /// The hours themselves, not kept. An error where the zone is one that the equations do not know.
    pub fn runs(&self) -> Result<Vec<Run>, OutOfRange> {
        self.runs_in(&self.room.air)
    }

    fn runs_in(&self, room: &air::drift::Zone) -> Result<Vec<Run>, OutOfRange> {
        let mut runs = Vec::new();
        for (first, air) in self.outdoors.runs() {
            let Some(start) = self.start(first, air) else { continue };
            let drift = predict(room, start, air, |hour| {
                self.conditioning.at(first + hour).map(|kind| kind.conditions).unwrap_or_default()
            })?;
            runs.push(Run { first, drift });
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
    pub fn scale(&self) -> Measured {
        let limits = [&self.zone.is.occupied, &self.zone.is.unoccupied].into_iter().flatten();
        let mut setpoints = limits.flat_map(|l| [l.cool_above, l.heat_below]).flatten();
        setpoints.next().map_or(Measured::Fahrenheit, |setpoint| setpoint.value.unit)
    }

    /// The units that can dry the zone, at other hours than those in a gap.
    pub fn drying_units<'v>(&self, view: &View<'v>) -> Vec<Found<'v, Unit>> {
        self.conditioning.drying.iter().filter_map(|name| view.find(name)).collect()
    }

    fn held_limits(&self) -> Vec<air::drift::HumidityLimit> {
        self.held.iter().map(|held| held.limit).collect()
    }

    /// The moment at which an hour of the period begins, in Unix seconds.
    pub fn instant(&self, hour: usize) -> i64 {
        self.period.start() + 3600 * hour as i64
    }
}
