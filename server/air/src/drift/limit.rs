//! A humidity limit, in whichever of the three ways it was written.

use crate::moist_air::humidity_ratio_at;
use crate::saturation::{TEMPERATURES, pressure_at};
use crate::{Celsius, HumidityRatio, MoistAir, OutOfRange, Pascal, RelativeHumidity};

/// The most humid that air may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HumidityLimit {
    /// Moves with the temperature of the air.
    RelativeHumidity(RelativeHumidity),
    /// The same at any temperature.
    DewPoint(Celsius),
    /// The same at any temperature.
    HumidityRatio(HumidityRatio),
}

impl HumidityLimit {
    /// The limit itself when air can stand at it.
    pub(super) fn check(self) -> Result<Self, OutOfRange> {
        match self {
            HumidityLimit::RelativeHumidity(limit) => {
                OutOfRange::check("humidity limit", limit.percent(), 0.0..=100.0, "%RH")?
            }
            HumidityLimit::DewPoint(limit) => {
                OutOfRange::check("humidity limit", limit.0, TEMPERATURES, "°C")?
            }
            HumidityLimit::HumidityRatio(limit) => {
                OutOfRange::check("humidity limit", limit.grams_per_kilogram(), 0.0..=1000.0, "g/kg")?
            }
        };
        Ok(self)
    }

    /// Humidity ratio of air at the limit, where vapour at `saturated` would saturate the air.
    pub(super) fn ratio(self, saturated: Pascal, pressure: Pascal) -> f64 {
        let vapour = match self {
            HumidityLimit::RelativeHumidity(limit) => limit.fraction() * saturated.0,
            HumidityLimit::DewPoint(limit) => pressure_at(limit),
            HumidityLimit::HumidityRatio(limit) => return limit.0,
        };
        humidity_ratio_at(Pascal(vapour), pressure).0
    }

    /// By how much `air` is above the limit, in kilograms of vapour per kilogram of dry air; negative below.
    pub fn excess(self, air: &MoistAir) -> f64 {
        let saturated = Pascal(pressure_at(air.dry_bulb()));
        air.humidity_ratio().0 - self.ratio(saturated, air.pressure())
    }
}
