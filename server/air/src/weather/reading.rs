//! One hour as a file gives it, before it is air.

use super::{HourOfYear, WeatherProblem};
use crate::{Celsius, MoistAir, Pascal, RelativeHumidity};

/// Dew points are written to a tenth of a degree and measured to about half of one, so in fog one may
/// stand above its dry bulb by this much, in K, and mean saturated air. Common practice, no source.
const FOG: f64 = 0.5;

/// An hour's outdoor air as measured; `None` where the file says that it was not.
#[derive(Debug)]
pub(super) struct Reading {
    pub(super) hour: HourOfYear,
    pub(super) dry_bulb: Option<Celsius>,
    pub(super) dew_point: Option<Celsius>,
    pub(super) humidity: Option<RelativeHumidity>,
    pub(super) pressure: Option<Pascal>,
}

impl Reading {
    /// The air by its dew point, or by its relative humidity where the dew point was not measured.
    pub(super) fn air(&self) -> Result<MoistAir, WeatherProblem> {
        let dry_bulb = self.dry_bulb.ok_or(WeatherProblem::Absent("dry bulb"))?;
        let pressure = self.pressure.ok_or(WeatherProblem::Absent("pressure"))?;
        match (self.dew_point, self.humidity) {
            (Some(dew_point), _) if dew_point.0 > dry_bulb.0 && dew_point.0 <= dry_bulb.0 + FOG => {
                MoistAir::saturated(dry_bulb, pressure)
            }
            (Some(dew_point), _) => MoistAir::from_dew_point(dry_bulb, dew_point, pressure),
            (None, Some(humidity)) => MoistAir::from_relative_humidity(dry_bulb, humidity, pressure),
            (None, None) => return Err(WeatherProblem::Absent("dew point or relative humidity")),
        }
        .map_err(WeatherProblem::NotAir)
    }
}

/// The number in a field of a line; an error where the line has no such field or it is no number.
pub(super) fn number(field: &'static str, text: Option<&str>) -> Result<f64, WeatherProblem> {
    let text = text.map(str::trim).filter(|text| !text.is_empty()).ok_or(WeatherProblem::Absent(field))?;
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(number),
        _ => Err(WeatherProblem::NotANumber { field, text: text.to_owned() }),
    }
}

/// The hour that a file calls `hour`, 1 to 24, by its end.
pub(super) fn hour_ending(month: &str, day: &str, hour: &str) -> Result<HourOfYear, WeatherProblem> {
    let part = |text: &str| text.trim().parse::<u8>().ok();
    let begun = || HourOfYear::new(part(month)?, part(day)?, part(hour)?.checked_sub(1)?);
    begun().ok_or_else(|| WeatherProblem::NoSuchHour(format!("{month}/{day} {hour}")))
}
