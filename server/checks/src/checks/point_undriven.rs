//! # What it finds
//!
//! A point that something uses but that has no source: no schedule, call, contact, operator or other
//! point drives it, and it reads back no unit's output. At a unit's input it is an error.
//!
//! # Why it matters
//!
//! It stays off for good, and so does whatever waits for it. An occupied input without a source is the
//! usual reason why a unit never dehumidifies.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {occupied: AC1-OCC}
//! points:
//!   AC1-OCC: {object: binary-output 5, description: Occupied command}
//! # ^^^^^^^ stays off
//! ```
//! ```yaml bad
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: stacks
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: HP1-OCC}
//! points:
//!   HP1-HEAT1: {object: binary-output 3, driven-by: {call: heat-1, zone: stacks}}
//!   HP1-DEHUM: {object: binary-output 4, driven-by: {call: dehumidify, zone: stacks}}
//!   HP1-OCC: {object: binary-output 5, description: Occupied command}
//! # ^^^^^^^ `occupied` of `HP-1` stays off
//! zones:
//!   stacks:
//!     schedule: staff-hours
//!     occupied: {heat-below: 64 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 60 °F, dehumidify-above: 50 %RH}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {occupied: AC1-OCC}
//! points:
//!   AC1-OCC: {object: binary-output 5, driven-by: {schedule: staff-hours}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied}
//! ```
//! ```yaml near
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     outputs: {compressor: AC1-COMP-ON}
//! points:
//!   AC1-COMP-ON: {object: binary-input 1, description: Compressor status}
//! ```
//!
//! # Repair
//!
//! Write what drives it: `driven-by: {schedule: NAME}`, `{call: CALL, zone: NAME}`, or `{contact:
//! field}` for a contact wired to it.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::has;
use model::{Found, Key, Kind, Name, Place, Point, Source, Unit, View, Wiring};
use rustc_hash::FxHashSet;

pub(crate) static CHECK: Check = Check {
    id: "point-undriven",
    severity: Severity::Error,
    source: include_str!("point_undriven.rs"),
    run: Run::Point(run),
    repairs: &[repair::source],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let Some(name) = point.entry.part.key().filter(|_| !point.entry.facts.broken) else {
        return;
    };
    if has(&point.entry.part, "driven-by") || has(&point.entry.part, "measures") {
        return;
    }
    let name = Name::new(name);
    let units = ctx.view.users::<Unit>(Kind::Point, &name);
    // What nothing reads is `point-unused`; what reads a unit's output back has its value from there.
    let reads_back = |unit: &Found<'_, Unit>| unit.is.outputs.iter().any(|(_, read)| read.value == name);
    if !ctx.view.any(&Key::Refer(Kind::Point, name.clone())) || units.iter().any(reads_back) {
        return;
    }
    let at = point.entry.part.key_node();
    if let Some(Terminal { place, unit, input, point }) = terminal(&ctx.view, &name) {
        let message = format!(
            "`{name}` has no source, so `{input}` of `{unit}` stays off. Write what drives it, like `driven-by: {{schedule: NAME}}`."
        );
        out.report(About::entry(), at, message)
            .because(place, format!("`{input}` of `{unit}` is wired to `{point}`"));
    } else {
        let message = format!(
            "`{name}` has no source, so it stays off. If a contact is wired to it, write `driven-by: {{contact: field}}`."
        );
        out.report(About::entry(), at, message).severity(Severity::Note);
    }
}

/// A unit's input that a point is wired to, straight or through points that follow it.
struct Terminal {
    place: Place,
    unit: Name,
    input: Name,
    point: Name,
}

fn terminal(view: &View<'_>, undriven: &Name) -> Option<Terminal> {
    let (mut open, mut seen) = (vec![undriven.clone()], FxHashSet::default());
    while let Some(point) = open.pop() {
        if !seen.insert(point.clone()) {
            continue;
        }
        for unit in view.users::<Unit>(Kind::Point, &point) {
            let wired =
                unit.is.inputs.iter().find(|(_, w)| matches!(&w.value, Wiring::Point(p) if *p == point));
            if let Some((input, wiring)) = wired {
                return Some(Terminal {
                    place: unit.place(wiring.at),
                    unit: Name::new(unit.name()),
                    input: input.value.clone(),
                    point,
                });
            }
        }
        for reader in view.users::<Point>(Kind::Point, &point) {
            let follows = |source: &Source| matches!(source, Source::Point(p) if p.value == point);
            if reader.is.drivers.iter().filter_map(|d| d.source.as_ref()).any(follows) {
                open.push(Name::new(reader.name()));
            }
        }
    }
    None
}
