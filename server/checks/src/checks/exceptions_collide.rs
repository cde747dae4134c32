//! # What it finds
//!
//! Two exceptions that give the schedule different values at the same time with the same priority.
//!
//! # Why it matters
//!
//! The order of the list decides, and nobody sees that. Whoever sorts the list, or enters the schedule
//! in another tool, changes what the building does on that day.
//!
//! # Example
//!
//! ```yaml bad
//! calendars:
//!   closures:
//!     - {every: last monday of may}
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     exceptions:
//!       - {on: closures, hours: none, priority: 10}
//!       - {on: 2027-05-31, hours: 10:00-16:00, priority: 10}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ Mon May 31 at 10:00
//! ```
//! ```yaml good
//! calendars:
//!   closures:
//!     - {every: last monday of may}
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     exceptions:
//!       - {on: closures, hours: none, priority: 10}
//!       - {on: 2027-05-31, hours: 10:00-16:00, priority: 9}
//! ```
//! On the same day, but at different hours or with the same value:
//! ```yaml near
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     exceptions:
//!       - {on: 2027-06-12, also: 18:00-22:00}
//!       - {on: 2027-06-12, also: [07:00-08:00, 21:00-23:00]}
//! ```
//!
//! # Repair
//!
//! Give the exception that should win a priority of its own. 1 wins over 16.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object: of exceptions with the same event priority, the lowest
//! array index applies (from memory).

use crate::about::{About, exception_words, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::schedules::{clock, misread};
use analysis::day_words;
use calendar::Value;
use model::Found;
use model::schedule::Schedule;

pub(crate) static CHECK: Check = Check {
    id: "exceptions-collide",
    severity: Severity::Error,
    source: include_str!("exceptions_collide.rs"),
    run: Run::Schedule(run),
    repairs: &[repair::priority],
};

fn run(ctx: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    if schedule.is.exceptions.len() < 2 || misread(schedule) {
        return;
    }
    let Some(timed) = ctx.timed(schedule) else {
        return;
    };
    let part = &ctx.entry.part;
    let says =
        |value: Value| schedule.is.states.get(usize::from(value)).map_or("", |state| state.name.as_str());
    for collision in &timed.exceptions().collisions {
        let exceptions = &schedule.is.exceptions;
        let (Some(winner), Some(loser)) = (exceptions.get(collision.wins), exceptions.get(collision.loses))
        else {
            continue;
        };
        let [wins, loses] = collision.values.map(says);
        out.report(
            About::exception(part, loser).and(noun::EXCEPTION, exception_words(part, winner)),
            loser.at,
            format!(
                "Two exceptions collide on {} at {}, both at priority {}. This one says `{loses}`, and the one listed first wins with `{wins}`. Give the one you want a priority of its own.",
                day_words(&timed.period, collision.at.date),
                clock(collision.at.minute),
                loser.priority,
            ),
        )
        .because(schedule.place(winner.at), format!("This exception says `{wins}` then, and is listed first"));
    }
}
