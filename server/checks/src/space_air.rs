//! The air of a space at its limits: dew points, and the setpoints between which it stands.

use air::{Celsius, RelativeHumidity};
use analysis::degrees_words;
use model::{LimitKey, ModeLimits, Quantity, QuantityKind, UnitOfMeasure, Written};

/// A humidity limit at one end of its mode's temperatures.
pub(crate) struct Corner {
    /// The dew point that the limit means there.
    pub(crate) dew_point: Celsius,
    /// The setpoint it stands at, with its key; nothing for a limit that is a dew point.
    pub(crate) setpoint: Option<(LimitKey, Written<Quantity>)>,
    /// °F or °C, as the job writes its temperatures here.
    pub(crate) scale: UnitOfMeasure,
}

/// An upper humidity limit at both ends of its mode's temperatures, the highest dew point first. Nothing
/// for a relative humidity without setpoints, and for one that no air can have, which is reported as such.
pub(crate) fn corners(limits: &ModeLimits, limit: Quantity) -> Vec<Corner> {
    if !limit.is(QuantityKind::RelativeHumidity) {
        let scale = match limit.unit {
            UnitOfMeasure::FahrenheitDewPoint | UnitOfMeasure::Fahrenheit => UnitOfMeasure::Fahrenheit,
            _ => UnitOfMeasure::Celsius,
        };
        return vec![Corner { dew_point: Celsius(limit.si()), setpoint: None, scale }];
    }
    // Below one per cent a fraction was meant.
    if limit.value < 1.0 {
        return Vec::new();
    }
    let setpoints = [LimitKey::CoolAbove, LimitKey::HeatBelow].map(|key| (key, limits.value(key)));
    let corner = |(key, setpoint): (LimitKey, Option<Written<Quantity>>)| {
        let setpoint = setpoint?;
        let humidity = RelativeHumidity::from_percent(limit.value);
        let dew_point = air::dew_point(Celsius(setpoint.value.si()), humidity).ok()?;
        Some(Corner { dew_point, setpoint: Some((key, setpoint)), scale: setpoint.value.unit })
    };
    let mut corners: Vec<Corner> = setpoints.into_iter().filter_map(corner).collect();
    corners.sort_by(|a, b| b.dew_point.0.total_cmp(&a.dew_point.0));
    corners
}

impl Corner {
    /// `60 %RH at 85 °F is a dew point of 69.6 °F`.
    pub(crate) fn words(&self, limit: Quantity) -> String {
        match &self.setpoint {
            Some((_, setpoint)) => {
                format!(
                    "{limit} at {} is a dew point of {}",
                    setpoint.value,
                    degrees_words(self.dew_point, self.scale)
                )
            }
            None => format!("the limit is {limit}"),
        }
    }
}
