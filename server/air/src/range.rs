//! The one way these calculations fail: a number outside the range its equation was made for.

use std::fmt;
use std::ops::RangeInclusive;

/// A value outside the range in which its equation holds. Not-a-number is outside every range.
#[derive(Clone, Debug, PartialEq)]
pub struct OutOfRange {
    /// What the value is of, in the trade's words: `dry bulb`, `pressure`.
    pub quantity: &'static str,
    /// The value as given, in `unit`.
    pub value: f64,
    /// The values that would have done, in `unit`, ends included.
    pub allowed: RangeInclusive<f64>,
    /// Unit of the value and the range; empty for a plain number.
    pub unit: &'static str,
}

impl OutOfRange {
    /// `value` itself when it lies within `allowed`.
    pub(crate) fn check(
        quantity: &'static str,
        value: f64,
        allowed: RangeInclusive<f64>,
        unit: &'static str,
    ) -> Result<f64, Self> {
        if allowed.contains(&value) {
            return Ok(value);
        }
        Err(OutOfRange { quantity, value, allowed, unit })
    }
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        let (from, to) = (short(*self.allowed.start()), short(*self.allowed.end()));
        write!(f, "{} of {}{unit} is outside {from} to {to}{unit}", self.quantity, short(self.value))
    }
}

impl std::error::Error for OutOfRange {}

/// Six significant digits, without the tail that conversions leave (`15.555555555555557`).
fn short(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return value.to_string();
    }
    let decimals = (5.0 - value.abs().log10().floor()).clamp(0.0, 12.0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_what_was_given_and_what_would_do() {
        let fault = OutOfRange::check("dry bulb", 250.0 / 3.0 * 3.6, -100.0..=200.0, "°C");
        assert_eq!(
            fault.map_err(|fault| fault.to_string()),
            Err("dry bulb of 300 °C is outside -100 to 200 °C".to_owned())
        );
        let fault = OutOfRange::check("temperature factor", 1.5, 0.0..=1.0, "");
        assert_eq!(
            fault.map_err(|fault| fault.to_string()),
            Err("temperature factor of 1.5 is outside 0 to 1".to_owned())
        );
    }

    #[test]
    fn not_a_number_is_in_no_range() {
        assert!(OutOfRange::check("dry bulb", f64::NAN, -100.0..=200.0, "°C").is_err());
    }
}
