//! Quantities with their unit in the type. Conversions are written out where they happen.

use std::fmt;

/// Declares `f64` newtypes that print as `value unit`, with one decimal unless another format is asked for.
macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident, $unit:literal;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:.*} {}", f.precision().unwrap_or(1), self.0, $unit)
            }
        }
    )+};
}

quantities! {
    /// A temperature in degrees Celsius.
    Celsius, "°C";
    /// A temperature in degrees Fahrenheit.
    Fahrenheit, "°F";
    /// A pressure in pascals, absolute.
    Pascal, "Pa";
    /// A length, or an altitude above sea level, in metres.
    Metre, "m";
    /// An area in square metres.
    SquareMetre, "m²";
    /// A volume in cubic metres.
    CubicMetre, "m³";
    /// Volume of moist air per kilogram of the dry air in it.
    CubicMetrePerKilogram, "m³/kg";
    /// Enthalpy per kilogram of dry air, zero for dry air at 0 °C.
    KilojoulePerKilogram, "kJ/kg";
    /// A flow of heat.
    Watt, "W";
    /// Heat lost per degree of difference.
    WattPerKelvin, "W/K";
    /// Heat stored per degree of change.
    JoulePerKelvin, "J/K";
    /// Air exchanged, in volumes of the zone an hour.
    AirChangesPerHour, "/h";
}

/// International foot (exact by definition, 1959).
const METRES_PER_FOOT: f64 = 0.3048;
/// Degrees Fahrenheit in one kelvin, as a difference.
pub const FAHRENHEIT_PER_KELVIN: f64 = 1.8;
/// Degrees Fahrenheit at 0 °C.
const FAHRENHEIT_AT_FREEZING: f64 = 32.0;

impl From<Fahrenheit> for Celsius {
    fn from(t: Fahrenheit) -> Self {
        Celsius((t.0 - FAHRENHEIT_AT_FREEZING) / FAHRENHEIT_PER_KELVIN)
    }
}

impl From<Celsius> for Fahrenheit {
    fn from(t: Celsius) -> Self {
        Fahrenheit(t.0 * FAHRENHEIT_PER_KELVIN + FAHRENHEIT_AT_FREEZING)
    }
}

impl Celsius {
    /// Absolute temperature in kelvins.
    pub fn kelvins(self) -> f64 {
        self.0 + 273.15
    }
}

impl Metre {
    /// From international feet.
    pub fn from_feet(feet: f64) -> Self {
        Metre(feet * METRES_PER_FOOT)
    }
}

impl SquareMetre {
    pub fn from_square_feet(square_feet: f64) -> Self {
        SquareMetre(square_feet * METRES_PER_FOOT * METRES_PER_FOOT)
    }
}

/// Relative humidity: the vapour pressure as a share of the saturation pressure at the dry bulb.
///
/// The number inside is hidden, since 0.6 and 60 are the same humidity and the usual mistake.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct RelativeHumidity(f64);

impl RelativeHumidity {
    /// From a fraction, 0 to 1.
    pub const fn from_fraction(fraction: f64) -> Self {
        RelativeHumidity(fraction)
    }

    /// From per cent, 0 to 100.
    pub const fn from_percent(percent: f64) -> Self {
        RelativeHumidity(percent / 100.0)
    }

    /// As a fraction, 0 to 1.
    pub const fn fraction(self) -> f64 {
        self.0
    }

    /// In per cent, 0 to 100.
    pub const fn percent(self) -> f64 {
        self.0 * 100.0
    }
}

impl fmt::Display for RelativeHumidity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.*} %RH", f.precision().unwrap_or(1), self.percent())
    }
}

/// Kilograms of water vapour per kilogram of dry air.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct HumidityRatio(pub f64);

impl HumidityRatio {
    /// Grams of water vapour per kilogram of dry air.
    pub const fn grams_per_kilogram(self) -> f64 {
        self.0 * 1000.0
    }
}

impl fmt::Display for HumidityRatio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = f.precision().unwrap_or(1);
        write!(f, "{:.decimals$} g/kg", self.grams_per_kilogram())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_scales_meet_where_they_should() {
        assert_eq!(Celsius::from(Fahrenheit(32.0)), Celsius(0.0));
        assert_eq!(Fahrenheit::from(Celsius(100.0)), Fahrenheit(212.0));
        assert_eq!(Celsius::from(Fahrenheit(-40.0)), Celsius(-40.0));
    }

    #[test]
    fn quantities_print_with_their_unit() {
        assert_eq!(Fahrenheit(69.61).to_string(), "69.6 °F");
        assert_eq!(RelativeHumidity::from_percent(60.0).to_string(), "60.0 %RH");
        assert_eq!(format!("{:.2}", HumidityRatio(0.009_242)), "9.24 g/kg");
        assert_eq!(format!("{:.0}", Pascal(101_325.0)), "101325 Pa");
    }
}
