//! # What it finds
//!
//! A schedule that no point and no zone follows.
//!
//! # Why it matters
//!
//! Its hours look settled but change nothing. Either it is left over from another job, or what should
//! follow it follows something else.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   evening-events: {values: occupancy, default: unoccupied, week: {fri: 18:00-22:00}}
//! # ^^^^^^^^^^^^^^ No point or zone follows
//! ```
//! ```yaml good
//! schedules:
//!   evening-events: {values: occupancy, default: unoccupied, week: {fri: 18:00-22:00}}
//! points:
//!   RR-LIGHTS: {driven-by: {schedule: evening-events}}
//! ```
//! A misspelled name is reported where it is written:
//! ```yaml near
//! schedules:
//!   evening-events: {values: occupancy, default: unoccupied, week: {fri: 18:00-22:00}}
//! zones:
//!   reading-room: {schedule: evenings-event}
//! ```
//!
//! # Repair
//!
//! Drive something by it, or delete it.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use model::{Declared, Found, Key, Kind, Name, Point, Schedule, Zone};

pub(crate) static CHECK: Check = Check {
    id: "schedule-drives-nothing",
    severity: Severity::Warning,
    source: include_str!("schedule_drives_nothing.rs"),
    run: Run::Schedule(run),
    repairs: &[repair::entry],
};

fn run(ctx: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    let name = Name::new(schedule.name());
    let used = ctx.view.any(&Key::Refer(Kind::Schedule, name.clone()));
    let unread = ctx.view.any(&Key::Unread(name.clone(), false));
    if used || unread || meant_by::<Zone>(ctx, &name) || meant_by::<Point>(ctx, &name) {
        return;
    }
    out.report(
        About::entry(),
        schedule.entry.part.key_node(),
        format!("No point or zone follows `{name}`, so its hours change nothing. Drive something by it, or delete it."),
    )
    .unused();
}

/// Whether a misspelled name in a `T` may be meant for this schedule.
fn meant_by<T: Declared>(ctx: &Ctx<'_>, name: &Name) -> bool {
    let all = ctx.view.all::<T>();
    let named = all.iter().flat_map(|found| &found.entry.facts.uses);
    let mut schedules = named.filter(|used| used.kind == Kind::Schedule);
    schedules.any(|used| {
        !model::nearest(&used.name, [name.as_str()].into_iter()).is_empty()
            && ctx.view.find::<Schedule>(&used.name).is_none()
    })
}
