//! # What it finds
//!
//! A name that is used twice: two entries of a section, in one file or in several; a unit type with the
//! name of a built-in one; or two inputs, terms or outputs of one unit type. Both places are reported.
//!
//! # Why it matters
//!
//! Only the first is used. Whoever edits the other changes nothing, and does not see why.
//!
//! # Example
//!
//! ```yaml bad
//! # file: points/reading-room.yaml
//! points:
//!   FP1-SMOKE: {description: Smoke in the supply duct}
//! # ^^^^^^^^^ also in `points/fire.yaml`
//! # file: points/fire.yaml
//! points:
//!   FP1-SMOKE: {description: Smoke in the outdoor-air duct}
//! # ^^^^^^^^^ also in `points/reading-room.yaml`
//! ```
//! ```yaml bad
//! zones:
//!   stacks: {occupied: {dehumidify-above: 50 %RH}}
//! unit-types:
//!   stand-alone-dehumidifier:
//!  #^^^^^^^^^^^^^^^^^^^^^^^^ `stand-alone-dehumidifier` hides the built-in unit type of that name
//!     inputs: {dehumidify: {}}
//!     #        ^^^^^^^^^^ The input `dehumidify` and the output `dehumidify` share one name, so the logic cannot tell them apart
//!     outputs: {dehumidify: {when: dehumidify, role: compressor}}
//!     #         ^^^^^^^^^^ The output `dehumidify` and the input `dehumidify` share one name, so the logic cannot tell them apart
//! points:
//!   ST1-A: {description: Door contact}
//!  #^^^^^ The point `ST1-A` is twice in this file, and only the first is used
//!   "ST1-A": {description: Window contact}
//!  #^^^^^^^ The point `ST1-A` is twice in this file, and only the first is used
//! ```
//! ```yaml good
//! points:
//!   FP1-SMOKE: {description: Smoke in the supply duct}
//!   FP2-SMOKE: {description: Smoke in the outdoor-air duct}
//! ```
//! ```yaml near
//! zones:
//!   stacks: {}
//! schedules:
//!   stacks: {values: occupancy, default: occupied}
//! ```
//!
//! # Repair
//!
//! Rename one of the two, or delete the one that is not needed.
//!
//! # Source
//!
//! ASHRAE 135 clause 12 (from memory): an object's name is unique in its device. The rest is common
//! practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use model::{EntryId, Item, Key, Name, UnitType, Written};
use rustc_hash::FxHashMap;

pub(crate) static CHECK: Check = Check {
    id: "duplicate-name",
    severity: Severity::Error,
    source: include_str!("duplicate_name.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

/// Of more than so many of one name only the number is given.
const FEW: usize = 8;

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    if ctx.view.built_in(ctx.entry) {
        return;
    }
    if let Item::UnitType(unit_type) = &ctx.entry.facts.item {
        in_type(ctx, unit_type, out);
    }
    let Some((kind, name)) = &ctx.entry.facts.declares else {
        return;
    };
    let key = Key::Define(*kind, name.clone());
    // The entry is one of them, so where there is one, there is no other.
    let (count, noun) = (ctx.view.at_most(&key), kind.noun());
    if count < 2 {
        return;
    }
    let at = ctx.entry.part.key_node();
    if ctx.view.count(&key, FEW + 1) > FEW {
        out.report(
            About::entry(),
            at,
            format!(
                "{} {noun}s are called `{name}`, and only the first is used. Rename the others.",
                analysis::count_words(count)
            ),
        );
        return;
    }
    let others: Vec<EntryId> = ctx.view.contributors(key).into_iter().filter(|id| *id != ctx.id).collect();
    let Some(other) = others.first().and_then(|id| ctx.view.entry(*id)) else {
        return;
    };
    let message = if ctx.view.built_in(other) {
        format!("`{name}` hides the built-in {noun} of that name. Give it a name of its own.")
    } else if other.file == ctx.entry.file {
        format!(
            "The {noun} `{name}` is twice in this file, and only the first is used. Rename or delete one."
        )
    } else {
        let path = ctx.view.path(other);
        format!("The {noun} `{name}` is also in `{path}`, and only the first is used. Rename or delete one.")
    };
    let finding = out.report(About::entry(), at, message);
    for id in others {
        if let Some(other) = ctx.view.entry(id) {
            let place = model::Place { entry: id, spot: other.part.key_node().into() };
            finding.because(place, format!("`{name}` again"));
        }
    }
}

/// Inputs, terms and outputs of a type share one set of names: its logic calls them all by name.
fn in_type(ctx: &Ctx<'_>, unit_type: &UnitType, out: &mut Sink) {
    let inputs = unit_type.inputs.iter().map(|i| ("input", &i.name));
    let terms = unit_type.terms.iter().map(|(name, _)| ("term", name));
    let outputs = unit_type.outputs.iter().map(|o| ("output", &o.name));
    let mut first: FxHashMap<&str, (&str, &Written<Name>)> = FxHashMap::default();
    for (noun, name) in inputs.chain(terms).chain(outputs) {
        let Some((other_noun, other)) = first.insert(name.value.as_str(), (noun, name)) else {
            continue;
        };
        for (at, noun, twin_at, twin) in
            [(other.at, other_noun, name.at, noun), (name.at, noun, other.at, other_noun)]
        {
            let message = format!(
                "The {noun} `{0}` and the {twin} `{0}` share one name, so the logic cannot tell them apart. Rename one.",
                name.value
            );
            let place = model::Place { entry: ctx.id, spot: twin_at.into() };
            out.report(About::of(noun, &name.value).and(twin, &name.value), at, message)
                .because(place, format!("The {twin} `{}`", name.value));
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::tests::fixture::{found, job};

    fn messages(text: &str) -> Vec<String> {
        let (job, files) = job(text);
        found("duplicate-name", &job, &files).concat().into_iter().map(|(.., message)| message).collect()
    }

    #[test]
    fn built_in_types_keep_their_names() {
        let text = "unit-types:\n  stand-alone-dehumidifier: {inputs: {}, outputs: {}}\n";
        let messages = messages(text);
        assert!(messages.len() == 1 && messages[0].contains("built-in unit type"), "{messages:?}");
    }

    #[test]
    fn one_name_in_a_type_means_one_thing() {
        let text = "unit-types:\n  dryer: {inputs: {fan: {terminal: G}}, outputs: {fan: {when: fan}}}\n";
        assert_eq!(messages(text).len(), 2);
    }

    #[test]
    fn many_of_one_name_are_counted() {
        let text = "points:\n".to_owned() + &"  RR1-SPARE: {description: spare}\n".repeat(20);
        let messages = messages(&text);
        assert!(messages.len() == 20 && messages[0].contains("20 points"), "{messages:?}");
    }
}
