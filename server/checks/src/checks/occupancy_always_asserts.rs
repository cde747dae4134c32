//! # What it finds
//!
//! An occupied input that is always on in the review period, although the unit's zone has unoccupied
//! hours. An input that the unit's logic never uses is left out.
//!
//! # Why it matters
//!
//! The unit behaves as if people were always in: it ventilates at night, or dries before it heats in an
//! empty room. A jumper from start-up is the usual cause.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   lab-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   conservation-lab:
//!     schedule: lab-hours
//!     occupied: {heat-below: 68 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 65 °F, dehumidify-above: 50 %RH}
//! units:
//!   HP-3:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: conservation-lab
//!     inputs: {heat-1: HP3-HEAT1, dehumidify: HP3-DEHUM, occupied: {tied: on}}
//!     #                                                            ^^^^^^^^^^ unoccupied in 6,411 of 8,760 h (73 %)
//! points:
//!   HP3-HEAT1: {driven-by: {call: heat-1, zone: conservation-lab}}
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: conservation-lab}}
//! ```
//! ```yaml good
//! schedules:
//!   lab-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   conservation-lab:
//!     schedule: lab-hours
//!     occupied: {heat-below: 68 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 65 °F, dehumidify-above: 50 %RH}
//! units:
//!   HP-3:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: conservation-lab
//!     inputs: {heat-1: HP3-HEAT1, dehumidify: HP3-DEHUM, occupied: HP3-OCC}
//! points:
//!   HP3-HEAT1: {driven-by: {call: heat-1, zone: conservation-lab}}
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: conservation-lab}}
//!   HP3-OCC: {driven-by: {schedule: lab-hours}}
//! ```
//! Tied to the dehumidify call, the input is on only during that call:
//! ```yaml near
//! schedules:
//!   lab-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   conservation-lab:
//!     schedule: lab-hours
//!     occupied: {heat-below: 68 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 65 °F, dehumidify-above: 50 %RH}
//! units:
//!   HP-3:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: conservation-lab
//!     inputs: {heat-1: HP3-HEAT1, dehumidify: HP3-DEHUM, occupied: {tied-to: dehumidify}}
//! points:
//!   HP3-HEAT1: {driven-by: {call: heat-1, zone: conservation-lab}}
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: conservation-lab}}
//! ```
//! A zone without a schedule is always occupied:
//! ```yaml near
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, dehumidify-above: 50 %RH}}
//! units:
//!   HP-4:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: stacks
//!     inputs: {heat-1: HP4-HEAT1, dehumidify: HP4-DEHUM, occupied: {tied: on}}
//! points:
//!   HP4-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//!   HP4-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//!
//! # Repair
//!
//! Drive the input by the zone's schedule. Where it should stay on, record a deviation. A jumper sits
//! next to line voltage: lock out and test before it is removed.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::occupancy::OccupiedInput;
use crate::repair;
use analysis::{Mode, share_words};
use model::{Found, Unit};

pub(crate) static CHECK: Check = Check {
    id: "occupancy-always-asserts",
    severity: Severity::Warning,
    source: include_str!("occupancy_always_asserts.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts],
};

fn run(ctx: &Ctx<'_>, _: Found<'_, Unit>, out: &mut Sink) {
    let Some(input) = OccupiedInput::of(ctx, out) else {
        return;
    };
    let unit = input.unit;
    if input.reach.iter().any(|reach| !reach.off.is_no()) {
        return;
    }
    let (Some(zone), Some(schedule)) = (unit.zone, input.zone_schedule(ctx)) else {
        return;
    };
    let unoccupied = unit.moments().iter().filter(|m| m.mode == Some(Mode::Unoccupied));
    let hours: f64 = unoccupied.map(|m| unit.hours(m)).sum();
    if hours == 0.0 || !input.is_looked_at().is_yes() {
        return;
    }
    let finding = out.report(
        About::of(noun::INPUT, Mode::OCCUPIED_INPUT),
        input.at,
        format!(
            "`{}` of `{}` is on all the time, but `{}` is unoccupied in {}. Drive it by `{}`, the schedule of its zone.",
            Mode::OCCUPIED_INPUT,
            unit.unit.name(),
            zone.name(),
            share_words(hours, unit.period.hours()),
            schedule.name(),
        ),
    );
    input.explain(finding);
    finding.because(schedule.head(), format!("`{}` has unoccupied hours", schedule.name()));
}
