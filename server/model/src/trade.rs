//! The trade's words that verdicts go by: calls, limits, services, modes and what an output is. Each kind has one
//! table, with its words as the format spells them and how they belong together; nothing else spells them out.

use crate::quantity::QuantityKind;
use serde::{Serialize, Serializer};
use std::fmt;

/// Makes a kind of word of a table: its rows in order, each with its name.
macro_rules! table {
    ($(#[$doc:meta])* $Word:ident: $Row:ident { $($Variant:ident = $row:expr,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
        pub enum $Word { $($Variant),+ }

        impl $Word {
            /// All of them, in the order they are shown.
            pub const ALL: [$Word; [$($Word::$Variant),+].len()] = [$($Word::$Variant),+];

            /// Their names, in the same order.
            pub const NAMES: &'static [&'static str] = &[$($Word::$Variant.name()),+];

            const fn row(self) -> $Row {
                match self { $($Word::$Variant => $row),+ }
            }

            /// As the format spells it.
            pub const fn name(self) -> &'static str {
                self.row().name
            }

            /// The one that the format spells so.
            pub fn of(name: &str) -> Option<$Word> {
                $Word::ALL.into_iter().find(|word| word.name() == name)
            }
        }

        impl fmt::Display for $Word {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.name())
            }
        }

        impl Serialize for $Word {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.name())
            }
        }

        impl AsRef<str> for $Word {
            fn as_ref(&self) -> &str {
                self.name()
            }
        }
    };
}

#[derive(Clone, Copy)]
struct CallRow {
    name: &'static str,
    words: &'static str,
    /// The service it asks for.
    service: Option<Service>,
    /// The limit that makes it.
    limit: Option<LimitKey>,
    /// The stage that is on whenever this one is.
    first_stage: Option<Call>,
}

table! {
    /// What a thermostat asks of a unit. An input of a unit type that has a call's name takes that call.
    Call: CallRow {
        Cool1 = CallRow {
            name: "cool-1",
            words: "the first-stage cooling call",
            service: Some(Service::Cooling),
            limit: Some(LimitKey::CoolAbove),
            first_stage: None,
        },
        Cool2 = CallRow {
            name: "cool-2",
            words: "the second-stage cooling call",
            first_stage: Some(Call::Cool1),
            ..Call::Cool1.row()
        },
        Heat1 = CallRow {
            name: "heat-1",
            words: "the first-stage heating call",
            service: Some(Service::Heating),
            limit: Some(LimitKey::HeatBelow),
            first_stage: None,
        },
        Heat2 = CallRow {
            name: "heat-2",
            words: "the second-stage heating call",
            first_stage: Some(Call::Heat1),
            ..Call::Heat1.row()
        },
        Dehumidify = CallRow {
            name: "dehumidify",
            words: "the dehumidify call",
            service: Some(Service::Dehumidification),
            limit: Some(LimitKey::DehumidifyAbove),
            first_stage: None,
        },
        Humidify = CallRow {
            name: "humidify",
            words: "the humidify call",
            service: Some(Service::Humidification),
            limit: Some(LimitKey::HumidifyBelow),
            first_stage: None,
        },
        Fan = CallRow { name: "fan", words: "the fan call", service: None, limit: None, first_stage: None },
    }
}

impl Call {
    /// `the first-stage heating call` and its like.
    pub const fn words(self) -> &'static str {
        self.row().words
    }

    /// What it calls for, of its first stage: `heating`, `dehumidify`.
    pub fn plain_words(self) -> &'static str {
        match self.limit() {
            Some(key) if key.is_temperature() => self.service().map_or(self.name(), Service::name),
            _ => self.name(),
        }
    }

    /// The service it asks for; nothing for a call that asks for none that verdicts tell of.
    pub const fn service(self) -> Option<Service> {
        self.row().service
    }

    /// The limit of a zone that makes it; nothing for a call that no limit makes.
    pub const fn limit(self) -> Option<LimitKey> {
        self.row().limit
    }

    /// The stage that is on whenever this one is: of a second stage, the first.
    pub const fn first_stage(self) -> Option<Call> {
        self.row().first_stage
    }
}

/// Which readings make a call.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Side {
    Above,
    Below,
}

#[derive(Clone, Copy)]
struct LimitRow {
    name: &'static str,
    side: Side,
    measures: &'static [QuantityKind],
    example: &'static str,
    text: &'static str,
}

const TEMPERATURE: &[QuantityKind] = &[QuantityKind::Temperature];
const HUMIDITY: &[QuantityKind] = &[QuantityKind::RelativeHumidity, QuantityKind::DewPoint];

table! {
    /// A limit of a zone, at which its thermostat calls.
    LimitKey: LimitRow {
        HeatBelow = LimitRow {
            name: "heat-below",
            side: Side::Below,
            measures: TEMPERATURE,
            example: "70 °F",
            text: "heating setpoint",
        },
        CoolAbove = LimitRow {
            name: "cool-above",
            side: Side::Above,
            measures: TEMPERATURE,
            example: "75 °F",
            text: "cooling setpoint",
        },
        DehumidifyAbove = LimitRow {
            name: "dehumidify-above",
            side: Side::Above,
            measures: HUMIDITY,
            example: "55 %RH",
            text: "upper humidity limit, relative or as a dew point (58 °F dew point)",
        },
        HumidifyBelow = LimitRow {
            name: "humidify-below",
            side: Side::Below,
            measures: HUMIDITY,
            example: "30 %RH",
            text: "lower humidity limit, relative or as a dew point",
        },
    }
}

impl LimitKey {
    /// The limits between which a temperature lies: where heating ends, and where cooling does.
    pub const SETPOINTS: [LimitKey; 2] = [LimitKey::HeatBelow, LimitKey::CoolAbove];

    /// Which readings make its call.
    pub const fn side(self) -> Side {
        self.row().side
    }

    /// Whether readings above it make its call.
    pub const fn above(self) -> bool {
        matches!(self.side(), Side::Above)
    }

    /// What it may be a limit of.
    pub const fn measures(self) -> &'static [QuantityKind] {
        self.row().measures
    }

    /// Whether it is a limit of a temperature, and not of humidity.
    pub const fn is_temperature(self) -> bool {
        matches!(self.measures(), [QuantityKind::Temperature])
    }

    /// The limit on the other side of the same measurement.
    pub fn opposite(self) -> Option<LimitKey> {
        let opposed =
            |key: &LimitKey| key.is_temperature() == self.is_temperature() && key.side() != self.side();
        LimitKey::ALL.into_iter().find(opposed)
    }

    /// The calls that it makes, the first stage first.
    pub fn calls(self) -> impl Iterator<Item = Call> {
        Call::ALL.into_iter().filter(move |call| call.limit() == Some(self))
    }

    /// The call that it makes first.
    pub fn call(self) -> Option<Call> {
        self.calls().find(|call| call.first_stage().is_none())
    }

    /// The service that its calls ask for.
    pub fn service(self) -> Option<Service> {
        self.call()?.service()
    }

    pub(crate) const fn example(self) -> &'static str {
        self.row().example
    }

    pub(crate) const fn text(self) -> &'static str {
        self.row().text
    }
}

#[derive(Clone, Copy)]
struct Named {
    name: &'static str,
}

const fn named(name: &'static str) -> Named {
    Named { name }
}

table! {
    /// What a unit gives its zone. A job's own type may write services of other names, which are told of by those.
    Service: Named {
        Dehumidification = named("dehumidification"),
        Cooling = named("cooling"),
        Heating = named("heating"),
        Humidification = named("humidification"),
        Ventilation = named("ventilation"),
    }
}

impl Service {
    /// The calls for it; none for a service that is not called for.
    pub fn calls(self) -> impl Iterator<Item = Call> {
        Call::ALL.into_iter().filter(move |call| call.service() == Some(self))
    }
}

table! {
    /// What a zone's schedule says. An input of a unit type that is called [`Mode::OCCUPIED_INPUT`] says it to a unit.
    Mode: Named {
        Occupied = named("occupied"),
        Unoccupied = named("unoccupied"),
    }
}

impl Mode {
    /// The input of a unit that says that its zone is occupied.
    pub const OCCUPIED_INPUT: &'static str = Mode::Occupied.name();
}

#[derive(Clone, Copy)]
struct RoleRow {
    name: &'static str,
    text: &'static str,
    cools: bool,
}

const fn role(name: &'static str, text: &'static str) -> RoleRow {
    RoleRow { name, text, cools: false }
}

table! {
    /// What an output of a unit type switches, as its `role` says.
    Role: RoleRow {
        Compressor = RoleRow { cools: true, ..role("compressor", "a compressor or a stage of one") },
        Cooling = RoleRow { cools: true, ..role("cooling", "a chilled water valve or another source of cold") },
        Reheat = role("reheat", "a valve or heater that warms air again behind the cooling coil"),
        Heat = role("heat", "a heater, a heating valve or auxiliary heat"),
        ReversingValve = role("reversing-valve", "the valve that turns a heat pump from cooling to heating"),
        Fan = role("fan", "a supply, exhaust or process fan"),
        Damper = role("damper", "a damper or an airflow setpoint"),
        Humidifier = role("humidifier", "a humidifier's valve or heater"),
        Wheel = role("wheel", "an energy recovery or desiccant wheel"),
        Reactivation = role("reactivation", "the heater that dries a desiccant"),
        Pump = role("pump", "a circulating pump"),
    }
}

impl Role {
    /// What it is, in words.
    pub const fn text(self) -> &'static str {
        self.row().text
    }

    /// Whether it takes heat out of the air while it is on.
    pub const fn cools(self) -> bool {
        self.row().cools
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_is_of_one_word() {
        for call in Call::ALL {
            assert_eq!(Call::of(call.name()), Some(call));
        }
        for key in LimitKey::ALL {
            assert_eq!(LimitKey::of(key.name()), Some(key));
        }
        for service in Service::ALL {
            assert_eq!(Service::of(service.name()), Some(service));
        }
        for role in Role::ALL {
            assert_eq!(Role::of(role.name()), Some(role));
        }
        assert_eq!(Mode::NAMES, Mode::ALL.map(Mode::name));
    }

    #[test]
    fn calls_limits_and_services_belong_together() {
        for key in LimitKey::ALL {
            let calls: Vec<Call> = key.calls().collect();
            assert!(calls.iter().all(|call| call.service() == key.service()), "{key}");
            assert_eq!(key.opposite().and_then(LimitKey::opposite), Some(key));
        }
        for call in Call::ALL {
            if let Some(first) = call.first_stage() {
                assert_eq!((first.limit(), first.service()), (call.limit(), call.service()), "{call}");
                assert_eq!(first.first_stage(), None, "{call}");
            }
        }
    }
}
