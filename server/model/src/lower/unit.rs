//! `units:` — a unit's type, zone, options and control wiring.

use super::reader::Reader;
use super::section::Section;
use crate::fields::{Field, ValueShape, free, needed};
use crate::kind::Kind;
use crate::names::{Name, Written};
use syntax::{NodeId, NodeKind};

const FIELDS: &[Field] = &[
    needed("type", ValueShape::NameOf(Kind::UnitType), "a unit type, built in or from `unit-types`"),
    free("zone", ValueShape::NameOf(Kind::Zone), "the zone it serves"),
    free(
        "options",
        ValueShape::Named(&ValueShape::LocalName),
        "the choice made for each option; the default when left out",
    ),
    free("inputs", ValueShape::Named(&WIRING), "what the field wires to each input"),
    free(
        "outputs",
        ValueShape::Named(&ValueShape::NameOf(Kind::Point)),
        "the points that read the outputs back",
    ),
    free("description", ValueShape::Text, "what it is, for reports"),
];

const WIRING: ValueShape = ValueShape::Either(&[
    ValueShape::NameOf(Kind::Point),
    ValueShape::Word(&["not-wired"]),
    ValueShape::Fields(TIE),
]);

const TIE: &[Field] = &[
    free("tied-to", ValueShape::LocalName, "another input of the unit, by a jumper"),
    free("tied", ValueShape::Word(&["on", "off"]), "held on or off"),
];

#[derive(Clone, PartialEq, Debug, Default)]
pub struct Unit {
    pub type_: Option<Written<Name>>,
    pub zone: Option<Written<Name>>,
    /// Options and the choices made.
    pub options: Box<[(Written<Name>, Written<Name>)]>,
    /// Inputs and what is wired to them.
    pub inputs: Box<[(Written<Name>, Written<Wiring>)]>,
    /// Where `inputs` is written.
    pub inputs_at: Option<NodeId>,
    /// Outputs and the points that read them back.
    pub outputs: Box<[(Written<Name>, Written<Name>)]>,
}

impl Unit {
    /// What is wired to an input.
    pub fn wiring(&self, input: &str) -> Option<&(Written<Name>, Written<Wiring>)> {
        self.inputs.iter().find(|(name, _)| name.value == input)
    }
}

/// What the field wires to an input.
#[derive(Clone, PartialEq, Debug)]
pub enum Wiring {
    Point(Name),
    /// Another input of the unit.
    TiedTo(Name),
    /// Held on or off.
    Tied(bool),
    /// Nothing, on purpose.
    NotWired,
    /// Something that cannot be read: it could be anything.
    Unreadable,
}

impl Section for Unit {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<Unit> {
        Some(lower(r))
    }

    fn brief(&self) -> Option<String> {
        self.type_.as_ref().map(|of| of.value.to_string())
    }
}

fn lower(r: &mut Reader<'_>) -> Unit {
    let f = r.fields(r.part.value(), FIELDS, "a unit");
    let mut unit = Unit {
        type_: f.get("type").and_then(|n| r.reference(n, Kind::UnitType)),
        zone: f.get("zone").and_then(|n| r.reference(n, Kind::Zone)),
        inputs_at: f.key("inputs"),
        ..Unit::default()
    };
    if let Some(node) = f.get("options") {
        let options = r.named(node, "`options`").into_iter();
        unit.options = options.filter_map(|(option, at)| Some((option, r.name(at, "a choice")?))).collect();
    }
    if let Some(node) = f.get("inputs") {
        let inputs = r.named(node, "`inputs`").into_iter();
        unit.inputs = inputs.map(|(input, at)| (input, Written::new(wiring(r, at), at))).collect();
    }
    if let Some(node) = f.get("outputs") {
        let outputs = r.named(node, "`outputs`").into_iter();
        unit.outputs =
            outputs.filter_map(|(output, at)| Some((output, r.reference(at, Kind::Point)?))).collect();
    }
    unit
}

fn wiring(r: &mut Reader<'_>, node: NodeId) -> Wiring {
    match r.part.kind(node) {
        NodeKind::Scalar if r.part.scalar(node) == Some("not-wired") => Wiring::NotWired,
        NodeKind::Scalar => {
            r.reference(node, Kind::Point).map_or(Wiring::Unreadable, |p| Wiring::Point(p.value))
        }
        NodeKind::Map => {
            let f = r.fields(node, TIE, "a tie");
            match (f.get("tied-to"), f.get("tied")) {
                (Some(to), None) => r
                    .name(to, "an input of this unit")
                    .map_or(Wiring::Unreadable, |n| Wiring::TiedTo(n.value)),
                (None, Some(tied)) => {
                    r.word(tied, &["on", "off"]).map_or(Wiring::Unreadable, |w| Wiring::Tied(w == 0))
                }
                (Some(_), Some(at)) => {
                    r.unfit(at, "This input has both `tied-to` and `tied`. Keep one of them.");
                    Wiring::Unreadable
                }
                (None, None) => Wiring::Unreadable,
            }
        }
        NodeKind::Null | NodeKind::List => {
            r.unfit(node, "This input has no wire. Write one point's name, `{tied-to: INPUT}`, `{tied: on}` or `not-wired`.");
            Wiring::Unreadable
        }
    }
}
