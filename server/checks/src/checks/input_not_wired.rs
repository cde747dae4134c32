//! # What it finds
//!
//! An input of the unit type that the list of wires leaves out. It is an error where a service of the
//! unit can then never run but could with the input, and a note where the outputs depend on the input
//! at all. Also an input that is `not-wired` on purpose but stops a service that is called for.
//!
//! # Why it matters
//!
//! An open terminal is always off. A call that is wired to the unit then does nothing, and the unit
//! gets the blame.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-HEAT1, occupied: not-wired}
//!   # ^^^^^^ `dehumidify`
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-HEAT1, dehumidify: not-wired, occupied: not-wired, proof-of-airflow: not-wired}
//!     #                                                                                                            ^^^^^^^^^ heating
//! points:
//!   AC1-COOL1: {driven-by: {contact: thermostat Y1}}
//!   AC1-HEAT1: {driven-by: {contact: thermostat W1}}
//! ```
//! ```yaml bad
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {cool-1: HP1-COOL1, heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM}
//!    #^^^^^^ `heat-2` is not wired, but the outputs depend on it
//!    #^^^^^^ `occupied` is not wired, but the outputs depend on it
//! points:
//!   HP1-COOL1: {driven-by: {contact: thermostat Y1}}
//!   HP1-HEAT1: {driven-by: {contact: thermostat B}}
//!   HP1-DEHUM: {driven-by: {contact: humidistat}}
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: not-wired, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   AC1-COOL1: {driven-by: {contact: thermostat Y1}}
//! ```
//! ```yaml near
//! # The mistyped input is told once. Under `allowed` the occupied input has no effect.
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-COOL1, dehumidfy: AC1-COOL1}
//! points:
//!   AC1-COOL1: {driven-by: {contact: thermostat}}
//! ```
//!
//! # Repair
//!
//! Wire the input, or write `not-wired` where it is left open on purpose.
//!
//! # Source
//!
//! Common practice, no source. Never bridge a safety input, a proof of airflow or a low-limit
//! thermostat to get a unit going: the manufacturer's documents decide what it needs.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use analysis::UnitAnalysis;
use logic::Answer;
use model::{Call, Found, Service, Unit, Wiring, list_words, nearest};

pub(crate) static CHECK: Check = Check {
    id: "input-not-wired",
    severity: Severity::Error,
    source: include_str!("input_not_wired.rs"),
    run: Run::Unit(run),
    repairs: &[repair::left_out, repair::facts],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    if found.entry.facts.broken || unit.unit_type.entry.facts.broken {
        return;
    }
    left_out(unit, found, out);
    for (input, wiring) in found.is.inputs.iter().filter(|(_, wiring)| wiring.value == Wiring::NotWired) {
        let stopped = stopped_services(unit, &input.value);
        if !stopped.is_empty() {
            let message = format!(
                "`{}` is not wired, so {} can never run. Wire it.",
                input.value,
                list_words(stopped.iter().copied(), "and"),
            );
            out.report(About::of(noun::INPUT, &input.value), wiring.at, message)
                .because(unit.unit_type.head(), "The logic of the unit type needs it");
        }
    }
}

/// Inputs of the type that the wiring list does not mention.
fn left_out(unit: &UnitAnalysis<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let absent: Vec<&str> = unit
        .unit_type
        .is
        .inputs
        .iter()
        .map(|input| input.name.value.as_str())
        .filter(|input| found.is.wiring(input).is_none())
        .collect();
    let declared = |input: &str| {
        let declared = unit.unit_type.is.input(input);
        declared.map_or(unit.unit_type.head(), |input| unit.unit_type.place(input.name.at))
    };
    // A mistyped input is `terminal-unknown`, and the one that was meant is as good as wired.
    let mistyped = |input: &&str| {
        let strange =
            found.is.inputs.iter().filter(|(name, _)| unit.unit_type.is.input(&name.value).is_none());
        strange.into_iter().any(|(name, _)| !nearest(&name.value, [*input].into_iter()).is_empty())
    };
    let at = found.is.inputs_at.unwrap_or(found.entry.part.key_node());
    for input in absent.iter().filter(|input| !mistyped(input)) {
        let needing: Vec<&str> = unit
            .services()
            .iter()
            .map(|(name, _)| name.as_str())
            .filter(|s| needs(unit, s, input, &absent))
            .collect();
        if !needing.is_empty() {
            let services = list_words(needing.into_iter(), "and");
            let message =
                format!("`{input}` is not wired, so {services} can never run. Wire it under `inputs`.");
            out.report(About::of(noun::INPUT, input), at, message)
                .because(declared(input), "The unit type has this input");
        } else if unit.has_effect(input).is_yes() {
            let message = format!(
                "`{input}` is not wired, but the outputs depend on it. Wire it, or write `{input}: not-wired` if it is left open on purpose."
            );
            out.report(About::of(noun::INPUT, input), at, message)
                .because(declared(input), "The unit type has this input")
                .severity(Severity::Note);
        }
    }
}

/// Whether a service can never run, could with what is left out, and not without this input of it.
fn needs(unit: &UnitAnalysis<'_>, service: &str, input: &str, absent: &[&str]) -> bool {
    let others: Vec<&str> = absent.iter().copied().filter(|a| *a != input).collect();
    let without_it = || can_run(unit, service, absent).and(|| !can_run(unit, service, &others));
    let needs = (!can_run(unit, service, &[])).and(|| can_run(unit, service, &[input]).or(without_it));
    needs.is_yes()
}

/// Services that are called for by other inputs than this one, and wait for it in vain.
fn stopped_services<'u>(unit: &'u UnitAnalysis<'_>, input: &str) -> Vec<&'u str> {
    let called = |service: &str| {
        let calls: Vec<Call> = Service::of(service).into_iter().flat_map(Service::calls).collect();
        !calls.iter().any(|call| call.name() == input)
            && calls.iter().any(|call| unit.logic.input(call.name()).is_some())
            && unit.can_be_on(&unit.demand(service)).is_yes()
    };
    let services = unit.services().iter().map(|(name, _)| name.as_str());
    let waits = |service: &str| {
        let waits = (!can_run(unit, service, &[])).and(|| can_run(unit, service, &[input]));
        waits.is_yes()
    };
    services.filter(|service| called(service) && waits(service)).collect()
}

/// Whether a service can run at some moment, with some inputs free.
fn can_run(unit: &UnitAnalysis<'_>, service: &str, free: &[&str]) -> Answer {
    let service = unit.service_with_free(service, free);
    service.map_or(Answer::No, |function| unit.can_be_on(&function))
}
