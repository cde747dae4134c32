//! # What it finds
//!
//! Hours that start or end in an hour that a clock change skips or repeats, with the date.
//!
//! # Why it matters
//!
//! In spring that hour does not exist, so the change happens at the jump. In fall it comes twice, and
//! so does the event: what should run once runs, stops and runs again.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   evening-events:
//!     values: occupancy
//!     default: unoccupied
//!     week:
//!       sun: 00:30-01:30
//!       #    ^^^^^^^^^^^ at 01:30 on Sun Nov 7, but the clock repeats
//!   night-purge:
//!     values: occupancy
//!     default: unoccupied
//!     week: {sat-sun: 02:30-05:00}
//!     #               ^^^^^^^^^^^ at 02:30 on Sun Mar 14, but the clock skips
//! ```
//! ```yaml good
//! schedules:
//!   evening-events:
//!     values: occupancy
//!     default: unoccupied
//!     week:
//!       sun: 00:30-00:55
//! ```
//! On other days these hours are like any others:
//! ```yaml near
//! schedules:
//!   night-purge:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-sat: 01:30-02:30}
//! ```
//!
//! # Repair
//!
//! Move the time out of that hour, or live with one odd night a year.
//!
//! # Source
//!
//! Dates from the IANA time zone database. That controllers differ in what they do in that hour is
//! common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::schedules::clock;
use analysis::{TimedSchedule, day_words};
use calendar::{ClockChangeKind, ClockEdge, edges_in_clock_change};
use model::Found;
use model::schedule::{Schedule, Window};
use syntax::NodeId;

pub(crate) static CHECK: Check = Check {
    id: "clock-change-hour",
    severity: Severity::Note,
    source: include_str!("clock_change_hour.rs"),
    run: Run::Schedule(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    let Some(timed) = ctx.timed(schedule) else {
        return;
    };
    // Of the same change of the clock in several years, the first.
    let mut told: Vec<(NodeId, ClockChangeKind)> = Vec::new();
    for edge in edges_in_clock_change(&timed.schedule, &timed.period) {
        let at = place(schedule.is, &timed, edge).unwrap_or(schedule.entry.part.key_node());
        if told.contains(&(at, edge.change)) {
            continue;
        }
        told.push((at, edge.change));
        let (change, what) = match edge.change {
            ClockChangeKind::Skipped => ("skipped", "the clock skips that hour. It will change at the jump."),
            ClockChangeKind::Repeated => ("repeated", "the clock repeats that hour. It may change twice."),
        };
        out.report(
            About::path(&schedule.entry.part, at).and(noun::CLOCK, change),
            at,
            format!(
                "The value changes at {} on {}, but {what} Move it out of that hour if that matters.",
                clock(edge.minute),
                day_words(&timed.period, edge.date),
            ),
        );
    }
}

/// The window behind a change of value: of an exception of that day, else of the week.
fn place(schedule: &Schedule, timed: &TimedSchedule, edge: ClockEdge) -> Option<NodeId> {
    let ends_here = |w: &&Window| w.start < w.end && (w.start == edge.minute || w.end == edge.minute);
    let exceptions = schedule.exceptions.iter().zip(&timed.schedule.exceptions);
    let of_day = exceptions.filter(|(_, e)| e.on.iter().any(|days| days.contains(edge.date)));
    let weekday = edge.date.weekday().to_monday_zero_offset() as usize;
    let of_week = schedule.week.iter().filter(|rule| rule.days.get(weekday) == Some(&true));
    let windows = of_day.flat_map(|(e, _)| &e.windows).chain(of_week.flat_map(|rule| &rule.windows));
    windows.into_iter().find(ends_here).map(|window| window.at)
}
