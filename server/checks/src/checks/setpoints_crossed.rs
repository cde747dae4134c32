//! # What it finds
//!
//! A heating setpoint at or above the cooling setpoint of the same mode.
//!
//! # Why it matters
//!
//! Between the two the thermostat calls for heating and cooling at once. The unit does what its logic
//! makes of both: it cycles, or cools what it has just heated.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}
//!     #                      ^^^^^ `heat-below` is 78 °F
//! ```
//! ```yaml bad
//! # Every value of a schedule that a limit follows is checked.
//! zones:
//!   stacks:
//!     occupied: {heat-below: 68 °F, cool-above: {schedule: stacks-cooling}}
//!     #                      ^^^^^ `cool-above` is 66 °F
//! schedules:
//!   stacks-cooling: {values: °F, default: 75 °F, week: {sat: {06:00-08:00: 66 °F}}}
//! ```
//! ```yaml good
//! zones:
//!   stacks:
//!     occupied: {heat-below: 68 °F, cool-above: 75 °F}
//! ```
//! ```yaml near
//! zones:
//!   stacks:
//!     occupied: {heat-below: 23.8 °C, cool-above: 75 °F}
//! ```
//! ```yaml near
//! # 66 °F never comes while the stacks are occupied.
//! zones:
//!   stacks:
//!     schedule: stacks-hours
//!     occupied: {heat-below: 68 °F, cool-above: {schedule: stacks-cooling}}
//! schedules:
//!   stacks-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//!   stacks-cooling: {values: °F, default: 75 °F, week: {sat: {06:00-08:00: 66 °F}}}
//! ```
//!
//! # Repair
//!
//! Set the heating limit below the cooling limit. The energy standards ask for 5 °F (3 °C) between
//! them.
//!
//! # Source
//!
//! ASHRAE Guideline 36-2021 §3.1.1.1: cooling at least 1 °F above heating. That crossed setpoints
//! cannot both be kept needs no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::{repair, settings};
use model::{Found, LimitKey, Zone};

pub(crate) static CHECK: Check = Check {
    id: "setpoints-crossed",
    severity: Severity::Error,
    source: include_str!("setpoints_crossed.rs"),
    run: Run::Zone(run),
    repairs: &[repair::exchange],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    settings::each(ctx, zone, out, |setting, out| {
        let limits = &setting.limits;
        let [below, above] = LimitKey::SETPOINTS;
        if let (Some(heat), Some(cool)) = (limits.value(below), limits.value(above))
            && heat.value.si() >= cool.value.si()
        {
            out.report(
                About::of(noun::MODE, setting.mode.name()),
                heat.at,
                format!(
                    "`{below}` is {} but `{above}` is {}, so heating and cooling both run in between. Set heating below cooling.",
                    heat.value, cool.value
                ),
            )
            .because(zone.place(cool.at), format!("Cooling starts above {}", cool.value));
        }
    });
}
