//! # What it finds
//!
//! A name that does not exist: of a point, a zone, a schedule, a unit type, an option, a choice, or a
//! word in the logic of a unit type.
//!
//! # Why it matters
//!
//! There is nothing behind the name, so whatever uses it gets nothing. On site the program would not
//! load, or a terminal would stay dead.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-ut}
//!     #                                      ^^^^^^^^^ Did you mean `locked-out`?
//!     inputs:
//!       dehumidify: AC1-DEHUMID
//!       #           ^^^^^^^^^^^ Did you mean `AC1-DEHUM`?
//!       occupied: staff-hours
//!       #         ^^^^^^^^^^^ `staff-hours` is a schedule
//!       cool-1: dehumidify
//!       #       ^^^^^^^^^^ write `{tied-to: dehumidify}`
//! points:
//!   AC1-DEHUM: {driven-by: {call: dehumidify, zone: staff-office}}
//! zones:
//!   staff-office: {schedule: staff-hours}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied}
//! ```
//! ```yaml bad
//! unit-types:
//!   loading-bay-dryer:
//!     options: {dry-when: {choices: [allowed, locked-out]}}
//!     inputs: {dehumidify: {description: dehumidify call}, occupied: {description: space is occupied}}
//!     outputs:
//!       dryer: {when: dehumidfy and (dry-when is always or occupied)}
//!       #             ^^^^^^^^^ Did you mean `dehumidify`?
//!       #                                        ^^^^^^ Use `allowed` or `locked-out`
//! ```
//! ```yaml bad
//! units:
//!   AC-1:
//!     type: rooftop-with-economizer
//!     #     ^^^^^^^^^^^^^^^^^^^^^^^ Unknown unit type `rooftop-with-economizer`
//!     zone: stacks
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {dehumidify-at-night: allowed}
//!     #         ^^^^^^^^^^^^^^^^^^^ `air-conditioner-with-hot-gas-reheat` has no option `dehumidify-at-night`
//!     inputs:
//!       cool-1: "on"
//!       #       ^^^^ Unknown point `on`. To hold the input on, write `{tied: on}`
//!       heat-1: none
//!       #       ^^^^ Unknown point `none`. If it is left open on purpose, write `not-wired`
//!       dehumidify: AC2-DEHUM
//! zones:
//!   stacks: {}
//! points:
//!   AC2-DEHUM: {device: controller-9, driven-by: {call: dehumidify, zone: stacks}}
//!   #                   ^^^^^^^^^^^^ Unknown device `controller-9`
//! ```
//! ```yaml bad
//! unit-types:
//!   loading-bay-dryer:
//!     options: {dry-when: {choices: [allowed, locked-out]}}
//!     inputs: {dehumidify: {}}
//!     outputs:
//!       dryer: {when: dehumidify and dry-when and (dry-wen is allowed or smoke), role: compressor}
//!       #                            ^^^^^^^^ This type has no input, term or output `dry-when`
//!       #                                          ^^^^^^^ This type has no option `dry-wen`
//!       #                                                                ^^^^^ This type has no input, term or output `smoke`
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: AC1-DEHUM, occupied: {tied-to: dehumidify}}
//! points:
//!   AC1-DEHUM: {driven-by: {contact: humidistat}}
//! ```
//! ```yaml near
//! # `staff-hours` stands in what cannot be read, which is told there.
//! zones:
//!   stacks: {schedule: staff-hours}
//! schedules:
//!   lab-hours: {values: occupancy, default: [unoccupied}
//!   staff-hours: {values: occupancy, default: {unoccupied]
//! ```
//! ```yaml near
//! # The term cannot be read, which is told where it stands; its name is known all the same.
//! unit-types:
//!   loading-bay-dryer:
//!     inputs: {dehumidify: {description: dehumidify call}}
//!     terms: {drying: dehumidify and}
//!     outputs: {dryer: {when: drying}}
//! ```
//!
//! # Repair
//!
//! Correct the name, or add what it names.
//!
//! # Source
//!
//! Common practice, no source: every name in a point list is found in the job.

use crate::about::{About, Noun, noun};
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{self, Proposal, cost};
use crate::written::{advice, names, spot};
use model::{Item, Key, Kind, Name, Spot, Unit, UnitType, Use, Wiring, nearest};
use rustc_hash::FxHashSet;
use syntax::Part;

pub(crate) static CHECK: Check = Check {
    id: "name-unknown",
    severity: Severity::Error,
    source: include_str!("name_unknown.rs"),
    run: Run::Entry(run),
    repairs: &[repair::spelling, another_name, tie],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    let (facts, part) = (&ctx.entry.facts, &ctx.entry.part);
    // What was mended to read on may have made a name of something else.
    if facts.broken {
        return;
    }
    for used in &facts.uses {
        // What could not be read may declare it.
        let unread = Key::Unread(used.name.clone(), true);
        if !is_declared(ctx, used.kind, &used.name) && !ctx.view.any(&unread) {
            let about = named(part, &used.spot(), used.kind.noun(), &used.name);
            let wrong = format!("Unknown {} `{}`.", used.kind.noun(), used.name);
            match reference_advice(ctx, used) {
                Some(advice) => out.report(about, used.spot(), format!("{wrong} {advice}")),
                None => out.report(about, used.spot(), wrong).missing(used.kind, used.name.clone()),
            };
        }
    }
    match &facts.item {
        Item::Unit(unit) => options(ctx, unit, out),
        Item::UnitType(unit_type) => logic(ctx, unit_type, out),
        _ => {}
    }
}

/// A name at a place: it may be unknown at several.
fn named(part: &Part, at: &Spot, noun: Noun, name: &str) -> About {
    at.node().map_or_else(About::entry, |node| About::path(part, node)).and(noun, name)
}

fn is_declared(ctx: &Ctx<'_>, kind: Kind, name: &Name) -> bool {
    ctx.view.any(&Key::Define(kind, name.clone()))
}

/// What to do where another name of its kind is not what is meant.
fn reference_advice(ctx: &Ctx<'_>, used: &Use) -> Option<String> {
    if let Some(kind) = Kind::ALL.into_iter().find(|kind| is_declared(ctx, *kind, &used.name)) {
        return Some(format!(
            "`{}` is a {}. Write the name of a {} here.",
            used.name,
            kind.noun(),
            used.kind.noun()
        ));
    }
    wiring_advice(ctx, used)
}

/// A name of its kind that is near one that nothing goes by.
fn another_name(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Some(used) = ctx.entry.facts.uses.iter().find(|used| used.spot() == finding.spot) else { return };
    if !is_declared(ctx, used.kind, &used.name) {
        let near = ctx.view.near(used.kind, &used.name);
        repair::spellings(ctx, finding, &near, out);
    }
}

/// What else may have been meant at a unit's input, where a plain word is a point.
fn wiring_advice(ctx: &Ctx<'_>, used: &Use) -> Option<String> {
    let Item::Unit(unit) = &ctx.entry.facts.item else {
        return None;
    };
    unit.inputs.iter().find(|(_, wiring)| used.spot().node() == Some(wiring.at))?;
    let name = used.name.as_str();
    let unit_type = unit.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value));
    if matches!(name, "on" | "off") {
        Some(format!("To hold the input {name}, write `{{tied: {name}}}`."))
    } else if name == "none" || !nearest(name, ["not-wired"].into_iter()).is_empty() {
        Some("If it is left open on purpose, write `not-wired`.".to_owned())
    } else if unit_type.is_some_and(|t| t.is.input(name).is_some()) {
        Some(format!("To tie it to the input `{name}`, write `{{tied-to: {name}}}`."))
    } else {
        None
    }
}

/// A tie, or the word for no wire, where one was written as if it were a point.
fn tie(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let (Item::Unit(unit), Some(node)) = (&ctx.entry.facts.item, finding.spot.node()) else { return };
    let Some((_, wiring)) = unit.inputs.iter().find(|(_, wiring)| wiring.at == node) else { return };
    let Wiring::Point(name) = &wiring.value else { return };
    let unit_type = unit.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value));
    let wire = match name.as_str() {
        "on" | "off" => format!("{{tied: {name}}}"),
        _ if unit_type.is_some_and(|t| t.is.input(name).is_some()) => format!("{{tied-to: {name}}}"),
        "none" => "not-wired".to_owned(),
        _ if !nearest(name, ["not-wired"].into_iter()).is_empty() => "not-wired".to_owned(),
        _ => return,
    };
    let edit = Target::new(ctx.id, ctx.entry).yaml(node, &wire);
    out.extend(Proposal::one(format!("Write `{wire}`"), cost::REWRITING, edit));
}

/// Options of a unit, and choices, that its type does not have.
fn options(ctx: &Ctx<'_>, unit: &Unit, out: &mut Sink) {
    let Some(type_name) = &unit.type_ else { return };
    let Some(unit_type) = ctx.view.find::<UnitType>(&type_name.value).filter(|t| !t.entry.facts.broken)
    else {
        return;
    };
    let part = &unit_type.entry.part;
    for (option, choice) in &unit.options {
        if let Some(known) = unit_type.is.option(&option.value) {
            if known.choices.iter().all(|c| c.value != choice.value) {
                let choices = known.choices.iter().map(|c| c.value.as_str());
                let advice = advice(&choice.value, choices);
                out.report(
                    About::of(noun::OPTION, &option.value).and(noun::CHOICE, &choice.value),
                    choice.at,
                    format!("`{}` has no choice `{}`. {advice}", option.value, choice.value),
                )
                .because(unit_type.place(known.name.at), format!("The choices of `{}`", option.value))
                .instead(nearest(&choice.value, known.choices.iter().map(|c| c.value.as_str())));
            }
        } else if names(part, "options").all(|name| option.value != name) {
            let known: Vec<&str> = names(part, "options").collect();
            let advice = advice(&option.value, known.into_iter());
            out.report(
                About::of(noun::OPTION, &option.value),
                option.at,
                format!("`{}` has no option `{}`. {advice}", type_name.value, option.value),
            )
            .because(unit_type.head(), "The unit type")
            .instead(nearest(&option.value, names(part, "options")));
        }
    }
}

/// Words in the logic of a type that it does not declare.
fn logic(ctx: &Ctx<'_>, unit_type: &UnitType, out: &mut Sink) {
    let part = &ctx.entry.part;
    let signals: FxHashSet<&str> =
        ["inputs", "terms", "outputs"].into_iter().flat_map(|m| names(part, m)).collect();
    let options: FxHashSet<&str> = names(part, "options").collect();
    for words in unit_type.logic() {
        words.value.each_name(&mut |name, within| {
            let name = name.as_str();
            if signals.contains(name) {
                return;
            }
            let advice = if options.contains(name) {
                format!("It is an option: write `{name} is` and a choice.")
            } else {
                advice(name, sorted(&signals).into_iter())
            };
            let message = format!("This type has no input, term or output `{name}`. {advice}");
            let at = spot(part, words.at, within);
            out.report(named(part, &at, noun::TERM, name), at, message)
                .instead(nearest(name, sorted(&signals).into_iter()));
        });
        words.value.each_choice(&mut |(option, option_at), (choice, choice_at)| {
            if !options.contains(option.as_str()) {
                let advice = if options.is_empty() {
                    "Add it under `options:`.".to_owned()
                } else {
                    advice(option, sorted(&options).into_iter())
                };
                let at = spot(part, words.at, option_at);
                out.report(
                    named(part, &at, noun::OPTION, option),
                    at,
                    format!("This type has no option `{option}`. {advice}"),
                )
                .instead(nearest(option, sorted(&options).into_iter()));
                return;
            }
            if let Some(known) = unit_type.option(option)
                && known.choices.iter().all(|c| c.value != *choice)
            {
                let advice = advice(choice, known.choices.iter().map(|c| c.value.as_str()));
                let at = spot(part, words.at, choice_at);
                out.report(
                    named(part, &at, noun::OPTION, option).and(noun::CHOICE, choice),
                    at,
                    format!("`{option}` has no choice `{choice}`. {advice}"),
                )
                .instead(nearest(choice, known.choices.iter().map(|c| c.value.as_str())));
            }
        });
    }
}

/// In an order of their own, so that the same text draws the same message.
fn sorted<'a>(names: &FxHashSet<&'a str>) -> Vec<&'a str> {
    let mut names: Vec<&str> = names.iter().copied().collect();
    names.sort_unstable();
    names
}

#[cfg(test)]
mod tests {
    use crate::tests::fixture::{found, job};

    #[test]
    fn built_in_types_declare_what_they_name() {
        for (file, text) in model::LIBRARY {
            let (job, files) = job(text);
            assert_eq!(found("name-unknown", &job, &files).concat(), [], "{file}");
            assert_eq!(found("wrong-value", &job, &files).concat(), [], "{file}");
            // The first is the type itself, which takes its own built-in name here.
            assert_eq!(found("duplicate-name", &job, &files).concat().len(), 1, "{file}");
        }
    }
}
