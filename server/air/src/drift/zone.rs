//! A zone as the balance sees it: one well-mixed body of air with what stores, leaks and dries.

use super::assumption as assume;
use crate::{
    AirChangesPerHour, Celsius, CubicMetre, JoulePerKelvin, Metre, OutOfRange, SquareMetre, Watt,
    WattPerKelvin,
};

/// A zone and its unit. Every field can be set; [`ZoneModel::of_room`] fills in the printed assumptions.
#[derive(Clone, Debug, PartialEq)]
pub struct ZoneModel {
    /// Volume of its air.
    pub volume: CubicMetre,
    /// Outdoor air that leaks in with the fan off.
    pub infiltration: AirChangesPerHour,
    /// Share of the infiltration that is left with the fan on, 0 to 1.
    pub infiltration_fan_on: f64,
    /// Moisture stored by air and furnishings together, as a multiple of the air's, from 1 up.
    pub moisture_capacitance: f64,
    /// Heat stored by air, construction and furnishings.
    pub heat_capacity: JoulePerKelvin,
    /// Heat conducted to or from outdoors.
    pub conductance: WattPerKelvin,
    /// Place of the coldest inside surface between outdoors (0) and the zone (1).
    pub temperature_factor: f64,
    /// Sensible heat of one person.
    pub person_sensible: Watt,
    /// Latent heat of one person.
    pub person_latent: Watt,
    /// The unit that cools and dries it.
    pub unit: UnitModel,
}

/// A unit that passes the zone's air over a cooling coil, and may reheat it.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitModel {
    /// Air moved while the compressor runs.
    pub supply_air: AirChangesPerHour,
    /// Dry bulb of the air leaving the coil, before any reheat.
    pub coil_dry_bulb: Celsius,
    /// Dew point of the air leaving the coil. Drier air than this passes unchanged.
    pub coil_dew_point: Celsius,
}

impl ZoneModel {
    /// A room by its floor area and ceiling height, and for the rest the
    /// [assumptions](assume::ASSUMPTIONS).
    pub fn of_room(floor_area: SquareMetre, ceiling: Metre) -> Self {
        ZoneModel {
            volume: CubicMetre(floor_area.0 * ceiling.0),
            infiltration: AirChangesPerHour(assume::INFILTRATION.value),
            infiltration_fan_on: assume::INFILTRATION_FAN_ON.value,
            moisture_capacitance: assume::MOISTURE_CAPACITANCE.value,
            heat_capacity: JoulePerKelvin(assume::HEAT_CAPACITY.value * floor_area.0),
            conductance: WattPerKelvin(assume::CONDUCTANCE.value * floor_area.0),
            temperature_factor: assume::TEMPERATURE_FACTOR.value,
            person_sensible: Watt(assume::PERSON_SENSIBLE.value),
            person_latent: Watt(assume::PERSON_LATENT.value),
            unit: UnitModel {
                supply_air: AirChangesPerHour(assume::SUPPLY_AIR.value),
                coil_dry_bulb: Celsius(assume::COIL_DRY_BULB.value),
                coil_dew_point: Celsius(assume::COIL_DEW_POINT.value),
            },
        }
    }

    /// The same zone with its infiltration multiplied, for a sensitivity line.
    #[must_use]
    pub fn with_infiltration_times(&self, factor: f64) -> Self {
        let infiltration = AirChangesPerHour(self.infiltration.0 * factor);
        ZoneModel { infiltration, ..self.clone() }
    }

    /// The first field that no zone can have, if any.
    pub(super) fn check(&self) -> Result<(), OutOfRange> {
        const SOME: std::ops::RangeInclusive<f64> = f64::MIN_POSITIVE..=f64::MAX;
        const ANY: std::ops::RangeInclusive<f64> = 0.0..=f64::MAX;
        let unit = &self.unit;
        for (quantity, value, allowed, of) in [
            ("zone volume", self.volume.0, SOME, "m³"),
            ("infiltration", self.infiltration.0, 0.0..=1000.0, "/h"),
            ("share of the infiltration with the fan on", self.infiltration_fan_on, 0.0..=1.0, ""),
            ("moisture capacitance multiplier", self.moisture_capacitance, 1.0..=1000.0, ""),
            ("heat capacity", self.heat_capacity.0, SOME, "J/K"),
            ("conductance", self.conductance.0, ANY, "W/K"),
            ("temperature factor", self.temperature_factor, 0.0..=1.0, ""),
            ("sensible heat of a person", self.person_sensible.0, ANY, "W"),
            ("latent heat of a person", self.person_latent.0, ANY, "W"),
            ("supply air", unit.supply_air.0, 0.0..=1000.0, "/h"),
            ("coil leaving dry bulb", unit.coil_dry_bulb.0, -50.0..=50.0, "°C"),
            ("coil leaving dew point", unit.coil_dew_point.0, -50.0..=unit.coil_dry_bulb.0, "°C"),
        ] {
            OutOfRange::check(quantity, value, allowed, of)?;
        }
        Ok(())
    }
}

/// Infiltration of a zone with so much exterior area, which leaks `leakage` m³/(s·m²): see
/// [`LEAKAGE_OLDER`](assume::LEAKAGE_OLDER) and [`LEAKAGE_NEWER`](assume::LEAKAGE_NEWER).
pub fn infiltration_through(exterior: SquareMetre, leakage: f64, volume: CubicMetre) -> AirChangesPerHour {
    AirChangesPerHour(exterior.0 * leakage * 3600.0 / volume.0)
}
