//! # What it finds
//!
//! A unit whose dehumidification never turns on, in any state that its calls and contacts allow, at any
//! time of the review period. The reasons are the facts in the job that together force it: change any
//! one, and it could run.
//!
//! # Why it matters
//!
//! This is the call-back "it never dehumidifies": everything is wired, the thermostat calls, and the
//! unit's own logic does not allow it.
//!
//! # Example
//!
//! The option needs the occupied input, and nothing ever turns it on:
//!
//! ```yaml bad
//! units:
//!   HP-2:
//! # ^^^^ `HP2-OCC` has no source
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: reading-room
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: HP2-DEHUM, occupied: HP2-OCC}
//! points:
//!   HP2-DEHUM: {driven-by: {call: dehumidify, zone: reading-room}}
//!   HP2-OCC: {description: Occupied command}
//! zones:
//!   reading-room:
//!     occupied: {cool-above: 75 °F, dehumidify-above: 55 %RH}
//! ```
//! ```yaml bad
//! units:
//!   HP-2:
//! # ^^^^ never occupied
//!     type: heat-pump-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: HP2-DEHUM, occupied: HP2-OCC}
//! points:
//!   HP2-DEHUM: {driven-by: {contact: field}}
//!   HP2-OCC: {driven-by: {schedule: reading-room-hours}}
//! schedules:
//!   reading-room-hours: {values: occupancy, default: unoccupied, week: {mon-fri: none}}
//! ```
//! ```yaml good
//! units:
//!   HP-2:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: reading-room
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {dehumidify: HP2-DEHUM, occupied: not-wired}
//! points:
//!   HP2-DEHUM: {driven-by: {call: dehumidify, zone: reading-room}}
//! zones:
//!   reading-room:
//!     occupied: {cool-above: 75 °F, dehumidify-above: 55 %RH}
//! ```
//! ```yaml near
//! units:
//!   HP-2:
//!     type: heat-pump-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: HP2-DEHUM, occupied: {tied-to: dehumidify}}
//!   HP-3:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {dehumidify: not-wired, occupied: not-wired}
//! points:
//!   HP2-DEHUM: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Change any one of the facts listed: the option, the source of the point, the wire, or the hours of
//! the schedule.
//!
//! # Source
//!
//! Common practice, no source. Which call wins is the logic of the unit type, shown line by line.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{cause, explain, is_wanted, told_at_the_zone};
use crate::repair;
use analysis::Claim;
use model::{Found, Service, Unit};

pub(crate) static CHECK: Check = Check {
    id: "dehumidification-never-runs",
    severity: Severity::Error,
    source: include_str!("dehumidification_never_runs.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::unit_as_set],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    let drying = unit.service(Service::Dehumidification);
    let never_runs = drying.is_some_and(|drying| unit.can_be_on(drying).is_no());
    if !never_runs || !is_wanted(ctx, unit) {
        return;
    }
    let never = Claim::ServiceNever(Service::Dehumidification.name());
    let reasons = unit.why(never, |_| true).unwrap_or_default();
    let about = About::of(noun::SERVICE, Service::Dehumidification.name());
    if told_at_the_zone(ctx, unit, &reasons, &about, out) {
        return;
    }
    let message = match cause(&reasons) {
        Some((cause, cure)) => {
            format!("`{}` can never dehumidify: {cause}. {cure}", found.name())
        }
        None => {
            format!("`{}` can never dehumidify. Correct the logic of the unit type.", found.name())
        }
    };
    explain(out.report(about, found.entry.part.key_node(), message), &reasons);
}
