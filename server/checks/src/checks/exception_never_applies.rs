//! # What it finds
//!
//! An exception that changes nothing in the review period: none of its days is in it, the schedule is
//! not effective on them, or other exceptions cover it completely.
//!
//! # Why it matters
//!
//! Somebody relies on it: an opening, a closure, a holiday. On that day the building does something
//! else.
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
//!       - {on: 2026-06-11, hours: 07:30-12:00}
//!       #      ^^^^^^^^^^ Thu Jun 11 2026 is outside the review period
//!       - {on: {from: 2027-08-02, to: 2027-08-13}, hours: none, priority: 9}
//!       - {on: 2027-08-05, hours: 09:00-12:00, priority: 10}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ others cover it
//!   stack-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: 2027-08-05, also: none}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^ adds no hours
//!       - {on: 2027-12-24, hours: 08:00-12:00}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ outside the `effective` dates
//!     effective: {to: 2027-11-30}
//! ```
//! ```yaml bad
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: {from: 2026-12-24, to: 2026-12-31}, hours: none}
//!       #      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ This exception never applies: none of its days is in the review period, Fri Jan 1 2027 to Fri Dec 31 2027
//!       - {on: 2027-08-05, hours: 09:00-12:00, priority: 1}
//!       - {on: 2027-08-05, hours: none, priority: 1}
//! ```
//! ```yaml good
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: {from: 2027-08-02, to: 2027-08-13}, hours: none, priority: 10}
//!       - {on: 2027-08-05, hours: 09:00-12:00, priority: 9}
//! ```
//! A calendar that cannot be found may have any day:
//! ```yaml near
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: closurs, hours: none}
//! ```
//! In a review of one month, exceptions of the rest of the year are not at fault:
//! ```yaml near
//! site: {name: Saltmarsh Records Centre, time-zone: America/New_York, review: {from: 2027-01-01, days: 31}}
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: 2027-06-11, hours: 07:30-12:00}
//!       - {on: {every: last monday of may}, hours: none}
//! ```
//!
//! # Repair
//!
//! Correct the date, give the exception a priority that wins (1 wins over 16), or delete it.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object, `Exception_Schedule`: the exceptions of a day apply by
//! event priority, 1 first (from memory).

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::schedules::{DaysKnown, misread};
use analysis::{TimedSchedule, dated_words};
use calendar::{Date, ExceptionEffect, Occurrence};
use model::schedule::{Exception, On, Schedule};
use model::{Days, Found, Spot, Written};

pub(crate) static CHECK: Check = Check {
    id: "exception-never-applies",
    severity: Severity::Warning,
    source: include_str!("exception_never_applies.rs"),
    run: Run::Schedule(run),
    repairs: &[repair::priority, repair::marked_item],
};

fn run(ctx: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    let exceptions = &schedule.is.exceptions;
    if exceptions.is_empty() {
        return;
    }
    let Some(timed) = ctx.timed(schedule) else {
        return;
    };
    let review = timed.exceptions();
    let (mut days_known, misread) = (DaysKnown::new(&ctx.view), misread(schedule));
    for (exception, effect) in exceptions.iter().zip(&review.effects) {
        // One that loses by its place in the list is reported as a collision.
        if effect.decides.is_some() || effect.collides {
            continue;
        }
        let Some(on) = exception.on.as_ref().filter(|on| days_known.of(&on.value)) else { continue };
        let Some((spot, message)) = why(ctx, schedule, (exception, on), effect, &timed, misread) else {
            continue;
        };
        let finding = out.report(About::exception(&ctx.entry.part, exception), spot, message);
        for winner in effect.covered_by.iter().filter_map(|n| exceptions.get(*n)) {
            let text = format!("This exception wins at priority {}", winner.priority);
            finding.because(schedule.place(winner.at), text);
        }
    }
}

fn why(
    ctx: &Ctx<'_>,
    schedule: Found<'_, Schedule>,
    (exception, on): (&Exception, &Written<On>),
    effect: &ExceptionEffect,
    timed: &TimedSchedule,
    misread: bool,
) -> Option<(Spot, String)> {
    let period = &timed.period;
    let (first, last) = (period.first_date(), period.last_date());
    if effect.days == 0 {
        let message = match &on.value {
            _ if ctx.view.period().2 < A_YEAR && !is_past(&on.value, first) => return None,
            On::Days(Days::Occurrence(Occurrence::Date(date))) => format!(
                "This exception never applies: {} is outside the review period, {}. Correct the date, or delete the exception.",
                dated_words(*date),
                range_words(first, last)
            ),
            _ => format!(
                "This exception never applies: none of its days is in the review period, {}. Correct the days, or delete the exception.",
                range_words(first, last)
            ),
        };
        return Some((on.at.into(), message));
    }
    if misread {
        return None;
    }
    let at = Spot::from(exception.at);
    if !effect.covered_by.is_empty() {
        let mut winners = effect.covered_by.iter().filter_map(|n| schedule.is.exceptions.get(*n));
        let above = winners.clone().map(|e| e.priority).min().filter(|priority| *priority > 1);
        let repair = match above.filter(|_| winners.all(|e| e.priority < exception.priority)) {
            Some(priority) => format!("Give it `priority: {}`, or delete it.", priority - 1),
            None => "Delete it.".to_owned(),
        };
        return Some((
            at,
            format!("This exception never applies: others cover it at every moment. {repair}"),
        ));
    }
    if !effect.effective {
        return Some((at, "This exception never applies: its days are outside the `effective` dates. Extend `effective`, or delete the exception.".to_owned()));
    }
    // What is left is `also` without a window.
    Some((
        at,
        "This exception adds no hours to the day. Write its hours, or `hours: none` if the day is closed."
            .to_owned(),
    ))
}

/// `Fri Jan 1 2027 to Fri Dec 31 2027`.
fn range_words(first: Date, last: Date) -> String {
    format!("{} to {}", dated_words(first), dated_words(last))
}

/// In a shorter review days of the same year may lie outside it by right.
const A_YEAR: u32 = 365;

fn is_past(on: &On, first: Date) -> bool {
    match on {
        On::Days(Days::Occurrence(Occurrence::Date(date))) => *date < first,
        On::Days(Days::Occurrence(Occurrence::Range { to: Some(to), .. })) => *to < first,
        On::Days(_) | On::Calendar(_) => false,
    }
}
