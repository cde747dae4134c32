//! # What it finds
//!
//! What is too large to prove: a service or an output of a unit whose logic ties together more calls
//! and contacts than can be worked through, or a `never:` of a unit type of the job.
//!
//! # Why it matters
//!
//! A verdict is a proof over every state of the calls and contacts. Where the proof is given up, nobody
//! knows whether the service can run or the state can be reached. The verdict is then *not proven*, no
//! hours are given, and a requirement for it counts as not met. Other checks that need the answer
//! report nothing.
//!
//! # Example
//!
//! The real limit is a million steps, far more than any unit of a building needs. These examples have 60.
//!
//! ```yaml bad
//! # limit: 60 steps
//! unit-types:
//!   dryer-with-many-proofs:
//!     inputs: {dehumidify: {}, proof-1: {}, proof-2: {}, proof-3: {}, proof-4: {}, proof-5: {}}
//!     terms:
//!       first: proof-1 and not proof-2 or proof-2 and not proof-3 or proof-3 and not proof-1
//!       second: first and not proof-4 or proof-4 and not first
//!       third: second and not proof-5 or proof-5 and not second
//!     outputs:
//!       compressor: {when: dehumidify and third and not first}
//!     serves: {dehumidification: compressor}
//! units:
//!   DH-1:
//! # ^^^^ when `dehumidification` can run
//!     type: dryer-with-many-proofs
//!     inputs: {dehumidify: P-0, proof-1: P-1, proof-2: P-2, proof-3: P-3, proof-4: P-4, proof-5: P-5}
//! points:
//!   P-0: {driven-by: {contact: field}}
//!   P-1: {driven-by: {contact: field}}
//!   P-2: {driven-by: {contact: field}}
//!   P-3: {driven-by: {contact: field}}
//!   P-4: {driven-by: {contact: field}}
//!   P-5: {driven-by: {contact: field}}
//! ```
//! ```yaml bad
//! # limit: 4 steps
//! unit-types:
//!   dryer:
//!     inputs: {dehumidify: {}, proof: {}}
//!     outputs:
//!       compressor: {when: dehumidify and proof}
//!       reheat-valve: {when: dehumidify and compressor}
//!     serves: {dehumidification: compressor and reheat-valve}
//!     never: [reheat-valve and not compressor]
//! #           ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ is not proven
//! ```
//! ```yaml good
//! # limit: 60 steps
//! unit-types:
//!   dryer:
//!     inputs: {dehumidify: {}, proof: {}}
//!     outputs:
//!       compressor: {when: dehumidify and proof}
//!     serves: {dehumidification: compressor}
//!     never: [compressor and not proof]
//! units:
//!   DH-1:
//!     type: dryer
//!     inputs: {dehumidify: P-0, proof: P-1}
//! points:
//!   P-0: {driven-by: {contact: field}}
//!   P-1: {driven-by: {contact: field}}
//! ```
//! ```yaml near
//! # limit: 60 steps
//! # A name that is not found may be on or off, which is told there; what follows is proven.
//! unit-types:
//!   dryer:
//!     inputs: {dehumidify: {}}
//!     outputs:
//!       compressor: {when: dehumidify and prof}
//!     serves: {dehumidification: compressor}
//!     never: [compressor and not prof]
//! units:
//!   DH-1:
//!     type: dryer
//!     inputs: {dehumidify: P-0}
//! points:
//!   P-0: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Split the unit type into smaller ones, or remove inputs that the logic does not need. Shorter chains
//! of points help, too.
//!
//! # Source
//!
//! The limit is this program's own.

use super::unit_logic_unsafe::reached;
use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::requirements;
use analysis::{TypeLogic, UnitAnalysis, Unproven};
use model::{Found, Name, Service, Unit, UnitType};
use std::borrow::Cow;

pub(crate) static CHECK: Check = Check {
    id: "not-proven",
    severity: Severity::Warning,
    source: include_str!("not_proven.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

/// So many names of a kind are named; the first is where to begin.
const MOST_NAMES: usize = 4;

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    if let Some(unit) = ctx.view.as_found::<Unit>(ctx.id) {
        of_unit(ctx, unit, out);
    } else if let Some(unit_type) = ctx.view.as_found::<UnitType>(ctx.id) {
        of_type(ctx, unit_type, out);
    }
}

/// Runs behind all other checks of a unit: what they could not prove is reported here.
fn of_unit(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    let unproven = unit.unproven();
    if unproven.is_empty() && !unit.left_something_unproven() {
        return;
    }
    let services: Vec<&Name> = unproven.iter().filter_map(service).collect();
    let outputs: Vec<&Name> = unproven.iter().filter_map(output).collect();
    let inputs: Vec<&Name> = unproven.iter().filter_map(input).collect();
    let mut unknown = Vec::new();
    unknown.extend(named(&services).map(|names| format!("when {names} can run")));
    unknown.extend(named(&outputs).map(|names| format!("when {names} can be on")));
    unknown.extend(named(&inputs).map(|names| format!("whether {names} changes an output")));
    if unknown.is_empty() {
        unknown.push("what its outputs do together".to_owned());
    }
    let what = match unknown.split_last() {
        Some((last, before @ [_, ..])) => format!("{} and {last}", before.join(", ")),
        _ => unknown.concat(),
    };
    let required =
        unit.zone.filter(|_| services.iter().any(|service| *service == Service::Dehumidification.name()));
    let required = required.map(|zone| requirements(&ctx.view, &Name::new(zone.name())));
    let required = required.unwrap_or_default();
    let unmet = if required.is_empty() { "" } else { ", so its requirement counts as not met" };
    let message = format!(
        "The logic of `{}` is too large to prove{unmet}. It is not known {what}. \
         Split its unit type, or remove inputs that the logic does not need.",
        found.name(),
    );
    let finding = out.report(About::entry(), found.entry.part.key_node(), message);
    for (requirement, demand) in &required {
        finding.because(requirement.place(demand.at), "This requirement is not proven to be met");
    }
    for (name, at) in lines(unit, services.into_iter().chain(outputs)).into_iter().take(MOST_NAMES) {
        finding.because(unit.unit_type.place(at), format!("`{name}` is worked out here"));
    }
}

fn service(unproven: &Unproven) -> Option<&Name> {
    if let Unproven::Service(name) = unproven { Some(name) } else { None }
}

fn output(unproven: &Unproven) -> Option<&Name> {
    if let Unproven::Output(name) = unproven { Some(name) } else { None }
}

fn input(unproven: &Unproven) -> Option<&Name> {
    if let Unproven::Input(name) = unproven { Some(name) } else { None }
}

/// The first of some names, and how many more there are.
fn named(names: &[&Name]) -> Option<String> {
    let told = names.get(..MOST_NAMES).unwrap_or(names);
    let more = names.len() - told.len();
    let mut words: Vec<Cow<'_, str>> = told.iter().map(|name| Cow::Owned(format!("`{name}`"))).collect();
    if more > 0 {
        words.push(Cow::Owned(format!("{more} more")));
    }
    match words.split_last() {
        Some((last, before @ [_, ..])) => Some(format!("{} or {last}", before.join(", "))),
        Some((only, _)) => Some(only.to_string()),
        None => None,
    }
}

/// Where services and outputs are written.
fn lines<'n>(
    unit: &UnitAnalysis<'_>,
    names: impl Iterator<Item = &'n Name>,
) -> Vec<(&'n Name, syntax::NodeId)> {
    let unit_type = unit.unit_type.is;
    let at = |name: &Name| {
        let service = unit_type.serves.iter().find(|(service, _)| service.value == *name);
        let output = || Some(unit_type.output(name)?.when.as_ref()?.at);
        service.map(|(_, words)| words.at).or_else(output)
    };
    names.filter_map(|name| Some((name, at(name)?))).collect()
}

fn of_type(ctx: &Ctx<'_>, found: Found<'_, UnitType>, out: &mut Sink) {
    if found.is.never.is_empty() {
        return;
    }
    let logic = TypeLogic::shared(ctx.memo, found);
    for (never, reached) in found.is.never.iter().zip(reached(ctx, &logic)) {
        if reached.can_be_on().is_unknown() {
            let message = format!(
                "The logic of `{}` is too large: it is not proven that it never reaches this state. \
                 Split the unit type, or remove inputs that the logic does not need.",
                found.name()
            );
            let words = found.entry.part.scalar(never.at).unwrap_or_default();
            out.report(About::of(noun::NEVER, words), never.at, message);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_names_are_counted() {
        let all: Vec<Name> = (1..=7).map(|n| Name::new(format!("i{n}"))).collect();
        let of = |count: usize| named(&all.iter().take(count).collect::<Vec<_>>());
        assert_eq!(of(0), None);
        assert_eq!(of(1).as_deref(), Some("`i1`"));
        assert_eq!(of(2).as_deref(), Some("`i1` or `i2`"));
        assert_eq!(of(7).as_deref(), Some("`i1`, `i2`, `i3`, `i4` or 3 more"));
    }
}
