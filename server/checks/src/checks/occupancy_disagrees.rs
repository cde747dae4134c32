//! # What it finds
//!
//! A unit whose occupied input follows a different schedule than its zone, so that for some hours one
//! is occupied and the other is not. The message gives the hours and the first time.
//!
//! # Why it matters
//!
//! The thermostat then goes by one set of hours and the unit by another: setpoints are set back while
//! the unit still ventilates, or people sit in a room that its unit takes for empty.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   reading-room-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:30}}
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 07:30-17:30}}
//! zones:
//!   reading-room:
//!     schedule: reading-room-hours
//!     occupied: {heat-below: 70 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 62 °F, dehumidify-above: 50 %RH}
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: reading-room
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: HP1-OCC}
//!     #                                                            ^^^^^^^ on for 130.5 h while `reading-room` is unoccupied. This first happens on Fri Jan 1 07:30
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: reading-room}}
//!   HP1-DEHUM: {driven-by: {call: dehumidify, zone: reading-room}}
//!   HP1-OCC: {driven-by: {schedule: staff-hours}}
//! ```
//! ```yaml bad
//! schedules:
//!   reading-room-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:30}}
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:30-17:00}}
//! zones:
//!   reading-room:
//!     schedule: reading-room-hours
//!     occupied: {heat-below: 70 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 62 °F, dehumidify-above: 50 %RH}
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: reading-room
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: HP1-OCC}
//!     #                                                            ^^^^^^^ `occupied` of `HP-1` is off for 261 h while `reading-room` is occupied
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: reading-room}}
//!   HP1-DEHUM: {driven-by: {call: dehumidify, zone: reading-room}}
//!   HP1-OCC: {driven-by: {schedule: staff-hours}}
//! ```
//! ```yaml good
//! schedules:
//!   reading-room-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:30}}
//! zones:
//!   reading-room:
//!     schedule: reading-room-hours
//!     occupied: {heat-below: 70 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 62 °F, dehumidify-above: 50 %RH}
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: reading-room
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: HP1-OCC}
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: reading-room}}
//!   HP1-DEHUM: {driven-by: {call: dehumidify, zone: reading-room}}
//!   HP1-OCC: {driven-by: {schedule: reading-room-hours}}
//! ```
//! Two schedules with the same hours agree, and a push button or a smoke detector only adds to them:
//! ```yaml near
//! schedules:
//!   reading-room-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:30}}
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-thu: 08:00-17:30, fri: 08:00-17:30}}
//! zones:
//!   reading-room:
//!     schedule: reading-room-hours
//!     occupied: {heat-below: 70 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 62 °F, dehumidify-above: 50 %RH}
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: reading-room
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: HP1-OCC}
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: reading-room}}
//!   HP1-DEHUM: {driven-by: {call: dehumidify, zone: reading-room}}
//!   STAFF-IN: {driven-by: {schedule: staff-hours}}
//!   BUTTON: {driven-by: {contact: field}}
//!   SMOKE: {driven-by: {contact: field}}
//!   HP1-OCC: {driven-by: {logic: (STAFF-IN or BUTTON) and not SMOKE}}
//! ```
//!
//! # Repair
//!
//! Drive the input and the zone by one schedule. Where the unit should start earlier, record a
//! deviation.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::occupancy::OccupiedInput;
use crate::repair;
use analysis::{Mode, Moment, Reach, hours_words, moment_words};
use model::{Found, Unit};

pub(crate) static CHECK: Check = Check {
    id: "occupancy-disagrees",
    severity: Severity::Warning,
    source: include_str!("occupancy_disagrees.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts],
};

fn run(ctx: &Ctx<'_>, _: Found<'_, Unit>, out: &mut Sink) {
    let Some(input) = OccupiedInput::of(ctx, out) else {
        return;
    };
    let unit = input.unit;
    let (Some(zone), Some(schedule)) = (unit.zone, input.zone_schedule(ctx)) else {
        return;
    };
    if input.schedules().next().is_none() {
        return;
    }
    // Only what must differ counts: a free contact in the path may always be the better way round.
    let idle = |(m, reach): &(&Moment, Reach)| m.mode == Some(Mode::Unoccupied) && reach.off.is_no();
    let missing = |(m, reach): &(&Moment, Reach)| m.mode == Some(Mode::Occupied) && reach.on.is_no();
    let hours = |wrong: &dyn Fn(&(&Moment, Reach)) -> bool| -> f64 {
        input.moments().filter(|m| wrong(m)).map(|(m, _)| unit.hours(m)).sum()
    };
    let wrong: Vec<&Moment> =
        input.moments().filter(|m| idle(m) || missing(m)).map(|(moment, _)| moment).collect();
    // An input that never changes is a matter of its own.
    let varies = input.reach.iter().any(|reach| !reach.on.is_no())
        && input.reach.iter().any(|reach| !reach.off.is_no());
    if !varies {
        out.held_back(None, "occupancy-never-asserts", ctx.id);
        out.held_back(None, "occupancy-always-asserts", ctx.id);
    }
    if wrong.is_empty() || !varies || !input.is_looked_at().is_yes() {
        return;
    }
    let is_wrong = |moment: &Moment| wrong.iter().any(|of| std::ptr::eq(*of, moment));
    let Some((first, _)) = unit.course().find(|(_, moment)| is_wrong(moment)) else {
        return;
    };
    let (too_long, too_short) = (hours(&idle), hours(&missing));
    let mut parts = Vec::new();
    if too_long > 0.0 {
        parts.push(format!("on for {} while `{}` is unoccupied", hours_words(too_long), zone.name()));
    }
    if too_short > 0.0 {
        parts.push(format!("off for {} while `{}` is occupied", hours_words(too_short), zone.name()));
    }
    let finding = out.report(
        About::of(noun::INPUT, Mode::OCCUPIED_INPUT),
        input.at,
        format!(
            "`{}` of `{}` is {}. This first happens on {}. Drive both by `{}`.",
            Mode::OCCUPIED_INPUT,
            unit.unit.name(),
            parts.join(" and "),
            moment_words(&unit.period, first.from),
            schedule.name(),
        ),
    );
    input.explain(finding);
    if let Some(named) = &zone.is.schedule {
        finding.because(zone.place(named.at), format!("The zone follows `{}`", named.value));
    }
}
