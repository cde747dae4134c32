//! # What it finds
//!
//! An occupied input that the unit's logic needs, but whose source is always off in the review period:
//! a schedule without hours, a tie, an operator or an override that keeps it off.
//!
//! # Why it matters
//!
//! What waits for the input never happens: the outdoor-air damper stays shut, or a unit set to
//! dehumidify while occupied never does. At the unit everything looks well wired.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   bay-hours: {values: occupancy, default: unoccupied, week: {mon-sun: none}}
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: AC2-DEHUM, occupied: AC2-OCC}
//!     #                                         ^^^^^^^ `bay-hours` is never occupied
//! points:
//!   AC2-DEHUM: {driven-by: {contact: humidistat}}
//!   AC2-OCC: {driven-by: {schedule: bay-hours}}
//! ```
//! ```yaml bad
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: AC2-DEHUM, occupied: {tied: off}}
//!     #                                         ^^^^^^^^^^^ always off
//! points:
//!   AC2-DEHUM: {driven-by: {contact: humidistat}}
//! ```
//! ```yaml bad
//! schedules:
//!   bay-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   loading-bay: {schedule: bay-hours, occupied: {dehumidify-above: 55 %RH}, unoccupied: {dehumidify-above: 60 %RH}}
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     zone: loading-bay
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: AC2-DEHUM, occupied: {tied: off}}
//!     #                                         ^^^^^^^^^^^ `occupied` of `AC-2` is always off, but its logic needs it
//! points:
//!   AC2-DEHUM: {driven-by: {contact: humidistat}}
//! ```
//! ```yaml good
//! schedules:
//!   bay-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 07:00-16:30}}
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: AC2-DEHUM, occupied: AC2-OCC}
//! points:
//!   AC2-DEHUM: {driven-by: {contact: humidistat}}
//!   AC2-OCC: {driven-by: {schedule: bay-hours}}
//! ```
//! With `allowed` this unit does not use the input:
//! ```yaml near
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {dehumidify: AC2-DEHUM, occupied: {tied: off}}
//! points:
//!   AC2-DEHUM: {driven-by: {contact: humidistat}}
//! ```
//! A point without a source is reported at the point:
//! ```yaml near
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: AC2-DEHUM, occupied: AC2-OCC}
//! points:
//!   AC2-DEHUM: {driven-by: {contact: humidistat}}
//!   AC2-OCC: {description: Occupied command}
//! ```
//!
//! # Repair
//!
//! Give the schedule hours, or drive the input by the schedule of the unit's zone. Before an override
//! is released, make sure that nobody is working on the unit: it may start at once.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::occupancy::OccupiedInput;
use crate::repair;
use crate::schedules::DaysKnown;
use model::schedule::ScheduleValue;
use model::{Found, Mode, Schedule, Unit};

pub(crate) static CHECK: Check = Check {
    id: "occupancy-never-asserts",
    severity: Severity::Error,
    source: include_str!("occupancy_never_asserts.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::unit_as_set],
};

fn run(ctx: &Ctx<'_>, _: Found<'_, Unit>, out: &mut Sink) {
    let Some(input) = OccupiedInput::of(ctx, out) else {
        return;
    };
    let unit = input.unit;
    // A call that cannot be made is reported where its limit is set.
    if input.follows_a_call()
        || input.reach.iter().any(|reach| !reach.on.is_no())
        || !input.is_needed().is_yes()
    {
        return;
    }
    let schedules: Vec<Found<'_, Schedule>> =
        input.schedules().filter_map(|name| ctx.view.find(name)).collect();
    // Hours on days that nobody knows may be all the hours there are.
    let mut exceptions = schedules.iter().flat_map(|schedule| &schedule.is.exceptions);
    let mut days_known = DaysKnown::new(&ctx.view);
    if exceptions.any(|e| !e.windows.is_empty() && !e.on.as_ref().is_some_and(|on| days_known.of(&on.value)))
    {
        return;
    }
    let never = schedules.iter().find(|schedule| {
        let timed = ctx.timed(**schedule);
        timed.is_some_and(|timed| {
            let is_on = |value| schedule.is.states.get(usize::from(value)).is_some_and(ScheduleValue::is_on);
            !timed.timeline.spans().any(|span| is_on(span.value))
        })
    });
    let input_name = Mode::OCCUPIED_INPUT;
    let what = format!("`{input_name}` of `{}` is always off, but its logic needs it.", unit.unit.name());
    let message = match (never, input.zone_schedule(ctx)) {
        (Some(schedule), _) => {
            format!(
                "{what} `{}` is never occupied. Give it hours, or follow another schedule.",
                schedule.name()
            )
        }
        (None, Some(schedule)) => {
            format!("{what} Drive it by `{}`, the schedule of its zone.", schedule.name())
        }
        (None, None) => format!("{what} Drive it by a schedule."),
    };
    let finding = out.report(About::of(noun::INPUT, Mode::OCCUPIED_INPUT), input.at, message);
    input.explain(finding);
    if let Some(schedule) = never {
        finding.because(schedule.head(), "It is off throughout the review period");
    }
}
