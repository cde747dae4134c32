//! # What it finds
//!
//! Days of the review period that lie outside a schedule's `effective` dates, so that only its default
//! holds.
//!
//! # Why it matters
//!
//! On those days the schedule is at rest: neither its week nor its exceptions count, and a building
//! stays unoccupied, or stays occupied, around the clock. Last year's dates are the usual cause.
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
//!   # ^^^^^^^^^ 184 of 365 days of the review period, first Thu 2027-07-01
//! ```
//! ```yaml bad
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-fri: 08:00-17:30}
//!     effective: {from: 2027-12-31, to: 2027-01-01}
//!   # ^^^^^^^^^ begins after it ends
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
//! Extend `effective`, leave out the date that ends it, or choose the review period to match.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object, `Effective_Period`: outside it the object is inactive
//! (from memory). That its default holds then is our reading.

use crate::about::About;
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{Proposal, cost};
use crate::written::value;
use analysis::day_words;
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
                "`effective` begins after it ends, so only the default `{default}` ever holds; swap the dates"
            )
        }
        _ => format!(
            "on {} of {} days of the review period, first {}, the schedule is not effective and only the default `{default}` holds; extend `effective`",
            outside.days,
            ctx.view.period().2,
            day_words(outside.first),
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
            title: "Exchange the dates".to_owned(),
            edits: vec![a, b],
            cost: cost::REWRITING,
            decides: None,
            safe: false,
        }));
        return;
    }
    if let (Some(to), Some(analysis)) = (written("to"), ctx.analysis()) {
        let last = analysis.over.last_date();
        let title = format!("Let it be effective up to {last}");
        out.extend(Proposal::one(title, cost::VALUE, target.value(to, &last.to_string())));
    }
    let edit = target.without_pair(part.value(), key);
    out.extend(Proposal::one("Let it always be effective", cost::VALUE + 3, edit));
}
