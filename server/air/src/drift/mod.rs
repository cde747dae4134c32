//! Drift: a zone's humidity and temperature through the hours of a weather file. A prediction.
//!
//! One well-mixed body of air; outdoor air leaks in, people give off moisture and heat, furnishings hold
//! back a multiple of what the air holds, and the unit cools and dries where its logic and its limits let
//! it:
//!
//! `M·C·dW/dt = M·n·(Wₒ − W) + people − unit`, with `M` the dry air of the zone, `C` the moisture
//! capacitance multiplier, `n` the infiltration (`EnergyPlus` Engineering Reference, moisture
//! predictor-corrector, exact solution), and the like for heat.
//!
//! While nothing switches, an hour is one exact exponential. While the unit may run it is cut into
//! [`SUBSTEPS`] parts, each with the share of the time for which the unit runs. Not in the balance:
//! lights and equipment, sun, air from other zones, the differentials of the thermostat, and water that
//! a wet coil gives back after the compressor stops.

mod assumption;
mod balance;
mod first_order;
mod limit;
mod outcome;
mod zone;

pub use assumption::*;
pub use limit::HumidityLimit;
pub use outcome::{Drift, MOULD_HUMIDITY, MOULD_TEMPERATURES, MoistureLedger, RUNNING_MEAN_HOURS, Surface};
pub use zone::{UnitModel, ZoneModel, infiltration_through};

use crate::{Celsius, MoistAir, OutOfRange};
use balance::Balance;

/// Parts into which an hour is cut while the unit may run.
pub const SUBSTEPS: u32 = 4;

const SECONDS_PER_HOUR: f64 = 3600.0;

/// What holds in a zone for one hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Conditions {
    /// People present.
    pub people: f64,
    /// Heat keeps the zone from falling below this; none where there is no heat.
    pub heat_below: Option<Celsius>,
    /// The unit cools above this; none while its logic does not let it.
    pub cool_above: Option<Celsius>,
    /// The unit dries above this, with reheat; none while its logic does not let it.
    pub dehumidify_above: Option<HumidityLimit>,
    /// The fan runs all the hour, and not only with the compressor.
    pub fan_runs: bool,
}

/// Predicts the air of `zone` from `start`, one hour for each of `outdoors`, under the `conditions` of
/// each hour counted from 0. An error where the zone, a limit or the air comes out of range.
pub fn predict(
    zone: &ZoneModel,
    start: MoistAir,
    outdoors: &[MoistAir],
    conditions: impl Fn(usize) -> Conditions,
) -> Result<Drift, OutOfRange> {
    predict_in_parts(zone, start, outdoors, conditions, SUBSTEPS)
}

fn predict_in_parts(
    zone: &ZoneModel,
    start: MoistAir,
    outdoors: &[MoistAir],
    conditions: impl Fn(usize) -> Conditions,
    substeps: u32,
) -> Result<Drift, OutOfRange> {
    zone.check()?;
    let mut balance = Balance::new(zone, start);
    let mut hours = Vec::with_capacity(outdoors.len());
    let mut surfaces = Vec::with_capacity(outdoors.len());
    for (hour, outdoor) in outdoors.iter().enumerate() {
        let conditions = checked(conditions(hour))?;
        let unit_may_run = conditions.cool_above.is_some() || conditions.dehumidify_above.is_some();
        let parts = if unit_may_run { substeps } else { 1 };
        for _ in 0..parts {
            balance.advance(SECONDS_PER_HOUR / f64::from(parts), outdoor, &conditions);
        }
        let air = balance.zone_air(outdoor.pressure())?;
        surfaces.push(Surface::of(&air, outdoor, zone.temperature_factor));
        hours.push(air);
    }
    let ledger = balance.ledger(start);
    Ok(Drift { start, hours, surfaces, ledger })
}

fn checked(conditions: Conditions) -> Result<Conditions, OutOfRange> {
    OutOfRange::check("people", conditions.people, 0.0..=1e6, "")?;
    for limit in [conditions.heat_below, conditions.cool_above].into_iter().flatten() {
        OutOfRange::check("temperature limit", limit.0, -50.0..=100.0, "°C")?;
    }
    conditions.dehumidify_above.map(HumidityLimit::check).transpose()?;
    Ok(conditions)
}

#[cfg(test)]
mod tests;
