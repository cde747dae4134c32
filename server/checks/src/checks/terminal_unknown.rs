//! # What it finds
//!
//! An input or output of a unit that its type does not have, also one that another input is tied to.
//!
//! # Why it matters
//!
//! The wire ends nowhere. Most often it belongs on another terminal, and that one now stays off.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs:
//!       cool-1: AC1-COOL1
//!       W1: AC1-HEAT1
//!     # ^^ by its function: `heat-1`
//!       occupied: {tied-to: dehumidfy}
//!       #                   ^^^^^^^^^ Did you mean `dehumidify`?
//!     outputs:
//!       compresor: AC1-COMP-ON
//!     # ^^^^^^^^^ Did you mean `compressor`?
//! ```
//! ```yaml bad
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs:
//!       dehumidify: AC1-DEHUM
//!       compressor: AC1-COMP
//!      #^^^^^^^^^^ `air-conditioner-with-hot-gas-reheat` has no input `compressor`
//!       flood-switch: AC1-FLOOD
//!      #^^^^^^^^^^^^ `air-conditioner-with-hot-gas-reheat` has no input `flood-switch`
//!     outputs:
//!       occupied: AC1-OCC
//!      #^^^^^^^^ `air-conditioner-with-hot-gas-reheat` has no output `occupied`
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-HEAT1, occupied: {tied-to: dehumidify}}
//!     outputs: {compressor: AC1-COMP-ON}
//! ```
//! ```yaml near
//! # The type is what is unknown here, and is told once.
//! units:
//!   AC-1:
//!     type: air-conditoner
//!     inputs: {W1: AC1-HEAT1}
//! ```
//!
//! # Repair
//!
//! Use the right terminal, or another unit type.
//!
//! # Source
//!
//! Common practice, no source. The unit's terminals are in the manufacturer's documents.

use crate::about::{About, Noun, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::{advice, value};
use model::{Found, Name, Unit, UnitType, Wiring, nearest};
use syntax::NodeId;

pub(crate) static CHECK: Check = Check {
    id: "terminal-unknown",
    severity: Severity::Error,
    source: include_str!("terminal_unknown.rs"),
    run: Run::Unit(run),
    repairs: &[repair::spelling],
};

fn run(ctx: &Ctx<'_>, unit: Found<'_, Unit>, out: &mut Sink) {
    let Some(type_name) = &unit.is.type_ else {
        return;
    };
    let Some(unit_type) = ctx.view.find::<UnitType>(&type_name.value) else {
        return;
    };
    if unit.entry.facts.broken || unit_type.entry.facts.broken {
        return;
    }
    let mut report = |at: NodeId, name: &str, noun: Noun, advice: String| {
        let about = About::path(&unit.entry.part, at).and(noun, name);
        out.report(about, at, format!("`{}` has no {noun} `{name}`. {advice}", type_name.value))
            .because(unit_type.head(), "The unit type")
            .instead(meant(unit_type.is, noun, name));
    };
    for (input, wiring) in &unit.is.inputs {
        if unit_type.is.input(&input.value).is_none() {
            report(input.at, &input.value, noun::INPUT, input_advice(unit_type.is, &input.value));
        }
        if let Wiring::TiedTo(other) = &wiring.value
            && unit_type.is.input(other).is_none()
        {
            let at = value(&unit.entry.part, wiring.at, "tied-to").unwrap_or(wiring.at);
            report(at, other, noun::INPUT, input_advice(unit_type.is, other));
        }
    }
    for (output, _) in &unit.is.outputs {
        if unit_type.is.output(&output.value).is_none() {
            report(output.at, &output.value, noun::OUTPUT, output_advice(unit_type.is, &output.value));
        }
    }
}

/// The terminals that a name may stand for: by their function, or nearly by their name.
fn meant<'t>(unit_type: &'t UnitType, noun: &str, name: &str) -> Vec<&'t str> {
    let inputs = unit_type.inputs.iter();
    let labelled = inputs.clone().filter(|input| {
        noun == "input" && input.terminal.as_ref().is_some_and(|label| label.value.eq_ignore_ascii_case(name))
    });
    let labelled: Vec<&str> = labelled.map(|input| input.name.value.as_str()).collect();
    match noun {
        _ if !labelled.is_empty() => labelled,
        "input" => nearest(name, inputs.map(|i| i.name.value.as_str())),
        _ => nearest(name, unit_type.outputs.iter().map(|o| o.name.value.as_str())),
    }
}

fn input_advice(unit_type: &UnitType, name: &Name) -> String {
    let terminal = unit_type.inputs.iter().find(|input| {
        input.terminal.as_ref().is_some_and(|terminal| terminal.value.eq_ignore_ascii_case(name))
    });
    if let Some(input) = terminal {
        return format!("Write terminal `{name}` by its function: `{}`.", input.name.value);
    }
    if unit_type.output(name).is_some() {
        return "It is an output: write it under `outputs`.".to_owned();
    }
    advice(name, unit_type.inputs.iter().map(|i| i.name.value.as_str()))
}

fn output_advice(unit_type: &UnitType, name: &Name) -> String {
    if unit_type.input(name).is_some() {
        return "It is an input: write it under `inputs`.".to_owned();
    }
    advice(name, unit_type.outputs.iter().map(|o| o.name.value.as_str()))
}
