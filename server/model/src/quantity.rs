//! Quantities as a contractor writes them: `70 °F`, `55 %RH`, `58 °F dew point`, `12 h`.

use air::{Celsius, FAHRENHEIT_PER_KELVIN, Fahrenheit, Metre, SquareMetre};
use std::fmt;

/// What a quantity measures.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum QuantityKind {
    /// A dry-bulb temperature. SI form: °C.
    Temperature,
    /// A difference of temperatures. SI form: K.
    TemperatureStep,
    /// Relative humidity, or a difference of it. SI form: per cent.
    RelativeHumidity,
    /// A dew-point temperature. SI form: °C.
    DewPoint,
    /// A length of time. SI form here: hours.
    Duration,
    /// A length. SI form: metres.
    Length,
    /// An area. SI form: square metres.
    Area,
    /// A rate of air change. SI form here: 1/h.
    Rate,
}

/// A unit of measure as written in a job.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum UnitOfMeasure {
    /// °F
    Fahrenheit,
    /// °C
    Celsius,
    /// K, for differences only
    Kelvin,
    /// %RH
    PercentRh,
    /// °F dew point
    FahrenheitDewPoint,
    /// °C dew point
    CelsiusDewPoint,
    /// h
    Hour,
    /// min
    Minute,
    /// days
    Day,
    /// ft
    Foot,
    /// m
    Metre,
    /// ft²
    SquareFoot,
    /// m²
    SquareMetre,
    /// /h
    PerHour,
}

/// Spellings accepted for each unit, the first being the one we print.
const SPELLINGS: &[(UnitOfMeasure, &[&str])] = &[
    (UnitOfMeasure::Fahrenheit, &["°F", "degF", "F", "degrees-fahrenheit", "℉"]),
    (UnitOfMeasure::Celsius, &["°C", "degC", "C", "degrees-celsius", "℃"]),
    (UnitOfMeasure::Kelvin, &["K", "kelvin"]),
    (UnitOfMeasure::PercentRh, &["%RH", "% RH", "%rh", "% rh", "percent-relative-humidity"]),
    (UnitOfMeasure::FahrenheitDewPoint, &["°F dew point", "°F dew-point", "°F DP", "F dew point"]),
    (UnitOfMeasure::CelsiusDewPoint, &["°C dew point", "°C dew-point", "°C DP", "C dew point"]),
    (UnitOfMeasure::Hour, &["h", "hours", "hour", "hr"]),
    (UnitOfMeasure::Minute, &["min", "minutes", "minute"]),
    (UnitOfMeasure::Day, &["days", "day", "d"]),
    (UnitOfMeasure::Foot, &["ft", "feet"]),
    (UnitOfMeasure::Metre, &["m", "metres", "meters"]),
    (UnitOfMeasure::SquareFoot, &["ft²", "ft2", "sq ft", "sqft"]),
    (UnitOfMeasure::SquareMetre, &["m²", "m2"]),
    (UnitOfMeasure::PerHour, &["/h", "1/h", "ACH"]),
];

impl UnitOfMeasure {
    /// The unit a text names, by any accepted spelling.
    pub fn parse(text: &str) -> Option<UnitOfMeasure> {
        SPELLINGS.iter().find(|(_, names)| names.contains(&text)).map(|(unit, _)| *unit)
    }

    /// The spelling we print.
    pub fn symbol(self) -> &'static str {
        SPELLINGS.iter().find(|(unit, _)| *unit == self).map_or("", |(_, names)| names[0])
    }

    fn fits(self, measure: QuantityKind) -> bool {
        use UnitOfMeasure as U;
        match measure {
            QuantityKind::Temperature => matches!(self, U::Fahrenheit | U::Celsius),
            QuantityKind::TemperatureStep => matches!(self, U::Fahrenheit | U::Celsius | U::Kelvin),
            QuantityKind::RelativeHumidity => self == U::PercentRh,
            QuantityKind::DewPoint => matches!(self, U::FahrenheitDewPoint | U::CelsiusDewPoint),
            QuantityKind::Duration => matches!(self, U::Hour | U::Minute | U::Day),
            QuantityKind::Length => matches!(self, U::Foot | U::Metre),
            QuantityKind::Area => matches!(self, U::SquareFoot | U::SquareMetre),
            QuantityKind::Rate => self == U::PerHour,
        }
    }
}

/// A number and its unit, kept as written.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Quantity {
    /// The number as written.
    pub value: f64,
    /// The unit as written.
    pub unit: UnitOfMeasure,
}

/// Why a text is not the quantity wanted.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NotAQuantity {
    /// A number with no unit behind it.
    NoUnit,
    /// A number with a unit that is none, or measures something else.
    WrongUnit(String),
    /// No number to begin with.
    NoNumber,
    /// A number larger than any that something is.
    OutOfRange,
}

impl Quantity {
    /// Reads `70 °F`; the unit must be one of the `wanted` measures.
    pub fn parse(text: &str, wanted: &[QuantityKind]) -> Result<Quantity, NotAQuantity> {
        let (value, unit) = split_number(text).ok_or(NotAQuantity::NoNumber)?;
        if !is_sane(value) {
            return Err(NotAQuantity::OutOfRange);
        }
        if unit.is_empty() {
            return Err(NotAQuantity::NoUnit);
        }
        UnitOfMeasure::parse(unit)
            .filter(|u| wanted.iter().any(|m| u.fits(*m)))
            .map(|unit| Quantity { value, unit })
            .ok_or_else(|| NotAQuantity::WrongUnit(unit.to_owned()))
    }

    /// Whether it measures `measure`.
    pub fn is(&self, measure: QuantityKind) -> bool {
        self.unit.fits(measure)
    }

    /// The value in the SI form of a point on a scale: °C, %, h, m, m², 1/h.
    pub fn si(&self) -> f64 {
        use UnitOfMeasure as U;
        match self.unit {
            U::Fahrenheit | U::FahrenheitDewPoint => Celsius::from(Fahrenheit(self.value)).0,
            U::Minute => self.value / 60.0,
            U::Day => self.value * 24.0,
            U::Foot => Metre::from_feet(self.value).0,
            U::SquareFoot => SquareMetre::from_square_feet(self.value).0,
            _ => self.value,
        }
    }

    /// The same, to three significant digits: for a figure that was worked out.
    #[must_use]
    pub fn rounded(self) -> Quantity {
        if self.value == 0.0 || !self.value.is_finite() {
            return self;
        }
        let scale = 10_f64.powi(2 - self.value.abs().log10().floor() as i32);
        Quantity { value: (self.value * scale).round() / scale, ..self }
    }

    /// The value as a difference, in K or per cent: `2 °F` is 1.11 K.
    pub fn si_step(&self) -> f64 {
        match self.unit {
            UnitOfMeasure::Fahrenheit | UnitOfMeasure::FahrenheitDewPoint => {
                self.value / FAHRENHEIT_PER_KELVIN
            }
            _ => self.value,
        }
    }

    /// This difference on the scale of `unit`, both of one measure: `1 K` beside °F is 1.8.
    pub fn step_in(&self, unit: UnitOfMeasure) -> f64 {
        match unit {
            UnitOfMeasure::Fahrenheit | UnitOfMeasure::FahrenheitDewPoint => {
                self.si_step() * FAHRENHEIT_PER_KELVIN
            }
            _ => self.si_step(),
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let symbol = self.unit.symbol();
        let space = if symbol.starts_with('/') { "" } else { " " };
        // Most limits are whole numbers, which are printed far quicker.
        if self.value.fract() == 0.0 && self.value.abs() < WHOLE {
            return write!(f, "{}{space}{symbol}", self.value as i64);
        }
        write!(f, "{}{space}{symbol}", plain(self.value))
    }
}

/// Below this every whole number is one of [`i64`] too.
const WHOLE: f64 = 1e15;

/// A number for people: no more than two decimals, none that are zero.
pub fn plain(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A closed range and its unit, if one is written: `0..100 %RH`, `32..122`.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Range {
    /// Lower end as written.
    pub low: f64,
    /// Upper end as written; may be below `low`, which a check reports.
    pub high: f64,
    /// The unit, where one is written.
    pub unit: Option<UnitOfMeasure>,
}

impl Range {
    /// Reads `LOW..HIGH [UNIT]`.
    pub fn parse(text: &str) -> Option<Range> {
        let (low, rest) = text.split_once("..")?;
        let low = low.trim().parse().ok().filter(|v| is_sane(*v))?;
        let (high, unit) = split_number(rest.trim()).filter(|(high, _)| is_sane(*high))?;
        let unit = if unit.is_empty() { None } else { Some(UnitOfMeasure::parse(unit)?) };
        Some(Range { low, high, unit })
    }

    /// The two ends as quantities of `fallback` where no unit is written.
    pub fn ends(&self, fallback: UnitOfMeasure) -> (Quantity, Quantity) {
        let unit = self.unit.unwrap_or(fallback);
        (Quantity { value: self.low, unit }, Quantity { value: self.high, unit })
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}..{}", plain(self.low), plain(self.high))?;
        self.unit.map_or(Ok(()), |u| write!(f, " {}", u.symbol()))
    }
}

/// What a unit can measure, to read quantities of the same kind.
pub(crate) fn measures_of(unit: UnitOfMeasure) -> &'static [QuantityKind] {
    use UnitOfMeasure as U;
    match unit {
        U::Fahrenheit | U::Celsius => &[QuantityKind::Temperature],
        U::Kelvin => &[QuantityKind::TemperatureStep],
        U::PercentRh => &[QuantityKind::RelativeHumidity],
        U::FahrenheitDewPoint | U::CelsiusDewPoint => &[QuantityKind::DewPoint],
        U::Hour | U::Minute | U::Day => &[QuantityKind::Duration],
        U::Foot | U::Metre => &[QuantityKind::Length],
        U::SquareFoot | U::SquareMetre => &[QuantityKind::Area],
        U::PerHour => &[QuantityKind::Rate],
    }
}

/// No building has more of anything.
const MOST: f64 = 1e9;

fn is_sane(value: f64) -> bool {
    value.abs() <= MOST
}

/// The leading number of a text and what follows it. An exponent is a part of it, so that `1e308` is read as one
/// number.
fn split_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let digits = |from: usize| {
        let rest = text.get(from..).unwrap_or_default();
        from + rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len())
    };
    let mut end = text
        .char_indices()
        .find(|&(i, c)| !(c.is_ascii_digit() || c == '.' || (i == 0 && matches!(c, '-' | '+'))))
        .map_or(text.len(), |(i, _)| i);
    if let Some(exponent) = text.get(end..).and_then(|rest| rest.strip_prefix(['e', 'E'])) {
        let sign = usize::from(exponent.starts_with(['-', '+']));
        let first = end + 1 + sign;
        end = if digits(first) > first { digits(first) } else { end };
    }
    let value: f64 = text.get(..end)?.parse().ok()?;
    Some((value, text.get(end..)?.trim()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn contractors_spellings_are_read() {
        let t = [QuantityKind::Temperature];
        for text in ["70 °F", "70°F", " 70  degF", "70 F"] {
            assert_eq!(Quantity::parse(text, &t).unwrap().to_string(), "70 °F");
        }
        assert_eq!(Quantity::parse("70", &t), Err(NotAQuantity::NoUnit));
        assert_eq!(Quantity::parse("70 %RH", &t), Err(NotAQuantity::WrongUnit("%RH".into())));
        assert_eq!(Quantity::parse("warm", &t), Err(NotAQuantity::NoNumber));
        let humidity = [QuantityKind::RelativeHumidity, QuantityKind::DewPoint];
        assert_eq!(Quantity::parse("58 °F dew point", &humidity).unwrap().to_string(), "58 °F dew point");
        assert_eq!(Quantity::parse("0.3 /h", &[QuantityKind::Rate]).unwrap().to_string(), "0.3/h");
        assert_eq!(Range::parse("0..100 %RH").unwrap().to_string(), "0..100 %RH");
        assert_eq!(Range::parse("-4..122").unwrap(), Range { low: -4.0, high: 122.0, unit: None });
        assert_eq!(Range::parse("0-100"), None);
        assert_eq!(Quantity::parse("1e1 °F", &t).unwrap().to_string(), "10 °F");
        assert_eq!(Quantity::parse("10 e", &t), Err(NotAQuantity::WrongUnit("e".into())));
    }

    #[test]
    fn what_nothing_can_be_is_out_of_range() {
        let nines = "9".repeat(400);
        for number in ["1e308", "-1E+12", "1e9999", "2000000000", nines.as_str()] {
            for text in [format!("{number} °F"), number.to_owned()] {
                assert_eq!(
                    Quantity::parse(&text, &[QuantityKind::Temperature]),
                    Err(NotAQuantity::OutOfRange)
                );
            }
            assert_eq!(Range::parse(&format!("0..{number} °F")), None);
            assert_eq!(Range::parse(&format!("{number}..0 °F")), None);
        }
    }

    /// Fixed points of the Celsius scale by definition: 32 °F is 0 °C, 212 °F is 100 °C.
    #[test]
    fn conversions() {
        let f = |value| Quantity { value, unit: UnitOfMeasure::Fahrenheit };
        assert!(f(32.0).si().abs() < 1e-12 && (f(212.0).si() - 100.0).abs() < 1e-12);
        assert!((f(9.0).si_step() - 5.0).abs() < 1e-12);
        let k = Quantity { value: 5.0, unit: UnitOfMeasure::Kelvin };
        assert!((k.step_in(UnitOfMeasure::Fahrenheit) - 9.0).abs() < 1e-12);
    }
}
