//! Moist air, outdoor weather, and what a zone's air does while its unit may not dry it.
//!
//! Three layers, each resting on the one before:
//!
//! * [`MoistAir`] with its typed quantities: the equations of ASHRAE Handbook—Fundamentals (2017),
//!   chapter 1, so that °F cannot meet °C and a humidity always says of what;
//! * [`weather`]: typical-year files (TMY2, TMY3, EPW) or a constant design state, hour by hour;
//! * [`drift`]: a zone's moisture and heat balance through those hours. It predicts; it proves nothing.
//!
//! The crate knows no file of a job and no editor, opens no file, and panics on no input.

pub mod drift;
mod moist_air;
mod quantity;
mod range;
mod saturation;
pub mod weather;

pub use moist_air::MoistAir;
pub use quantity::{
    AirChangesPerHour, Celsius, CubicMetre, CubicMetrePerKilogram, FAHRENHEIT_PER_KELVIN, Fahrenheit,
    HumidityRatio, JoulePerKelvin, KilojoulePerKilogram, Metre, Pascal, RelativeHumidity, SquareMetre, Watt,
    WattPerKelvin,
};
pub use range::OutOfRange;
pub use saturation::{dew_point, relative_humidity, saturation_pressure};
