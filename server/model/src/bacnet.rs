//! Names and limits of ASHRAE 135 (ISO 16484-5): object types, instances, engineering units.

use std::fmt;

/// Object types a point list uses, by the standard's names.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum ObjectType {
    AnalogInput,
    AnalogOutput,
    AnalogValue,
    BinaryInput,
    BinaryOutput,
    BinaryValue,
    MultiStateInput,
    MultiStateOutput,
    MultiStateValue,
}

/// Type, the standard's name and the trade's abbreviation.
const TYPES: [(ObjectType, &str, &str); 9] = [
    (ObjectType::AnalogInput, "analog-input", "AI"),
    (ObjectType::AnalogOutput, "analog-output", "AO"),
    (ObjectType::AnalogValue, "analog-value", "AV"),
    (ObjectType::BinaryInput, "binary-input", "BI"),
    (ObjectType::BinaryOutput, "binary-output", "BO"),
    (ObjectType::BinaryValue, "binary-value", "BV"),
    (ObjectType::MultiStateInput, "multi-state-input", "MSI"),
    (ObjectType::MultiStateOutput, "multi-state-output", "MSO"),
    (ObjectType::MultiStateValue, "multi-state-value", "MSV"),
];

impl ObjectType {
    /// The type a text names: `binary-output` or `BO`.
    pub fn parse(text: &str) -> Option<ObjectType> {
        TYPES
            .iter()
            .find(|(_, name, short)| *name == text || short.eq_ignore_ascii_case(text))
            .map(|(kind, ..)| *kind)
    }

    /// The standard's names, for messages and completion.
    pub fn names() -> impl Iterator<Item = &'static str> {
        TYPES.iter().map(|(_, name, _)| *name)
    }

    /// The standard's name.
    pub fn name(self) -> &'static str {
        TYPES.iter().find(|(kind, ..)| *kind == self).map_or("", |(_, name, _)| name)
    }

    /// Whether it carries a number with engineering units.
    pub fn is_analog(self) -> bool {
        matches!(self, Self::AnalogInput | Self::AnalogOutput | Self::AnalogValue)
    }

    /// Whether it is on or off.
    pub fn is_binary(self) -> bool {
        matches!(self, Self::BinaryInput | Self::BinaryOutput | Self::BinaryValue)
    }

    /// Whether it reads the field and cannot command it.
    pub fn is_input(self) -> bool {
        matches!(self, Self::AnalogInput | Self::BinaryInput | Self::MultiStateInput)
    }

    /// Whether it commands the field.
    pub fn is_output(self) -> bool {
        matches!(self, Self::AnalogOutput | Self::BinaryOutput | Self::MultiStateOutput)
    }
}

/// The highest object instance that may be used; 4194303 is reserved (22 bits).
pub const LAST_INSTANCE: u32 = 4_194_302;

/// Type and instance of an object in its device: `binary-output 3`.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct Object {
    /// Its type.
    pub kind: ObjectType,
    /// Its instance as written; may be out of range, which a check reports.
    pub instance: u32,
}

impl fmt::Display for Object {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.kind.name(), self.instance)
    }
}

/// What an engineering unit measures, as far as a check wants to know.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Quality {
    Temperature,
    /// A difference of temperatures.
    TemperatureStep,
    RelativeHumidity,
    /// A share of a span: valve or damper position, fan speed.
    Share,
    Pressure,
    /// Air or water flow.
    Flow,
    /// Gas concentration.
    Concentration,
    /// Mass of water to mass of dry air.
    HumidityRatio,
    /// Anything else in the standard's list.
    Other,
}

/// An engineering unit of the standard.
#[derive(Debug, PartialEq, Eq)]
pub struct EngineeringUnit {
    /// The standard's name.
    pub name: &'static str,
    /// The standard's number (`BACnetEngineeringUnits`).
    pub number: u16,
    /// What it measures.
    pub quality: Quality,
    /// Abbreviations accepted for it.
    pub short: &'static [&'static str],
}

macro_rules! units {
    ($($name:literal $number:literal $quality:ident [$($short:literal)*])*) => {
        &[$(EngineeringUnit { name: $name, number: $number, quality: Quality::$quality, short: &[$($short),*] }),*]
    };
}

/// Units a point list of air handling uses, with ASHRAE 135's names and numbers (clause 21,
/// `BACnetEngineeringUnits`; 62, 64, 29 and 98 checked, the rest from memory).
pub const ENGINEERING_UNITS: &[EngineeringUnit] = units! {
    "degrees-celsius" 62 Temperature ["°C" "degC"]
    "degrees-kelvin" 63 Temperature ["K"]
    "degrees-fahrenheit" 64 Temperature ["°F" "degF"]
    "delta-degrees-fahrenheit" 120 TemperatureStep ["Δ°F"]
    "delta-degrees-kelvin" 121 TemperatureStep ["ΔK"]
    "percent-relative-humidity" 29 RelativeHumidity ["%RH"]
    "percent" 98 Share ["%"]
    "pascals" 53 Pressure ["Pa"]
    "kilopascals" 54 Pressure ["kPa"]
    "inches-of-water" 58 Pressure ["inH2O" "in. w.c."]
    "pounds-force-per-square-inch" 56 Pressure ["psi"]
    "cubic-feet-per-minute" 84 Flow ["cfm"]
    "cubic-meters-per-second" 85 Flow ["m³/s"]
    "liters-per-second" 87 Flow ["L/s"]
    "us-gallons-per-minute" 89 Flow ["gpm"]
    "parts-per-million" 96 Concentration ["ppm"]
    "grams-of-water-per-kilogram-dry-air" 28 HumidityRatio ["g/kg"]
    "btus-per-pound-dry-air" 24 Other []
    "joules-per-kilogram-dry-air" 23 Other []
    "amperes" 3 Other ["A"]
    "volts" 5 Other ["V"]
    "hertz" 27 Other ["Hz"]
    "kilowatts" 48 Other ["kW"]
    "watts" 47 Other ["W"]
    "kilowatt-hours" 19 Other ["kWh"]
    "hours" 71 Other ["h"]
    "minutes" 72 Other ["min"]
    "seconds" 73 Other ["s"]
    "revolutions-per-minute" 104 Other ["rpm"]
    "no-units" 95 Other []
};

impl EngineeringUnit {
    /// The unit a text names: the standard's name or an abbreviation.
    pub fn parse(text: &str) -> Option<&'static EngineeringUnit> {
        ENGINEERING_UNITS.iter().find(|u| u.name == text || u.short.contains(&text))
    }
}
