//! Water vapour in equilibrium with ice or water: ASHRAE Fundamentals (2017) ch. 1, equations 5 and 6.

use std::ops::RangeInclusive;

use crate::{Celsius, OutOfRange, Pascal, RelativeHumidity};

/// Temperatures for which equations 5 and 6 are stated, in °C.
pub(crate) const TEMPERATURES: RangeInclusive<f64> = -100.0..=200.0;

/// Saturation pressures at their ends, rounded inwards, in Pa.
const VAPOUR_PRESSURES: RangeInclusive<f64> = 0.001_406..=1_555_000.0;

/// Where ice gives way to water, in °C. The handbook parts the equations at 0 °C, where they differ by
/// 0.01 %; they meet at the triple point, so parting them there leaves a curve that can be inverted.
const TRIPLE_POINT: f64 = 0.01;

/// Saturation pressure at `temperature`, over ice below the triple point and over water above.
/// Valid from −100 to 200 °C.
pub fn saturation_pressure(temperature: Celsius) -> Result<Pascal, OutOfRange> {
    OutOfRange::check("temperature", temperature.0, TEMPERATURES, "°C")?;
    Ok(Pascal(pressure_at(temperature)))
}

/// The temperature at which air of `dry_bulb` and `humidity` would be saturated; no pressure is needed.
/// Valid for dry bulbs and dew points from −100 to 200 °C and humidities above 0 up to 100 %RH.
pub fn dew_point(dry_bulb: Celsius, humidity: RelativeHumidity) -> Result<Celsius, OutOfRange> {
    Ok(dew_point_below(dry_bulb, vapour_pressure(dry_bulb, humidity)?))
}

/// Vapour pressure of air of `dry_bulb` and `humidity`, in the ranges of [`dew_point`].
pub(crate) fn vapour_pressure(dry_bulb: Celsius, humidity: RelativeHumidity) -> Result<Pascal, OutOfRange> {
    let saturated = saturation_pressure(dry_bulb)?;
    OutOfRange::check("relative humidity", humidity.percent(), 0.0..=100.0, "%RH")?;
    check_vapour(humidity.fraction() * saturated.0).map(Pascal)
}

/// The dew point of `vapour`, which is not above saturation at `dry_bulb` but for rounding.
pub(crate) fn dew_point_below(dry_bulb: Celsius, vapour: Pascal) -> Celsius {
    Celsius(temperature_at(vapour).0.min(dry_bulb.0))
}

/// Relative humidity of air of `dry_bulb` whose dew point is `dew_point`, which may not be the higher.
/// Valid for both from −100 to 200 °C.
pub fn relative_humidity(dry_bulb: Celsius, dew_point: Celsius) -> Result<RelativeHumidity, OutOfRange> {
    let saturated = saturation_pressure(dry_bulb)?.0;
    OutOfRange::check("dew point", dew_point.0, *TEMPERATURES.start()..=dry_bulb.0, "°C")?;
    Ok(RelativeHumidity::from_fraction(pressure_at(dew_point) / saturated))
}

/// Air drier than a dew point of −100 °C has none that the equations know.
pub(crate) fn check_vapour(vapour: f64) -> Result<f64, OutOfRange> {
    OutOfRange::check("vapour pressure", vapour, VAPOUR_PRESSURES, "Pa")
}

/// [`saturation_pressure`] of a temperature known to be in range.
pub(crate) fn pressure_at(temperature: Celsius) -> f64 {
    logarithm(temperature).0.exp()
}

/// The temperature whose saturation pressure is `vapour`, known to be in range.
///
/// Newton's method on the logarithm of the pressure, which is smooth and concave, from Magnus's rule:
/// the start is good to about a degree and each step doubles the digits.
fn temperature_at(vapour: Pascal) -> Celsius {
    let wanted = vapour.0.ln();
    let magnus = (vapour.0 / 610.94).ln();
    let mut t = 243.04 * magnus / (17.625 - magnus);
    for _ in 0..20 {
        let (value, slope) = logarithm(Celsius(t));
        let step = (value - wanted) / slope;
        t -= step;
        if step.abs() < 1e-9 {
            break;
        }
    }
    Celsius(t)
}

/// Natural logarithm of the saturation pressure in Pa, and its slope per kelvin.
fn logarithm(temperature: Celsius) -> (f64, f64) {
    let t = temperature.kelvins();
    if temperature.0 <= TRIPLE_POINT {
        const C: [f64; 7] = [
            -5.674_535_9e3,
            6.392_524_7,
            -9.677_843e-3,
            6.221_570_1e-7,
            2.074_782_5e-9,
            -9.484_024e-13,
            4.163_501_9,
        ];
        let value = C[0] / t + C[1] + t * (C[2] + t * (C[3] + t * (C[4] + t * C[5]))) + C[6] * t.ln();
        let slope = -C[0] / (t * t) + C[2] + t * (2.0 * C[3] + t * (3.0 * C[4] + t * 4.0 * C[5])) + C[6] / t;
        (value, slope)
    } else {
        const C: [f64; 6] =
            [-5.800_220_6e3, 1.391_499_3, -4.864_023_9e-2, 4.176_476_8e-5, -1.445_209_3e-8, 6.545_967_3];
        let value = C[0] / t + C[1] + t * (C[2] + t * (C[3] + t * C[4])) + C[5] * t.ln();
        let slope = -C[0] / (t * t) + C[2] + t * (2.0 * C[3] + t * 3.0 * C[4]) + C[5] / t;
        (value, slope)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::Fahrenheit;

    /// IAPWS R6-95, saturation line of water, as tabulated by IAPWS and in every steam table.
    #[test]
    fn agrees_with_the_steam_tables() {
        for (t, pascals) in
            [(10.0, 1_228.2), (20.0, 2_339.3), (30.0, 4_247.0), (40.0, 7_384.9), (50.0, 12_352.0)]
        {
            let ours = saturation_pressure(Celsius(t)).unwrap().0;
            assert!((ours / pascals - 1.0).abs() < 3e-4, "{t} °C: {ours} Pa, not {pascals}");
        }
    }

    #[test]
    fn pressures_span_what_temperatures_do() {
        let (from, to) = (
            temperature_at(Pascal(*VAPOUR_PRESSURES.start())),
            temperature_at(Pascal(*VAPOUR_PRESSURES.end())),
        );
        assert!((-100.0..-99.99).contains(&from.0) && (199.98..=200.0).contains(&to.0), "{from} to {to}");
    }

    #[test]
    fn ice_and_water_meet() {
        let (below, above) = (pressure_at(Celsius(TRIPLE_POINT)), pressure_at(Celsius(TRIPLE_POINT + 1e-12)));
        assert!((below / above - 1.0).abs() < 1e-5, "{below} Pa and {above} Pa");
    }

    /// A 60 °F dew point in %RH, and 60 %RH in dew points, as `psychrolib` 2.5.0 has them.
    #[test]
    fn a_raised_setpoint_raises_the_dew_point_of_the_same_humidity() {
        let sixty = Celsius::from(Fahrenheit(60.0));
        for (dry_bulb, percent) in [(75.0, 59.6), (78.0, 54.0), (80.0, 50.5), (85.0, 43.0)] {
            let ours = relative_humidity(Fahrenheit(dry_bulb).into(), sixty).unwrap().percent();
            assert!((ours - percent).abs() < 0.05, "{dry_bulb} °F: {ours} %RH");
        }
        for (dry_bulb, expected) in [(75.0, 60.2), (80.0, 64.9), (85.0, 69.6)] {
            let ours = dew_point(Fahrenheit(dry_bulb).into(), RelativeHumidity::from_percent(60.0)).unwrap();
            assert!((Fahrenheit::from(ours).0 - expected).abs() < 0.05, "{dry_bulb} °F: {ours}");
        }
    }

    #[test]
    fn what_no_equation_covers_is_refused() {
        let half = RelativeHumidity::from_percent(50.0);
        assert_eq!(dew_point(Celsius(201.0), half).unwrap_err().quantity, "temperature");
        assert_eq!(
            dew_point(Celsius(20.0), RelativeHumidity::from_percent(101.0)).unwrap_err().quantity,
            "relative humidity"
        );
        assert_eq!(
            dew_point(Celsius(20.0), RelativeHumidity::from_percent(0.0)).unwrap_err().quantity,
            "vapour pressure"
        );
        assert_eq!(relative_humidity(Celsius(20.0), Celsius(20.5)).unwrap_err().quantity, "dew point");
        assert!(saturation_pressure(Celsius(f64::NAN)).is_err());
    }
}
