//! `points:` — one line a point, as in a point list.

use super::reader::{Reader, Use};
use super::section::Section;
use crate::bacnet::{EngineeringUnit, Object, ObjectType};
use crate::fields::{Field, ValueShape, free};
use crate::kind::Kind;
use crate::names::{Name, Written};
use crate::quantity::Range;
use crate::trade::Call;
use crate::words::Words;
use syntax::{NodeId, NodeKind};

const FIELDS: &[Field] = &[
    free("device", ValueShape::NameOf(Kind::Device), "the device that holds the object"),
    free("object", ValueShape::Object, "BACnet object type and instance: `binary-output 3` or `BO 3`"),
    free("description", ValueShape::Text, "what it is, as a reviewer reads it"),
    free(
        "use",
        ValueShape::Word(USES),
        "why nothing in the job uses it: only watched, or a terminal kept free",
    ),
    free(
        "driven-by",
        ValueShape::Either(&[ValueShape::Fields(DRIVER), ValueShape::List(&ValueShape::Fields(DRIVER))]),
        "what gives it its value",
    ),
    free("measures", ValueShape::Fields(MEASURES), "what it reads from the field"),
    free("units", ValueShape::EngineeringUnits, "engineering units, by the standard's names"),
    free("range", ValueShape::Range, "what it can report, in its units"),
    free("low-limit", ValueShape::Number, "low alarm limit, in its units"),
    free("high-limit", ValueShape::Number, "high alarm limit, in its units"),
    free("cov-increment", ValueShape::Number, "change of value that is reported, in its units"),
    free("accuracy", ValueShape::Number, "the sensor's accuracy, plus or minus, in its units"),
];

const DRIVER: &[Field] = &[
    free("schedule", ValueShape::NameOf(Kind::Schedule), "a schedule's value"),
    free("call", ValueShape::Word(Call::NAMES), "a thermostat's call; with `zone`"),
    free("zone", ValueShape::NameOf(Kind::Zone), "the zone whose thermostat calls"),
    free("operator", ValueShape::Word(&["on", "off", "on-or-off"]), "set by hand"),
    free("point", ValueShape::NameOf(Kind::Point), "another point's value"),
    free("logic", ValueShape::Logic, "logic over points: \"HP1-OCC and not FIRE\""),
    free("contact", ValueShape::Text, "a free contact in the field"),
    free(
        "inverted",
        ValueShape::Word(&["true", "false"]),
        "a normally-closed relay: on when the source is off",
    ),
    free("override", ValueShape::Fields(OVERRIDE), "a manual command that hides the source"),
    free("priority", ValueShape::Whole(1, 16), "the command's priority; 16 when left out"),
];

/// Keys of `driven-by` of which it has one.
pub const SOURCES: &[&str] = &["schedule", "call", "operator", "point", "logic", "contact"];

const OVERRIDE: &[Field] = &[
    free("value", ValueShape::Word(&["on", "off"]), "what it is overridden to"),
    free("priority", ValueShape::Whole(1, 16), "its priority; 8, manual operator, when left out"),
];

const MEASURES: &[Field] = &[
    free("zone", ValueShape::NameOf(Kind::Zone), "the zone it is in"),
    free("quantity", ValueShape::Word(QUANTITIES), "what it measures"),
];

/// Quantities a zone's point measures.
pub const QUANTITIES: &[&str] =
    &["temperature", "humidity", "dew-point", "carbon-dioxide", "occupancy", "pressure"];

#[derive(Clone, PartialEq, Debug, Default)]
pub struct Point {
    /// The device that holds it.
    pub device: Option<Written<Name>>,
    pub object: Option<Written<Object>>,
    /// What it is, in words.
    pub text: Option<Written<Name>>,
    /// What gives it its value; more than one if the job says so.
    pub drivers: Box<[Driver]>,
    /// Why nothing in the job uses it, where that is meant.
    pub unused: Option<Unused>,
    /// What it measures.
    pub measures: Option<Box<Measures>>,
    scale: Option<Box<Scale>>,
    limits: Option<Box<Thresholds>>,
}

/// What a point is there for that nothing in the job uses.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unused {
    /// People watch it.
    Monitor,
    /// Its terminal is kept free.
    Spare,
}

const USES: &[&str] = &["monitor", "spare"];

/// What a point's numbers mean; most points are on or off.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Scale {
    /// Engineering units.
    pub units: Option<Written<&'static EngineeringUnit>>,
    /// What it can report.
    pub range: Option<Written<Range>>,
}

/// At which of its numbers a point does something; few points say it.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Thresholds {
    /// Low alarm limit.
    pub low: Option<Written<f64>>,
    /// High alarm limit.
    pub high: Option<Written<f64>>,
    /// Change of value that is reported.
    pub cov_increment: Option<Written<f64>>,
    /// Accuracy, plus or minus.
    pub accuracy: Option<Written<f64>>,
}

impl Point {
    /// What its numbers mean.
    pub fn scale(&self) -> &Scale {
        static NONE: Scale = Scale { units: None, range: None };
        self.scale.as_deref().unwrap_or(&NONE)
    }

    /// At which of its numbers it does something.
    pub fn limits(&self) -> &Thresholds {
        static NONE: Thresholds = Thresholds { low: None, high: None, cov_increment: None, accuracy: None };
        self.limits.as_deref().unwrap_or(&NONE)
    }
}

/// What a point measures.
#[derive(Clone, PartialEq, Debug)]
pub struct Measures {
    /// Where that is written.
    pub at: NodeId,
    pub zone: Option<Written<Name>>,
    /// One of [`QUANTITIES`].
    pub quantity: Option<Written<&'static str>>,
}

/// One source of a point's value.
#[derive(Clone, PartialEq, Debug)]
pub struct Driver {
    /// The whole source.
    pub at: NodeId,
    /// What it is; nothing if it cannot be read or is missing.
    pub source: Option<Source>,
    /// On when the source is off.
    pub inverted: Option<NodeId>,
    /// A pinned command.
    pub override_: Option<Override>,
    /// Command priority, 1 to 16.
    pub priority: u8,
    /// Further sources written into the same mapping, each at its key: an error.
    pub rivals: Box<[Written<&'static str>]>,
}

/// A pinned command.
#[derive(Clone, PartialEq, Debug)]
pub struct Override {
    /// Where it is written.
    pub at: NodeId,
    /// What it is pinned to.
    pub value: bool,
    /// Its priority, 1 to 16.
    pub priority: u8,
}

/// Where a value comes from.
#[derive(Clone, PartialEq, Debug)]
pub enum Source {
    Schedule(Written<Name>),
    /// A thermostat's call.
    Call {
        call: Written<Call>,
        /// The zone; nothing if it is not written.
        zone: Option<Written<Name>>,
    },
    /// Set by hand: on, off, or either.
    Operator(Written<Operator>),
    /// Another point.
    Point(Written<Name>),
    /// Logic over points.
    Logic(Box<Written<Words>>),
    /// A free contact.
    Contact(Written<Name>),
}

/// What an operator leaves a point at.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Operator {
    On,
    Off,
    /// Now one, now the other.
    Either,
}

impl Section for Point {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<Point> {
        Some(lower(r))
    }

    fn brief(&self) -> Option<String> {
        self.text.as_ref().map(|text| text.value.to_string())
    }
}

fn lower(r: &mut Reader<'_>) -> Point {
    let f = r.fields(r.part.value(), FIELDS, "a point");
    let mut number =
        |key: &str| f.get(key).and_then(|n| Some(Written::new(r.number(n, format_args!("`{key}`"))?, n)));
    let limits = Thresholds {
        low: number("low-limit"),
        high: number("high-limit"),
        cov_increment: number("cov-increment"),
        accuracy: number("accuracy"),
    };
    let mut point = Point {
        device: f.get("device").and_then(|n| r.reference(n, Kind::Device)),
        object: f.get("object").and_then(|n| object(r, n)),
        text: f.get("description").and_then(|n| r.name(n, "a description")),
        unused: f
            .get("use")
            .and_then(|n| Some(if r.word(n, USES)? == 0 { Unused::Monitor } else { Unused::Spare })),
        drivers: f.get("driven-by").map(|n| drivers(r, n)).unwrap_or_default(),
        measures: f.get("measures").map(|n| Box::new(measures(r, n))),
        scale: None,
        limits: (limits != Thresholds::default()).then(|| Box::new(limits)),
    };
    let scale = Scale {
        units: f.get("units").and_then(|n| units(r, n)),
        range: f.get("range").and_then(|n| r.range(n, "0..100")),
    };
    point.scale = (scale != Scale::default()).then(|| Box::new(scale));
    point
}

fn object(r: &mut Reader<'_>, node: NodeId) -> Option<Written<Object>> {
    let text = r.text(node, "an object like `binary-output 3`")?;
    let (kind, instance) = text.split_once(|c: char| c.is_whitespace() || c == ',').unwrap_or((text, ""));
    let Some(kind_found) = ObjectType::parse(kind) else {
        let near = crate::nearest::nearest(kind, ObjectType::names());
        let hint = near.first().map_or_else(
            || "Write it like `binary-output 3`.".to_owned(),
            |n| format!("Did you mean `{n}`?"),
        );
        r.unfit(node, format!("`{kind}` is not a BACnet object type for a point. {hint}"));
        let whole: Vec<String> = near.iter().map(|name| format!("{name} {}", instance.trim())).collect();
        r.instead(whole.iter().map(String::as_str));
        return None;
    };
    let Ok(instance) = instance.trim().parse() else {
        r.unfit(node, format!("`{text}` has no instance number. Write it like `{} 3`.", kind_found.name()));
        return None;
    };
    Some(Written::new(Object { kind: kind_found, instance }, node))
}

fn units(r: &mut Reader<'_>, node: NodeId) -> Option<Written<&'static EngineeringUnit>> {
    let text = r.text(node, "an engineering unit")?;
    let found = EngineeringUnit::parse(text);
    if found.is_none() {
        let near = crate::nearest::nearest(text, crate::bacnet::ENGINEERING_UNITS.iter().map(|u| u.name));
        let hint = near.first().map_or_else(
            || "Write the standard's name, like `degrees-fahrenheit`.".to_owned(),
            |n| format!("Did you mean `{n}`?"),
        );
        r.unfit(node, format!("`{text}` is not a known BACnet engineering unit. {hint}"));
        r.instead(near);
    }
    found.map(|u| Written::new(u, node))
}

fn measures(r: &mut Reader<'_>, node: NodeId) -> Measures {
    let f = r.fields(node, MEASURES, "`measures`");
    let quantity = f.get("quantity").and_then(|n| {
        let word = r.word(n, QUANTITIES)?;
        Some(Written::new(*QUANTITIES.get(word)?, n))
    });
    Measures { at: node, zone: f.get("zone").and_then(|n| r.reference(n, Kind::Zone)), quantity }
}

fn drivers(r: &mut Reader<'_>, node: NodeId) -> Box<[Driver]> {
    if r.part.kind(node) == NodeKind::Null {
        r.unfit(
            node,
            "`driven-by` is empty, so nothing drives this point. Write its source, like `{schedule: NAME}`.",
        );
    }
    r.list(node).into_iter().map(|n| driver(r, n)).collect()
}

fn driver(r: &mut Reader<'_>, node: NodeId) -> Driver {
    let f = r.fields(node, DRIVER, "`driven-by`");
    let mut sources: Vec<Written<&'static str>> = f
        .iter()
        .filter(|(key, ..)| SOURCES.contains(key))
        .map(|(key, at, _)| Written::new(key, at))
        .collect();
    let rivals = if sources.is_empty() { Box::default() } else { sources.split_off(1).into() };
    if sources.is_empty()
        && f.get("override").is_none()
        && r.part.kind(node) == NodeKind::Map
        && !r.part.broken()
    {
        r.unfit(node, "`driven-by` has no source. Write one of `schedule`, `call` with `zone`, `operator`, `point`, `logic` or `contact`.");
    }
    let source = sources.first().and_then(|s| source(r, &f, s.value));
    let inverted = f.get("inverted").filter(|n| r.word(*n, &["true", "false"]) == Some(0));
    let override_ = f.get("override").and_then(|n| {
        let o = r.fields(n, OVERRIDE, "`override`");
        let value = match o.get("value") {
            Some(value) => r.word(value, &["on", "off"])? == 0,
            None => {
                r.unfit(n, "`override` has no value. Write `value: on` or `value: off`.");
                return None;
            }
        };
        let priority = o.get("priority").and_then(|p| r.whole(p, 1, 16, "`priority`"));
        Some(Override { at: n, value, priority: priority.map_or(8, |p| p as u8) })
    });
    let priority = f.get("priority").and_then(|n| r.whole(n, 1, 16, "`priority`"));
    Driver { at: node, source, inverted, override_, priority: priority.map_or(16, |p| p as u8), rivals }
}

fn source(r: &mut Reader<'_>, f: &super::reader::Fields, key: &str) -> Option<Source> {
    let node = f.get(key)?;
    Some(match key {
        "schedule" => Source::Schedule(r.reference(node, Kind::Schedule)?),
        "point" => Source::Point(r.reference(node, Kind::Point)?),
        "contact" => Source::Contact(r.name(node, "what the contact is")?),
        "operator" => {
            let word = r.word(node, &["on", "off", "on-or-off"])?;
            let state = [Operator::On, Operator::Off, Operator::Either].get(word).copied()?;
            Source::Operator(Written::new(state, node))
        }
        "logic" => {
            let words = r.logic(node)?;
            let plain = r.part.is_plain(node);
            words.value.each_name(&mut |name, within| {
                let name = name.clone();
                r.uses.push(if plain {
                    Use::within(Kind::Point, name, node, within.clone())
                } else {
                    Use::new(Kind::Point, name, node)
                });
            });
            words.value.each_choice(&mut |(option, _), _| {
                r.unfit(
                    node,
                    format!("`{option}` is an option, and a point's logic takes points only. Write this line in a unit type."),
                );
            });
            Source::Logic(Box::new(words))
        }
        _ => {
            let word = r.word(node, Call::NAMES)?;
            let zone = f.get("zone").and_then(|n| r.reference(n, Kind::Zone));
            if f.get("zone").is_none() && !r.part.broken() {
                r.unfit(node, "This call has no zone. Add `zone`: the zone whose thermostat makes it.");
            }
            Source::Call { call: Written::new(*Call::ALL.get(word)?, node), zone }
        }
    })
}
