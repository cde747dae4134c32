//! `zones:` — what a thermostat is set to.

use super::reader::Reader;
use super::section::Section;
use crate::fields::{Field, ValueShape, free, needed};
use crate::kind::Kind;
use crate::names::{Name, Written};
use crate::quantity::{Quantity, QuantityKind, Range};
use crate::trade::{LimitKey, Mode};
use syntax::{NodeId, NodeKind};

const FIELDS: &[Field] = &[
    free(
        "schedule",
        ValueShape::NameOf(Kind::Schedule),
        "the schedule that says when the zone is occupied; always occupied when left out",
    ),
    free(Mode::Occupied.name(), ValueShape::Fields(LIMITS), "limits while occupied"),
    free(Mode::Unoccupied.name(), ValueShape::Fields(LIMITS), "limits while unoccupied"),
    free("thermostat", ValueShape::Fields(THERMOSTAT), "differentials, offsets and sensor ranges"),
    free("space", ValueShape::Fields(SPACE), "the room, for predictions"),
];

/// A limit's key: a quantity, or a schedule that says it.
const LIMITS: &[Field] = &{
    let mut fields = [free("", ValueShape::Text, ""); LimitKey::ALL.len()];
    let mut n = 0;
    while n < fields.len() {
        let key = LimitKey::ALL[n];
        fields[n] = free(key.name(), ValueShape::Either(&VALUES[n]), key.text());
        n += 1;
    }
    fields
};

/// What may stand behind each.
static VALUES: [[ValueShape; 2]; LimitKey::ALL.len()] = {
    let mut values = [[FOLLOWED; 2]; LimitKey::ALL.len()];
    let mut n = 0;
    while n < values.len() {
        values[n] = [ValueShape::Quantity(LimitKey::ALL[n].example()), FOLLOWED];
        n += 1;
    }
    values
};

const FOLLOWED: ValueShape = ValueShape::Fields(FOLLOWED_FIELDS);

const FOLLOWED_FIELDS: &[Field] = &[needed(
    "schedule",
    ValueShape::NameOf(Kind::Schedule),
    "the schedule whose value is the limit at any time; its `values` are a unit of measure",
)];

const THERMOSTAT: &[Field] = &[
    free("differential", ValueShape::Quantity("1 °F"), "how far past its setpoint a temperature call begins"),
    free("stage-2-offset", ValueShape::Quantity("2 °F"), "how far a second stage lies behind the first"),
    free(
        "humidity-differential",
        ValueShape::Quantity("4 %RH"),
        "how far past its limit a humidity call begins",
    ),
    free(
        "sensor-range",
        ValueShape::Fields(SENSOR),
        "what the zone's sensors can report, where no measuring point says it",
    ),
    free("fan", ValueShape::Word(&["auto", "continuous"]), "whether the fan runs between calls"),
];

const SENSOR: &[Field] = &[
    free("humidity", ValueShape::Range, "of the humidity sensor"),
    free("temperature", ValueShape::Range, "of the temperature sensor"),
];

const SPACE: &[Field] = &[
    free("floor-area", ValueShape::Quantity("1200 ft²"), "floor area"),
    free("ceiling", ValueShape::Quantity("10 ft"), "ceiling height"),
    free("people", ValueShape::Number, "people when occupied"),
    free("infiltration", ValueShape::Quantity("0.3 /h"), "air changes an hour through the envelope"),
    free(
        "altitude",
        ValueShape::Quantity("20 ft"),
        "height above sea level, where it differs from the site's",
    ),
    free(
        "surfaces",
        ValueShape::Named(&ValueShape::Quantity("55 °F")),
        "surfaces that must stay dry, with their temperatures",
    ),
];

#[derive(Clone, PartialEq, Debug, Default)]
pub struct Zone {
    /// Its occupancy schedule.
    pub schedule: Option<Written<Name>>,
    /// Limits, by mode.
    limits: [Option<ModeLimits>; Mode::ALL.len()],
    pub thermostat: Thermostat,
    space: Option<Box<Space>>,
}

impl Zone {
    /// Its limits in a mode.
    pub fn limits(&self, mode: Mode) -> Option<&ModeLimits> {
        self.limits.get(mode as usize)?.as_ref()
    }

    /// The limits of each mode that sets any.
    pub fn each_limits(&self) -> impl Iterator<Item = &ModeLimits> {
        self.limits.iter().flatten()
    }

    /// The room.
    pub fn space(&self) -> &Space {
        static NONE: Space = Space {
            floor_area: None,
            ceiling: None,
            people: None,
            infiltration: None,
            altitude: None,
            surfaces: Vec::new(),
        };
        self.space.as_deref().unwrap_or(&NONE)
    }
}

/// Limits of one mode.
#[derive(Clone, PartialEq, Debug)]
pub struct ModeLimits {
    /// The mode's key.
    pub at: NodeId,
    /// Values, by key.
    values: [Option<Written<Quantity>>; LimitKey::ALL.len()],
    /// Those that follow a schedule; their values are nothing.
    pub followed: Box<[FollowedLimit]>,
}

/// A limit that is whatever a schedule says.
#[derive(Clone, PartialEq, Debug)]
pub struct FollowedLimit {
    pub key: LimitKey,
    /// What stands behind the key.
    pub at: NodeId,
    pub schedule: Written<Name>,
}

impl FollowedLimit {
    /// Whether a value of its schedule can be such a limit.
    pub fn takes(&self, value: Quantity) -> bool {
        self.key.measures().iter().any(|measure| value.is(*measure))
    }
}

impl ModeLimits {
    /// The limits at a time at which the schedules they follow say so much; nothing for a schedule
    /// whose value is not known.
    #[must_use]
    pub fn with(&self, value: impl Fn(&FollowedLimit) -> Option<Quantity>) -> ModeLimits {
        let mut limits = self.clone();
        for followed in &self.followed {
            let value = value(followed).filter(|value| followed.takes(*value));
            limits.set(followed.key, value.map(|value| Written::new(value, followed.at)));
        }
        limits
    }

    /// The limit behind a key that follows a schedule.
    pub fn followed(&self, key: LimitKey) -> Option<&FollowedLimit> {
        self.followed.iter().find(|followed| followed.key == key)
    }

    /// The value behind a key.
    pub fn value(&self, key: LimitKey) -> Option<Written<Quantity>> {
        *self.values.get(key as usize)?
    }

    /// Whether a limit is set, be it a value or a schedule's.
    pub fn sets(&self, key: LimitKey) -> bool {
        self.value(key).is_some() || self.followed(key).is_some()
    }

    /// Whether a dehumidification limit is set.
    pub fn dries(&self) -> bool {
        self.sets(LimitKey::DehumidifyAbove)
    }

    fn set(&mut self, key: LimitKey, value: Option<Written<Quantity>>) {
        if let Some(slot) = self.values.get_mut(key as usize) {
            *slot = value;
        }
    }
}

/// Common practice, no source: from a cold store to a drying room.
const SETPOINTS: (&str, &str) = ("-40 °F", "150 °F");

/// Where people build: well inside what the equation of air pressure holds for, ASHRAE Fundamentals 2017,
/// chapter 1, equation 3 (5,000 m below to 11,000 m above sea level).
pub(super) const ALTITUDES: (&str, &str) = ("-1500 ft", "20000 ft");

/// Differentials and ranges; defaults are constants beside it.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Thermostat {
    pub differential: Option<Written<Quantity>>,
    pub stage_2_offset: Option<Written<Quantity>>,
    pub humidity_differential: Option<Written<Quantity>>,
    pub humidity_range: Option<Written<Range>>,
    pub temperature_range: Option<Written<Range>>,
    /// Whether the fan runs between calls; `auto` when left out.
    pub fan_continuous: Option<Written<bool>>,
}

/// Common practice, no source: 1 °F for a temperature differential, in K.
pub const DIFFERENTIAL_K: f64 = 1.0 / air::FAHRENHEIT_PER_KELVIN;
/// Common practice, no source: the second stage 2 °F behind the first, in K.
pub const STAGE_2_OFFSET_K: f64 = 2.0 / air::FAHRENHEIT_PER_KELVIN;
/// Common practice, no source: a humidistat differential of 4 %RH.
pub const HUMIDITY_DIFFERENTIAL: f64 = 4.0;

/// The room, for predictions.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Space {
    pub floor_area: Option<Written<Quantity>>,
    pub ceiling: Option<Written<Quantity>>,
    pub people: Option<Written<f64>>,
    pub infiltration: Option<Written<Quantity>>,
    pub altitude: Option<Written<Quantity>>,
    pub surfaces: Vec<(Written<Name>, Written<Quantity>)>,
}

impl Section for Zone {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<Zone> {
        Some(lower(r))
    }

    fn brief(&self) -> Option<String> {
        self.schedule.as_ref().map(|schedule| schedule.value.to_string())
    }
}

fn lower(r: &mut Reader<'_>) -> Zone {
    let f = r.fields(r.part.value(), FIELDS, "a zone");
    let schedule = f.get("schedule").and_then(|n| r.reference(n, Kind::Schedule));
    if let (None, Some(at)) = (f.get("schedule"), f.key(Mode::Unoccupied.name())) {
        r.unfit(
            at,
            "These limits are never used: the zone has no `schedule`, so it is always occupied. Add `schedule`.",
        );
    }
    Zone {
        schedule,
        limits: Mode::ALL.map(|mode| limits(r, &f, mode)),
        thermostat: f.get("thermostat").map(|n| thermostat(r, n)).unwrap_or_default(),
        space: f.get("space").map(|n| Box::new(space(r, n))),
    }
}

fn limits(r: &mut Reader<'_>, f: &super::reader::Fields, mode: Mode) -> Option<ModeLimits> {
    let at = f.key(mode.name())?;
    let m = r.fields(f.get(mode.name())?, LIMITS, &format!("`{mode}`"));
    let mut limits = ModeLimits { at, values: [None; LimitKey::ALL.len()], followed: Box::default() };
    let mut all = Vec::new();
    for key in LimitKey::ALL {
        let Some(node) = m.get(key.name()) else { continue };
        if r.part.kind(node) != NodeKind::Map {
            let value = if key.is_temperature() {
                r.quantity_within(node, key.measures(), key.example(), SETPOINTS)
            } else {
                r.quantity(node, key.measures(), key.example())
            };
            limits.set(key, value);
        } else if let Some(schedule) = followed(r, node, key) {
            all.push(FollowedLimit { key, at: node, schedule });
        }
    }
    limits.followed = all.into();
    Some(limits)
}

fn followed(r: &mut Reader<'_>, node: NodeId, key: LimitKey) -> Option<Written<Name>> {
    let f = r.fields(node, FOLLOWED_FIELDS, &format!("`{key}`"));
    f.get("schedule").and_then(|n| r.reference(n, Kind::Schedule))
}

fn thermostat(r: &mut Reader<'_>, node: NodeId) -> Thermostat {
    let f = r.fields(node, THERMOSTAT, "`thermostat`");
    let step = |r: &mut Reader<'_>, key, example: &str| {
        let steps = [QuantityKind::TemperatureStep];
        let humid = [QuantityKind::RelativeHumidity, QuantityKind::DewPoint];
        let wanted: &[QuantityKind] = if example.contains("RH") { &humid } else { &steps };
        let q = f.get(key).and_then(|n| r.quantity(n, wanted, example))?;
        if q.value.value < 0.0 {
            r.unfit(q.at, format!("`{key}` cannot be negative. Write it like `{example}`."));
            return None;
        }
        Some(q)
    };
    let mut t = Thermostat {
        differential: step(r, "differential", "1 °F"),
        stage_2_offset: step(r, "stage-2-offset", "2 °F"),
        humidity_differential: step(r, "humidity-differential", "4 %RH"),
        ..Thermostat::default()
    };
    if let Some(node) = f.get("sensor-range") {
        let s = r.fields(node, SENSOR, "`sensor-range`");
        t.humidity_range = s.get("humidity").and_then(|n| r.range(n, "0..100 %RH"));
        t.temperature_range = s.get("temperature").and_then(|n| r.range(n, "32..122 °F"));
    }
    t.fan_continuous =
        f.get("fan").and_then(|n| Some(Written::new(r.word(n, &["auto", "continuous"])? == 1, n)));
    t
}

fn people(r: &mut Reader<'_>, node: NodeId) -> Option<Written<f64>> {
    let people = r.number(node, "`people`")?;
    if people < 0.0 {
        r.unfit(node, "`people` cannot be negative. Write `0` for none.");
        return None;
    }
    Some(Written::new(people, node))
}

fn space(r: &mut Reader<'_>, node: NodeId) -> Space {
    let f = r.fields(node, SPACE, "`space`");
    let quantity = |r: &mut Reader<'_>, key, measure, example, ends| {
        f.get(key).and_then(|n| r.quantity_within(n, &[measure], example, ends))
    };
    let mut s = Space {
        floor_area: quantity(r, "floor-area", QuantityKind::Area, "1200 ft²", ("1 ft²", "10000000 ft²")),
        ceiling: quantity(r, "ceiling", QuantityKind::Length, "10 ft", ("1 ft", "1000 ft")),
        people: f.get("people").and_then(|n| people(r, n)),
        infiltration: quantity(r, "infiltration", QuantityKind::Rate, "0.3 /h", ("0 /h", "100 /h")),
        altitude: quantity(r, "altitude", QuantityKind::Length, "20 ft", ALTITUDES),
        surfaces: Vec::new(),
    };
    if let Some(node) = f.get("surfaces").filter(|n| r.part.kind(*n) != NodeKind::Null) {
        for (name, at) in r.named(node, "`surfaces`") {
            let t = r.quantity(at, &[QuantityKind::Temperature], "55 °F");
            s.surfaces.extend(t.map(|t| (name, t)));
        }
    }
    s
}
