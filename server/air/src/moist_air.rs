//! The state of moist air: ASHRAE Fundamentals (2017) ch. 1, perfect-gas relations.

use crate::saturation::{self, TEMPERATURES, check_vapour, pressure_at};
use crate::{
    Celsius, CubicMetrePerKilogram, HumidityRatio, KilojoulePerKilogram, Metre, OutOfRange, Pascal,
    RelativeHumidity,
};

/// Molar mass of water over that of dry air (equation 20).
const MOLAR_MASS_RATIO: f64 = 0.621_945;
/// Gas constant of dry air in kJ/(kg·K).
const DRY_AIR_GAS_CONSTANT: f64 = 0.287_042;
/// Mixing by the humidity ratio may leave a saturated state above 100 %RH by rounding alone.
const ROUNDING: f64 = 1e-9;

/// Moist air in a state within the range of the equations: dry bulb and dew point from −100 to 200 °C,
/// not more than saturated, water vapour below the whole pressure.
///
/// ```
/// use air::{Celsius, MoistAir, Pascal, RelativeHumidity};
///
/// let room = MoistAir::from_relative_humidity(
///     Celsius(23.9),
///     RelativeHumidity::from_percent(50.0),
///     Pascal::STANDARD,
/// )?;
/// assert_eq!(format!("{:.2}", room.dew_point()), "12.85 °C");
/// # Ok::<(), air::OutOfRange>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoistAir {
    dry_bulb: Celsius,
    humidity_ratio: HumidityRatio,
    pressure: Pascal,
}

impl Pascal {
    /// Standard atmosphere at sea level.
    pub const STANDARD: Pascal = Pascal(101_325.0);

    /// Standard atmosphere at an altitude from −5,000 to 11,000 m (equation 3).
    pub fn at_altitude(altitude: Metre) -> Result<Self, OutOfRange> {
        let metres = OutOfRange::check("altitude", altitude.0, -5_000.0..=11_000.0, "m")?;
        Ok(Pascal(Self::STANDARD.0 * (1.0 - 2.255_77e-5 * metres).powf(5.2559)))
    }
}

impl MoistAir {
    /// From the relative humidity, above 0 and up to 100 %RH.
    pub fn from_relative_humidity(
        dry_bulb: Celsius,
        humidity: RelativeHumidity,
        pressure: Pascal,
    ) -> Result<Self, OutOfRange> {
        let vapour = saturation::vapour_pressure(dry_bulb, humidity)?;
        Self::from_vapour_pressure(dry_bulb, vapour, pressure)
    }

    /// From the dew point, which may not be above the dry bulb.
    pub fn from_dew_point(
        dry_bulb: Celsius,
        dew_point: Celsius,
        pressure: Pascal,
    ) -> Result<Self, OutOfRange> {
        saturation::relative_humidity(dry_bulb, dew_point)?;
        Self::from_vapour_pressure(dry_bulb, Pascal(pressure_at(dew_point)), pressure)
    }

    fn from_vapour_pressure(dry_bulb: Celsius, vapour: Pascal, pressure: Pascal) -> Result<Self, OutOfRange> {
        check_below_pressure(vapour, pressure)?;
        Ok(MoistAir { dry_bulb, humidity_ratio: humidity_ratio_at(vapour, pressure), pressure })
    }

    /// From the thermodynamic wet bulb (equations 33 and 35), which may not be above the dry bulb.
    /// An error too where the wet bulb is lower than dry air could reach.
    pub fn from_wet_bulb(dry_bulb: Celsius, wet_bulb: Celsius, pressure: Pascal) -> Result<Self, OutOfRange> {
        OutOfRange::check("dry bulb", dry_bulb.0, TEMPERATURES, "°C")?;
        OutOfRange::check("wet bulb", wet_bulb.0, *TEMPERATURES.start()..=dry_bulb.0, "°C")?;
        check_below_pressure(Pascal(pressure_at(wet_bulb)), pressure)?;
        Self::from_humidity_ratio(
            dry_bulb,
            HumidityRatio(ratio_at_wet_bulb(dry_bulb, wet_bulb, pressure)),
            pressure,
        )
    }

    /// From the humidity ratio.
    pub fn from_humidity_ratio(
        dry_bulb: Celsius,
        humidity_ratio: HumidityRatio,
        pressure: Pascal,
    ) -> Result<Self, OutOfRange> {
        OutOfRange::check("dry bulb", dry_bulb.0, TEMPERATURES, "°C")?;
        check_below_pressure(Pascal(0.0), pressure)?;
        let state = MoistAir { dry_bulb, humidity_ratio, pressure };
        check_vapour(state.vapour_pressure().0)?;
        OutOfRange::check(
            "relative humidity",
            state.relative_humidity().percent(),
            0.0..=100.0 + ROUNDING,
            "%RH",
        )?;
        Ok(state)
    }

    /// Saturated air: the state at 100 %RH.
    pub fn saturated(dry_bulb: Celsius, pressure: Pascal) -> Result<Self, OutOfRange> {
        Self::from_dew_point(dry_bulb, dry_bulb, pressure)
    }

    /// Dry-bulb temperature.
    pub fn dry_bulb(&self) -> Celsius {
        self.dry_bulb
    }

    /// Water vapour per dry air.
    pub fn humidity_ratio(&self) -> HumidityRatio {
        self.humidity_ratio
    }

    /// Barometric pressure.
    pub fn pressure(&self) -> Pascal {
        self.pressure
    }

    /// Partial pressure of the water vapour (equation 36).
    pub fn vapour_pressure(&self) -> Pascal {
        let ratio = self.humidity_ratio.0;
        Pascal(self.pressure.0 * ratio / (MOLAR_MASS_RATIO + ratio))
    }

    /// Relative humidity (equation 22 without the enhancement factor, as the handbook works by hand).
    pub fn relative_humidity(&self) -> RelativeHumidity {
        RelativeHumidity::from_fraction(self.vapour_pressure().0 / pressure_at(self.dry_bulb))
    }

    /// Dew point; below freezing, frost point. Inverts equations 5 and 6 to 1e-9 K.
    pub fn dew_point(&self) -> Celsius {
        saturation::dew_point_below(self.dry_bulb, self.vapour_pressure())
    }

    /// Thermodynamic wet bulb, over ice where it is below freezing (equations 33 and 35), to 1e-9 K.
    ///
    /// Just above freezing the two equations overlap and some air has a wet bulb by each; either gives
    /// back the same humidity ratio.
    pub fn wet_bulb(&self) -> Celsius {
        let (mut low, mut high) = (*TEMPERATURES.start(), self.dry_bulb.0);
        while high - low > 1e-9 {
            let middle = low.midpoint(high);
            if ratio_at_wet_bulb(self.dry_bulb, Celsius(middle), self.pressure) < self.humidity_ratio.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        Celsius(low.midpoint(high))
    }

    /// Enthalpy per kilogram of dry air (equation 30).
    pub fn enthalpy(&self) -> KilojoulePerKilogram {
        let (t, ratio) = (self.dry_bulb.0, self.humidity_ratio.0);
        KilojoulePerKilogram(1.006 * t + ratio * (2501.0 + 1.86 * t))
    }

    /// Volume of the mixture per kilogram of dry air (equation 26).
    pub fn specific_volume(&self) -> CubicMetrePerKilogram {
        let kilopascals = self.pressure.0 / 1000.0;
        CubicMetrePerKilogram(
            DRY_AIR_GAS_CONSTANT * self.dry_bulb.kelvins() * (1.0 + 1.607_858 * self.humidity_ratio.0)
                / kilopascals,
        )
    }
}

/// Humidity ratio of a vapour pressure (equation 20); infinite from the boiling point up.
pub(crate) fn humidity_ratio_at(vapour: Pascal, pressure: Pascal) -> HumidityRatio {
    if vapour >= pressure {
        return HumidityRatio(f64::INFINITY);
    }
    HumidityRatio(MOLAR_MASS_RATIO * vapour.0 / (pressure.0 - vapour.0))
}

/// Humidity ratio from dry and wet bulb: equation 33 over water, 35 over ice. Negative where no air is so dry.
fn ratio_at_wet_bulb(dry_bulb: Celsius, wet_bulb: Celsius, pressure: Pascal) -> f64 {
    let saturated = humidity_ratio_at(Pascal(pressure_at(wet_bulb)), pressure).0;
    let (dry, wet) = (dry_bulb.0, wet_bulb.0);
    if wet >= 0.0 {
        ((2501.0 - 2.326 * wet) * saturated - 1.006 * (dry - wet)) / (2501.0 + 1.86 * dry - 4.186 * wet)
    } else {
        ((2830.0 - 0.24 * wet) * saturated - 1.006 * (dry - wet)) / (2830.0 + 1.86 * dry - 2.1 * wet)
    }
}

/// A tenth of an atmosphere holds for any place of work; vapour at the whole pressure is steam, not air.
fn check_below_pressure(vapour: Pascal, pressure: Pascal) -> Result<(), OutOfRange> {
    OutOfRange::check("pressure", pressure.0, 10_000.0..=200_000.0, "Pa")?;
    OutOfRange::check("vapour pressure", vapour.0, 0.0..=pressure.0.next_down(), "Pa")?;
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// ASHRAE Fundamentals ch. 1, Example 1: moist air at 40 °C dry bulb and 20 °C wet bulb, 101.325 kPa,
    /// with the answers as the handbook reads them off its chart.
    #[test]
    fn fundamentals_chapter_1_example_1() {
        let air = MoistAir::from_wet_bulb(Celsius(40.0), Celsius(20.0), Pascal::STANDARD).unwrap();
        let close = |ours: f64, book: f64, within: f64| {
            assert!((ours - book).abs() <= within, "{ours}, not {book}");
        };
        // The chart carries real-gas corrections; the equations alone give 6.40 g/kg.
        close(air.humidity_ratio().grams_per_kilogram(), 6.5, 0.1);
        close(air.enthalpy().0, 56.7, 0.1);
        close(air.dew_point().0, 7.0, 0.5);
        close(air.relative_humidity().percent(), 14.0, 0.5);
        close(air.specific_volume().0, 0.896, 0.001);
    }

    /// ASHRAE Fundamentals ch. 1, Table 1: standard atmosphere.
    #[test]
    fn pressure_falls_with_altitude() {
        for (metres, kilopascals) in [(-500.0, 107.478), (0.0, 101.325), (1000.0, 89.875), (3000.0, 70.108)] {
            let ours = Pascal::at_altitude(Metre(metres)).unwrap().0 / 1000.0;
            assert!((ours - kilopascals).abs() < 0.002, "{metres} m: {ours} kPa");
        }
        assert!(Pascal::at_altitude(Metre(12_000.0)).is_err());
    }

    #[test]
    fn impossible_air_is_refused() {
        let p = Pascal::STANDARD;
        let quantity = |state: Result<MoistAir, OutOfRange>| state.unwrap_err().quantity;
        assert_eq!(quantity(MoistAir::from_dew_point(Celsius(20.0), Celsius(21.0), p)), "dew point");
        assert_eq!(quantity(MoistAir::from_wet_bulb(Celsius(20.0), Celsius(21.0), p)), "wet bulb");
        assert_eq!(quantity(MoistAir::from_wet_bulb(Celsius(40.0), Celsius(5.0), p)), "vapour pressure");
        assert_eq!(
            quantity(MoistAir::from_humidity_ratio(Celsius(20.0), HumidityRatio(0.02), p)),
            "relative humidity"
        );
        assert_eq!(quantity(MoistAir::saturated(Celsius(100.5), p)), "vapour pressure");
        assert_eq!(quantity(MoistAir::saturated(Celsius(20.0), Pascal(0.0))), "pressure");
        assert!(MoistAir::saturated(Celsius(f64::NAN), p).is_err());
    }
}
