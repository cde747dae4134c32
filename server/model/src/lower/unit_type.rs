//! `unit-types:` — a type of unit: options, inputs, logic, outputs. The built-in library is
//! written in this language too.

use super::reader::Reader;
use super::section::Section;
use crate::fields::{Field, ValueShape, free, needed};
use crate::names::{Name, Written};
use crate::quantity::{Quantity, QuantityKind};
use crate::trade::{Role, Service};
use crate::words::Words;
use syntax::{NodeId, NodeKind};

const FIELDS: &[Field] = &[
    free("description", ValueShape::Text, "what it is, in a sentence"),
    free("options", ValueShape::Named(&ValueShape::Fields(OPTION)), "what the contractor may choose"),
    needed("inputs", ValueShape::Named(&ValueShape::Fields(INPUT)), "what the field wires to it"),
    free("terms", ValueShape::Named(&ValueShape::Logic), "names for parts of the logic"),
    needed(
        "outputs",
        ValueShape::Named(&ValueShape::Either(&[ValueShape::Fields(OUTPUT), ValueShape::Logic])),
        "what it switches, and when",
    ),
    free("serves", ValueShape::Named(&ValueShape::Logic), "the services it gives, and when"),
    free("never", ValueShape::List(&ValueShape::Logic), "states it must not reach"),
    free("coil-leaving-dew-point", ValueShape::Quantity("52 °F"), "the lowest dew point its coil can make"),
];

const OPTION: &[Field] = &[
    needed("choices", ValueShape::List(&ValueShape::LocalName), "the choices there are"),
    free("default", ValueShape::LocalName, "the choice when a unit makes none; the first when left out"),
    free("description", ValueShape::Text, "what it does"),
];

const INPUT: &[Field] = &[
    free(
        "terminal",
        ValueShape::Text,
        "the terminal's letter, where the trade at large has one: R C G Y1 Y2 W1 W2 O B E",
    ),
    free("description", ValueShape::Text, "what it is for"),
];

const OUTPUT: &[Field] = &[
    needed("when", ValueShape::Logic, "when it is on"),
    free("role", ValueShape::Word(Role::NAMES), "what kind of part it switches, by which verdicts know it"),
    free("description", ValueShape::Text, "what it switches"),
];

/// A type of unit.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct UnitType {
    /// What it is.
    pub text: Option<Written<Name>>,
    pub options: Vec<OptionDecl>,
    /// Its inputs, in the order written.
    pub inputs: Vec<InputDecl>,
    /// Named parts of the logic.
    pub terms: Vec<(Written<Name>, Written<Words>)>,
    pub outputs: Vec<OutputDecl>,
    /// Its services and when it gives them.
    pub serves: Vec<(Written<Name>, Written<Words>)>,
    /// States it must not reach.
    pub never: Vec<Written<Words>>,
    /// The lowest dew point its coil can make.
    pub coil_leaving_dew_point: Option<Written<Quantity>>,
}

/// An option of a type.
#[derive(Clone, PartialEq, Debug)]
pub struct OptionDecl {
    pub name: Written<Name>,
    pub choices: Vec<Written<Name>>,
    /// The choice when a unit makes none, by its number; the first when none is written.
    pub default: usize,
    /// What it does.
    pub text: Option<Written<Name>>,
}

/// An input of a type.
#[derive(Clone, PartialEq, Debug)]
pub struct InputDecl {
    pub name: Written<Name>,
    /// The terminal's letter, where the trade at large has one.
    pub terminal: Option<Written<Name>>,
    /// What it is for.
    pub text: Option<Written<Name>>,
}

/// An output of a type.
#[derive(Clone, PartialEq, Debug)]
pub struct OutputDecl {
    pub name: Written<Name>,
    /// When it is on; nothing if that cannot be read.
    pub when: Option<Written<Words>>,
    /// What kind of part it switches.
    pub role: Option<Written<Role>>,
    /// What it switches.
    pub text: Option<Written<Name>>,
}

impl UnitType {
    /// When it gives a service, with the key that says so.
    pub fn service(&self, service: Service) -> Option<&(Written<Name>, Written<Words>)> {
        self.serves.iter().find(|(name, _)| name.value == service.name())
    }

    /// The outputs of such a role.
    pub fn outputs_that(&self, is: impl Fn(Role) -> bool) -> impl Iterator<Item = &OutputDecl> {
        self.outputs.iter().filter(move |output| output.role.is_some_and(|role| is(role.value)))
    }

    /// The option of this name.
    pub fn option(&self, name: &str) -> Option<&OptionDecl> {
        self.options.iter().find(|o| o.name.value == name)
    }

    /// The input of this name.
    pub fn input(&self, name: &str) -> Option<&InputDecl> {
        self.inputs.iter().find(|i| i.name.value == name)
    }

    /// The output of this name.
    pub fn output(&self, name: &str) -> Option<&OutputDecl> {
        self.outputs.iter().find(|o| o.name.value == name)
    }

    /// Every logic text of the type, with its place.
    pub fn logic(&self) -> impl Iterator<Item = &Written<Words>> {
        let terms = self.terms.iter().map(|(_, w)| w);
        let outputs = self.outputs.iter().filter_map(|o| o.when.as_ref());
        terms.chain(outputs).chain(self.serves.iter().map(|(_, w)| w)).chain(&self.never)
    }

    /// Where a name of the logic is declared: an input, a term or an output.
    pub fn declaration(&self, name: &str) -> Option<NodeId> {
        let inputs = self.inputs.iter().map(|i| &i.name);
        let terms = self.terms.iter().map(|(n, _)| n);
        let outputs = self.outputs.iter().map(|o| &o.name);
        inputs.chain(terms).chain(outputs).find(|n| n.value == name).map(|n| n.at)
    }
}

impl Section for UnitType {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<UnitType> {
        Some(lower(r))
    }

    fn brief(&self) -> Option<String> {
        self.text.as_ref().map(|text| text.value.to_string())
    }
}

fn lower(r: &mut Reader<'_>) -> UnitType {
    let f = r.fields(r.part.value(), FIELDS, "a unit type");
    let mut t = UnitType {
        text: f.get("description").and_then(|n| r.name(n, "a description")),
        ..UnitType::default()
    };
    if let Some(node) = f.get("options") {
        for (name, at) in r.named(node, "`options`") {
            t.options.extend(option(r, name, at));
        }
    }
    if let Some(node) = f.get("inputs") {
        for (name, at) in r.named(node, "`inputs`") {
            let i = r.fields(at, INPUT, "an input");
            let terminal = i.get("terminal").and_then(|n| r.name(n, "a terminal's letter"));
            t.inputs.push(InputDecl {
                name,
                terminal,
                text: i.get("description").and_then(|n| r.name(n, "a description")),
            });
        }
    }
    if let Some(node) = f.get("terms") {
        t.terms = named_logic(r, node, "`terms`");
    }
    if let Some(node) = f.get("outputs") {
        for (name, at) in r.named(node, "`outputs`") {
            t.outputs.push(output(r, name, at));
        }
    }
    if let Some(node) = f.get("serves") {
        t.serves = named_logic(r, node, "`serves`");
        for (service, _) in &t.serves {
            if Service::of(&service.value).is_none() {
                r.unknown_key(service.at, &service.value, Service::NAMES.iter().copied(), Some("`serves`"));
            }
        }
    }
    if let Some(node) = f.get("never") {
        for item in r.list(node) {
            t.never.extend(r.logic(item));
        }
    }
    t.coil_leaving_dew_point = f
        .get("coil-leaving-dew-point")
        .and_then(|n| r.quantity(n, &[QuantityKind::Temperature, QuantityKind::DewPoint], "52 °F"));
    t
}

/// An output: its logic alone, or with what it switches.
fn output(r: &mut Reader<'_>, name: Written<Name>, at: NodeId) -> OutputDecl {
    if !matches!(r.part.kind(at), NodeKind::Map | NodeKind::Null) {
        return OutputDecl { name, when: r.logic(at), role: None, text: None };
    }
    let f = r.fields(at, OUTPUT, "an output");
    let role = f.get("role").and_then(|n| {
        let word = r.word(n, Role::NAMES)?;
        Some(Written::new(*Role::ALL.get(word)?, n))
    });
    OutputDecl {
        name,
        when: f.get("when").and_then(|n| r.logic(n)),
        role,
        text: f.get("description").and_then(|n| r.name(n, "a description")),
    }
}

fn option(r: &mut Reader<'_>, name: Written<Name>, at: NodeId) -> Option<OptionDecl> {
    let f = r.fields(at, OPTION, "an option");
    let mut choices = Vec::new();
    if let Some(list) = f.get("choices") {
        for item in r.list(list) {
            choices.extend(r.name(item, "a choice"));
        }
    }
    let default = f.get("default").and_then(|n| {
        let default = r.name(n, "a choice")?;
        let found = choices.iter().position(|c| c.value == default.value);
        if found.is_none() {
            let names = crate::word_list::list_words(choices.iter().map(|c| c.value.as_str()), "or");
            r.unfit(n, format!("`{}` is not one of the choices. Use {names}.", default.value));
        }
        found
    });
    (!choices.is_empty()).then(|| OptionDecl {
        name,
        choices,
        default: default.unwrap_or(0),
        text: f.get("description").and_then(|n| r.name(n, "a description")),
    })
}

fn named_logic(r: &mut Reader<'_>, node: NodeId, what: &str) -> Vec<(Written<Name>, Written<Words>)> {
    let mut found = Vec::new();
    for (name, at) in r.named(node, what) {
        found.extend(r.logic(at).map(|words| (name, words)));
    }
    found
}
