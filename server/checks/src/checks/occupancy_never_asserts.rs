//! # What it finds
//!
//! An occupied input that the unit's logic needs, driven by something that is off at every moment of
//! the review period: a schedule without hours, a tie, a hand or an override that holds it off.
//!
//! # Why it matters
//!
//! What waits for the input never happens: the outdoor-air damper stays shut, or a unit set to
//! dehumidify while occupied never dehumidifies. At the unit everything looks well wired.
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
//!     #                                         ^^^^^^^ schedule `bay-hours` is never on
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
//!     #                                         ^^^^^^^^^^^ off at all 8760 h
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
//! Under `allowed` this unit does not look at the input:
//! ```yaml near
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {dehumidify: AC2-DEHUM, occupied: {tied: off}}
//! points:
//!   AC2-DEHUM: {driven-by: {contact: humidistat}}
//! ```
//! A point that nothing drives is told at the point:
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
//! is released, see that nobody works on the unit: it may start at once.
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
use analysis::hours_words;
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
    let hours = hours_words(unit.period.hours());
    let input_name = Mode::OCCUPIED_INPUT;
    let what =
        format!("`{input_name}` is off at all {hours} of the review period, and the unit's logic needs it");
    let message = match (never, input.zone_schedule(ctx)) {
        (Some(schedule), _) => {
            format!("{what}: schedule `{}` is never on; give it hours, or follow another", schedule.name())
        }
        (None, Some(schedule)) => {
            format!("{what}; drive it by `{}`, the schedule of its zone", schedule.name())
        }
        (None, None) => format!("{what}; drive it by a schedule"),
    };
    let finding = out.report(About::of(noun::INPUT, Mode::OCCUPIED_INPUT), input.at, message);
    input.explain(finding);
    if let Some(schedule) = never {
        finding.because(schedule.head(), "its values are off throughout the review period");
    }
}
