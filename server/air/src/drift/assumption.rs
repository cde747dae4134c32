//! What a prediction takes for granted where nobody has said better, each with where it comes from.

/// A default value, to be printed with its source wherever a prediction rests on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumption {
    /// What it is, in the trade's words.
    pub name: &'static str,
    /// The value, in `unit`.
    pub value: f64,
    /// Unit of the value; empty for a plain number.
    pub unit: &'static str,
    /// Document and place, or the plain word that there is none.
    pub source: &'static str,
}

const NO_SOURCE: &str = "common practice, no source";

/// Outdoor air that leaks in while the fan stands still.
pub const INFILTRATION: Assumption =
    Assumption { name: "infiltration, fan off", value: 0.3, unit: "/h", source: NO_SOURCE };

/// Leakage through the exterior of buildings to older codes, for
/// [`infiltration_through`](super::infiltration_through).
pub const LEAKAGE_OLDER: Assumption = Assumption {
    name: "leakage by exterior area, older buildings",
    value: 0.000_569,
    unit: "m³/(s·m²)",
    source: "US DOE commercial prototype buildings, infiltration",
};

/// Leakage through the exterior of buildings to newer codes, for
/// [`infiltration_through`](super::infiltration_through).
pub const LEAKAGE_NEWER: Assumption = Assumption {
    name: "leakage by exterior area, newer buildings",
    value: 0.000_227,
    unit: "m³/(s·m²)",
    source: "US DOE commercial prototype buildings, infiltration",
};

/// Share of the infiltration that is left while a fan keeps the zone under pressure.
pub const INFILTRATION_FAN_ON: Assumption = Assumption {
    name: "share of the infiltration left with the fan on",
    value: 0.25,
    unit: "",
    source: "US DOE commercial prototype buildings, infiltration schedules",
};

/// Moisture that furnishings and lining take up with the air, as a multiple of the air's own.
pub const MOISTURE_CAPACITANCE: Assumption = Assumption {
    name: "moisture capacitance multiplier",
    value: 15.0,
    unit: "",
    source: "10 to 25 by the EnergyPlus Engineering Reference, moisture predictor-corrector",
};

/// Heat that construction and furnishings take up with the air, by floor area.
pub const HEAT_CAPACITY: Assumption = Assumption {
    name: "heat capacity by floor area",
    value: 110_000.0,
    unit: "J/(K·m²)",
    source: "ISO 13790:2008 table 12, class light (from memory)",
};

/// Heat conducted between the zone and outdoors, by floor area.
pub const CONDUCTANCE: Assumption = Assumption {
    name: "envelope conductance by floor area",
    value: 0.7,
    unit: "W/(K·m²)",
    source: NO_SOURCE,
};

/// How near the coldest inside surface is to the zone's temperature (1) or the outdoors' (0).
pub const TEMPERATURE_FACTOR: Assumption = Assumption {
    name: "temperature factor of the coldest surface",
    value: 0.7,
    unit: "",
    source: "DIN 4108-2, lowest that is allowed (from memory)",
};

/// Sensible heat of one person.
pub const PERSON_SENSIBLE: Assumption = Assumption {
    name: "sensible heat of a person",
    value: 75.0,
    unit: "W",
    source: "ASHRAE Fundamentals 2017 ch. 18 table 1, moderately active office work (from memory)",
};

/// Latent heat of one person.
pub const PERSON_LATENT: Assumption = Assumption {
    name: "latent heat of a person",
    value: 55.0,
    unit: "W",
    source: "ASHRAE Fundamentals 2017 ch. 18 table 1, moderately active office work (from memory)",
};

/// Air that the unit moves while it cools or dries: 1 cfm a square foot under a 10 ft ceiling.
pub const SUPPLY_AIR: Assumption =
    Assumption { name: "supply air", value: 6.0, unit: "/h", source: NO_SOURCE };

/// Dry bulb of the air that leaves the cooling coil: 55 °F.
pub const COIL_DRY_BULB: Assumption =
    Assumption { name: "coil leaving dry bulb", value: 12.8, unit: "°C", source: NO_SOURCE };

/// Dew point of the air that leaves the cooling coil: 95 %RH at 55 °F.
pub const COIL_DEW_POINT: Assumption =
    Assumption { name: "coil leaving dew point", value: 12.0, unit: "°C", source: NO_SOURCE };

/// The assumptions of [`ZoneModel::of_room`](super::ZoneModel::of_room), in the order of its fields.
pub const ASSUMPTIONS: [Assumption; 11] = [
    INFILTRATION,
    INFILTRATION_FAN_ON,
    MOISTURE_CAPACITANCE,
    HEAT_CAPACITY,
    CONDUCTANCE,
    TEMPERATURE_FACTOR,
    PERSON_SENSIBLE,
    PERSON_LATENT,
    SUPPLY_AIR,
    COIL_DRY_BULB,
    COIL_DEW_POINT,
];
