//! # What it finds
//!
//! Days of the review period outside a schedule's `effective` dates, when it stays at its default.
//!
//! # Why it matters
//!
//! On those days neither its week nor its exceptions apply, and a building stays unoccupied, or
//! occupied, around the clock. Last year's dates are the usual cause.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     effective: {from: 2027-01-01, to: 2027-06-30}
//!   # ^^^^^^^^^ 184 of the 365 days under review, first on Thu Jul 1
//! ```
//! ```yaml bad
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     effective: {from: 2027-12-31, to: 2027-01-01}
//!   # ^^^^^^^^^ starts after it ends
//! ```
//! ```yaml good
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     effective: {from: 2027-01-01, to: 2027-12-31}
//! ```
//! ```yaml near
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     effective: {from: 2026-07-01}
//! ```
//!
//! # Repair
//!
//! Extend `effective`, delete its last date, or change the review period to match.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object, `Effective_Period`: outside it the object is inactive
//! (from memory). That its default then applies is our reading.

use crate::about::About;
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{Proposal, cost};
use crate::written::value;
use analysis::{count_words, day_words};
use model::Found;
use model::schedule::Schedule;

pub(crate) static CHECK: Check = Check {
    id: "schedule-outside-period",
    severity: Severity::Warning,
    source: include_str!("schedule_outside_period.rs"),
    run: Run::Schedule(run),
    repairs: &[extend],
};

fn run(ctx: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    let Some(at) = schedule.is.effective_at else {
        return;
    };
    let Some(timed) = ctx.timed(schedule) else {
        return;
    };
    let Some(outside) = calendar::outside_effective(&timed.schedule, &timed.period) else {
        return;
    };
    let default = schedule.is.states.first().map_or("the default", |state| state.name.as_str());
    let message = match schedule.is.effective {
        (Some(from), Some(to)) if from > to => {
            format!(
                "`effective` starts after it ends, so the schedule always stays at `{default}`. Swap the dates."
            )
        }
        _ => format!(
            "The schedule is not effective on {} of the {} days under review, first on {}. It stays at `{default}` on those days. Extend `effective`.",
            count_words(outside.days as usize),
            count_words(ctx.view.period().2 as usize),
            day_words(&timed.period, outside.first),
        ),
    };
    out.report(About::entry(), at, message);
}

/// Other dates, or none.
fn extend(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let (Some(schedule), Some(key)) = (ctx.view.as_found::<Schedule>(ctx.id), finding.spot.node()) else {
        return;
    };
    let part = &ctx.entry.part;
    let target = Target::new(ctx.id, ctx.entry);
    let Some(dates) = value(part, part.value(), "effective") else { return };
    let written = |key: &str| value(part, dates, key);
    if let (Some(from), Some(to)) = schedule.is.effective
        && from > to
        && let (Some(first), Some(last)) = (written("from"), written("to"))
    {
        let edits = target.value(first, &to.to_string()).zip(target.value(last, &from.to_string()));
        out.extend(edits.map(|(a, b)| Proposal {
            title: "Swap the dates".to_owned(),
            edits: vec![a, b],
            cost: cost::REWRITING,
            decides: None,
            safe: false,
        }));
        return;
    }
    if let (Some(to), Some(analysis)) = (written("to"), ctx.analysis()) {
        let last = analysis.over.last_date();
        let title = format!("Make it effective up to {last}");
        out.extend(Proposal::one(title, cost::VALUE, target.value(to, &last.to_string())));
    }
    let edit = target.without_pair(part.value(), key);
    out.extend(Proposal::one("Make it always effective", cost::VALUE + 3, edit));
}
