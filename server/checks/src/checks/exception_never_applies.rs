//! # What it finds
//!
//! An exception that decides nothing in the review period: none of its days lies in it, the schedule is
//! not effective on them, or other exceptions cover it whole.
//!
//! # Why it matters
//!
//! Somebody relies on it: an opening, a closure, a holiday. On the day the building does something else.
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
//!       #      ^^^^^^^^^^ Thu 2026-06-11 is not in the review period, 2027-01-01 to 2027-12-31
//!       - {on: {from: 2027-08-02, to: 2027-08-13}, hours: none, priority: 9}
//!       - {on: 2027-08-05, hours: 09:00-12:00, priority: 10}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ covered
//!   stack-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: 2027-08-05, also: none}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^ adds no hours
//!       - {on: 2027-12-24, hours: 08:00-12:00}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not effective
//!     effective: {to: 2027-11-30}
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
//! A calendar that cannot be found may hold any day:
//! ```yaml near
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 07:30-18:00}
//!     exceptions:
//!       - {on: closurs, hours: none}
//! ```
//! In a review of a month the rest of the year's exceptions are not in fault:
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
//! Correct the date, give the exception a priority that wins (1 wins over 16), or take it out.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object, `Exception_Schedule`: the exceptions of a day count by
//! event priority, 1 first (from memory).

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::schedules::{DaysKnown, misread};
use analysis::{TimedSchedule, day_words};
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
            let text = format!("wins at priority {}", winner.priority);
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
                "{} is not in the review period, {first} to {last}, so this exception never applies; correct the date or take it out",
                day_words(*date)
            ),
            _ => format!(
                "none of its days lies in the review period, {first} to {last}, so this exception never applies; correct the days or take it out"
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
        let repair = if winners.all(|e| e.priority < exception.priority) {
            format!("give it a priority above its {}, or take it out", exception.priority)
        } else {
            "take it out".to_owned()
        };
        return Some((
            at,
            format!("this exception is covered by others at every moment, so it never applies; {repair}"),
        ));
    }
    if !effect.effective {
        return Some((at, "the schedule is not effective on any of these days, so this exception never applies; extend `effective` or take it out".to_owned()));
    }
    // What is left is `also` without a window.
    Some((
        at,
        "this exception adds no hours to the day; write its windows, or `hours: none` if the day is closed"
            .to_owned(),
    ))
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
