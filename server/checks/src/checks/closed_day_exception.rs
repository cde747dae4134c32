//! # What it finds
//!
//! An exception that changes nothing, because the day is closed or has the same hours without it.
//!
//! # Why it matters
//!
//! It does no harm today, but a date or weekday may be wrong. It also keeps the day as it is when the
//! week changes.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: 2027-07-04, hours: none, priority: 9}
//!       #      ^^^^^^^^^^ Sun Jul 4 is already closed
//!       - {on: 2027-07-06, hours: 07:30-18:00}
//!       #      ^^^^^^^^^^ Tue Jul 6 already has these hours
//! ```
//! ```yaml bad
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: {from: 2027-01-02, to: 2027-01-03}, hours: none, priority: 9}
//!       #      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ This exception changes nothing: both of its days are already closed
//!       - {on: {from: 2027-01-05, to: 2027-01-06}, hours: 07:30-18:00}
//!       #      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ This exception changes nothing: both of its days already have these hours
//! ```
//! ```yaml good
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: 2027-07-05, hours: none, priority: 9}
//! ```
//! A closure of several days may include a weekend:
//! ```yaml near
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: {from: 2027-12-24, to: 2028-01-02}, hours: none}
//! ```
//!
//! # Repair
//!
//! Check the date. If it is right, delete the exception.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::schedules::{DaysKnown, misread};
use analysis::day_words;
use model::Found;
use model::schedule::Schedule;

pub(crate) static CHECK: Check = Check {
    id: "closed-day-exception",
    severity: Severity::Note,
    source: include_str!("closed_day_exception.rs"),
    run: Run::Schedule(run),
    repairs: &[repair::marked_item],
};

fn run(ctx: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    let exceptions = &schedule.is.exceptions;
    if exceptions.is_empty() || misread(schedule) {
        return;
    }
    let Some(timed) = ctx.timed(schedule) else {
        return;
    };
    let review = timed.exceptions();
    let mut days_known = DaysKnown::new(&ctx.view);
    for (exception, effect) in exceptions.iter().zip(&review.effects) {
        let Some(on) = &exception.on else { continue };
        if effect.decides.is_none() || effect.changes.is_some() || !days_known.of(&on.value) {
            continue;
        }
        // Of two that say the same, one is enough: the one beneath is told to go.
        let about = About::exception(&ctx.entry.part, exception);
        if effect.hides_another {
            out.held_back(Some(about), "exception-never-applies", ctx.id);
            continue;
        }
        let days = match (effect.days, effect.first) {
            (1, Some(day)) => day_words(&timed.period, day),
            (2, _) => "both of its days".to_owned(),
            (days, _) => format!("all {days} of its days"),
        };
        let already = match (exception.windows.is_empty(), effect.days) {
            (true, 1) => "is already closed",
            (true, _) => "are already closed",
            (false, 1) => "already has these hours",
            (false, _) => "already have these hours",
        };
        out.report(
            about,
            on.at,
            format!(
                "This exception changes nothing: {days} {already}. Check the date, or delete the exception."
            ),
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::tests::fixture::{found, job};

    /// What stands here says nothing about a day whose hours could not be read.
    #[test]
    fn a_week_misread_proves_nothing() {
        for week in ["7.30-18.00", "18:00-07:30"] {
            let text = format!(
                "schedules:\n  staff-hours:\n    values: occupancy\n    default: unoccupied\n    week: {{mon-fri: {week}}}\n    exceptions: [{{on: 2027-07-05, hours: none}}]\n"
            );
            let (job, files) = job(&text);
            assert!(found(super::CHECK.id, &job, &files).iter().all(Vec::is_empty));
        }
    }
}
