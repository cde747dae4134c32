//! What a prediction says, hour by hour and in sum.

use std::ops::RangeInclusive;

use super::HumidityLimit;
use crate::saturation::pressure_at;
use crate::{Celsius, MoistAir, OutOfRange, RelativeHumidity};

/// Hours in the 30-day running mean of ASHRAE 160-2009.
pub const RUNNING_MEAN_HOURS: usize = 30 * 24;
/// Running mean of the surface humidity from which mould may grow: ASHRAE 160-2009 (later addenda use a
/// mould index instead).
pub const MOULD_HUMIDITY: RelativeHumidity = RelativeHumidity::from_fraction(0.8);
/// Running means of the surface temperature, in °C, between which that holds: ASHRAE 160-2009.
pub const MOULD_TEMPERATURES: RangeInclusive<f64> = 5.0..=40.0;

/// A predicted run of hours.
#[derive(Clone, Debug, PartialEq)]
pub struct Drift {
    /// Air of the zone as the first hour begins.
    pub start: MoistAir,
    /// Air of the zone at the end of each hour.
    pub hours: Vec<MoistAir>,
    /// The coldest inside surface at the end of each hour.
    pub surfaces: Vec<Surface>,
    /// Where the moisture came from and went to.
    pub ledger: MoistureLedger,
}

/// Air next to a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Temperature of the surface.
    pub temperature: Celsius,
    /// Relative humidity at that temperature; 100 %RH where water condenses on it.
    pub humidity: RelativeHumidity,
}

/// Water vapour over the whole run, in kilograms.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MoistureLedger {
    /// Leaked in with outdoor air; negative where outdoors is drier.
    pub infiltration: f64,
    /// Given off by people.
    pub people: f64,
    /// Taken out by the unit's coil.
    pub dried: f64,
    /// Condensed in the zone.
    pub condensed: f64,
    /// Gained by air and furnishings.
    pub stored: f64,
}

impl Drift {
    /// Hours at whose end the zone is above `limit`.
    pub fn hours_above(&self, limit: HumidityLimit) -> Result<usize, OutOfRange> {
        let limit = limit.check()?;
        Ok(self.hours.iter().filter(|air| limit.excess(air) > 0.0).count())
    }

    /// The hour, counted from 0, at whose end the zone is furthest above `limit` (the first such, by
    /// humidity ratio); none where it never is above.
    pub fn worst_hour(&self, limit: HumidityLimit) -> Result<Option<usize>, OutOfRange> {
        let limit = limit.check()?;
        let mut worst = (None, 0.0);
        for (hour, air) in self.hours.iter().enumerate() {
            let excess = limit.excess(air);
            if excess > worst.1 {
                worst = (Some(hour), excess);
            }
        }
        Ok(worst.0)
    }

    /// Hours from the beginning of hour `gap` until the zone first stands at `limit` or above, by straight
    /// lines between the ends of hours; none where it stays below.
    pub fn hours_to_cross(&self, limit: HumidityLimit, gap: usize) -> Result<Option<f64>, OutOfRange> {
        let limit = limit.check()?;
        let mut states = std::iter::once(&self.start).chain(&self.hours).skip(gap);
        let mut before = match states.next() {
            Some(air) => limit.excess(air),
            None => return Ok(None),
        };
        if before >= 0.0 {
            return Ok(Some(0.0));
        }
        for (hour, air) in states.enumerate() {
            let after = limit.excess(air);
            if after >= 0.0 {
                return Ok(Some(hour as f64 + before / (before - after)));
            }
            before = after;
        }
        Ok(None)
    }

    /// Running means over [`RUNNING_MEAN_HOURS`] of the coldest surface: the first belongs to the hour in
    /// which the thirtieth day ends. Empty for a run of less than thirty days.
    pub fn surface_running_means(&self) -> Vec<Surface> {
        let mut temperature = 0.0;
        let mut humidity = 0.0;
        let mut means = Vec::with_capacity(self.surfaces.len().saturating_sub(RUNNING_MEAN_HOURS - 1));
        let leaving = std::iter::repeat_n(None, RUNNING_MEAN_HOURS).chain(self.surfaces.iter().map(Some));
        for (hour, (entering, leaving)) in self.surfaces.iter().zip(leaving).enumerate() {
            temperature += entering.temperature.0 - leaving.map_or(0.0, |surface| surface.temperature.0);
            humidity +=
                entering.humidity.fraction() - leaving.map_or(0.0, |surface| surface.humidity.fraction());
            if hour + 1 >= RUNNING_MEAN_HOURS {
                means.push(Surface {
                    temperature: Celsius(temperature / RUNNING_MEAN_HOURS as f64),
                    humidity: RelativeHumidity::from_fraction(humidity / RUNNING_MEAN_HOURS as f64),
                });
            }
        }
        means
    }
}

impl Surface {
    /// The coldest inside surface: a weak spot of the outside wall, which `temperature_factor` places
    /// between outdoors (0) and the zone (1), or an inside wall when it is warmer outdoors.
    pub(super) fn of(zone: &MoistAir, outdoor: &MoistAir, temperature_factor: f64) -> Self {
        let (inside, outside) = (zone.dry_bulb().0, outdoor.dry_bulb().0);
        let temperature = Celsius(inside.min(outside + temperature_factor * (inside - outside)));
        let share = zone.vapour_pressure().0 / pressure_at(temperature);
        Surface { temperature, humidity: RelativeHumidity::from_fraction(share.min(1.0)) }
    }

    /// Whether these are running means under which mould may grow (ASHRAE 160-2009).
    pub fn favours_mould(&self) -> bool {
        self.humidity >= MOULD_HUMIDITY && MOULD_TEMPERATURES.contains(&self.temperature.0)
    }
}

impl MoistureLedger {
    /// What came in, less what went out, less what is stored, in kg: zero but for rounding.
    pub fn imbalance(&self) -> f64 {
        self.infiltration + self.people - self.dried - self.condensed - self.stored
    }
}
