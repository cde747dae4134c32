//! # What it finds
//!
//! Hours that end before they start, or have no length.
//!
//! # Why it matters
//!
//! Hours are within one day, so these are not used at all: the time they should cover stays unoccupied.
//! Hours past midnight belong on both days.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   evening-events:
//!     values: occupancy
//!     default: unoccupied
//!     week:
//!       fri: 22:00-02:00
//!       #    ^^^^^^^^^^^ `22:00-24:00` and, on sat, `00:00-02:00`
//!       sun-mon: 17:00-08:00
//!       #        ^^^^^^^^^^^ on mon-tue, `00:00-08:00`
//!       tue: 18:00-00:00
//!       #    ^^^^^^^^^^^ `18:00-24:00`
//! ```
//! ```yaml bad
//! schedules:
//!   staff-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon: 07:30-06:00, tue: 08:00-00:00, wed: 08:00-08:00}
//!     #           ^^^^^^^^^^^ `07:30-06:00` ends before it starts
//!     #                             ^^^^^^^^^^^ `08:00-00:00` ends before it starts
//!     #                                               ^^^^^^^^^^^ `08:00-08:00` has no length
//! ```
//! ```yaml good
//! schedules:
//!   evening-events:
//!     values: occupancy
//!     default: unoccupied
//!     week: {fri: 22:00-24:00, sat: 00:00-02:00}
//! ```
//! ```yaml near
//! schedules:
//!   night-watch: {values: occupancy, default: unoccupied, week: {fri-mon: all-day, tue: 23:59-24:00}}
//! ```
//!
//! # Repair
//!
//! Correct the end, `07:30-18:00` for `07:30-06:00`, or split the hours at midnight over two days.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object: a day's list of times and values starts and ends with the
//! day (from memory).

use crate::about::{About, noun};
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{Proposal, cost};
use crate::schedules::{days_words, runs, runs_forward, times};
use model::Found;
use model::schedule::{DayRule, Schedule, Window};
use syntax::NodeKind;
use syntax::write::scalar;

pub(crate) static CHECK: Check = Check {
    id: "window-ends-before-start",
    severity: Severity::Error,
    source: include_str!("window_ends_before_start.rs"),
    run: Run::Schedule(run),
    repairs: &[split],
};

fn run(_: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    for rule in &schedule.is.week {
        let mut days_after = rule.days;
        days_after.rotate_right(1);
        report(&rule.windows, &About::of(noun::DAYS, days_words(rule.days)), &days_words(days_after), out);
    }
    for exception in &schedule.is.exceptions {
        report(&exception.windows, &About::exception(&schedule.entry.part, exception), "the next day", out);
    }
}

fn report(windows: &[Window], of: &About, days_after: &str, out: &mut Sink) {
    for window in windows.iter().filter(|w| !runs_forward(w)) {
        let written = times(window.start, window.end);
        let meant = afternoon(window).map_or_else(String::new, |meant| format!("Did you mean `{meant}`? "));
        let message = if window.start == window.end {
            format!("`{written}` has no length. Did you mean `all-day`?")
        } else if window.end == 0 {
            format!(
                "`{written}` ends before it starts. A day ends at 24:00. Did you mean `{}`?",
                times(window.start, 1440)
            )
        } else {
            format!(
                "`{written}` ends before it starts. {meant}To run past midnight, write `{}` and, on {days_after}, `{}`.",
                times(window.start, 1440),
                times(0, window.end),
            )
        };
        out.report(of.clone().and(noun::WINDOW, written), window.at, message);
    }
}

/// The window with an end in the afternoon, where it may have been written by a clock of twelve hours.
fn afternoon(window: &Window) -> Option<String> {
    let noon = 12 * 60;
    let end = window.end + noon;
    (window.start < noon && (1..noon).contains(&window.end) && window.start > window.end)
        .then(|| times(window.start, end))
}

/// The window up to midnight, and the rest of it on the day after.
fn split(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Some(schedule) = ctx.view.as_found::<Schedule>(ctx.id) else { return };
    let Some(at) = finding.spot.node() else { return };
    let target = Target::new(ctx.id, ctx.entry);
    for rule in &schedule.is.week {
        if let Some(window) = rule.windows.iter().find(|w| w.at == at) {
            if let Some(meant) = afternoon(window) {
                let title = format!("Write `{meant}`");
                out.extend(Proposal::one(title, cost::SPELLING, target.value(window.at, &meant)));
            }
            out.extend(halves(ctx, target, schedule, rule, window));
        }
    }
    let windows = schedule.is.exceptions.iter().flat_map(|e| &e.windows);
    if let Some(window) = windows.into_iter().find(|w| w.at == at && w.end == 0 && w.start > 0) {
        out.extend(up_to_midnight(target, window));
    }
}

fn halves(
    ctx: &Ctx<'_>,
    target: Target<'_>,
    schedule: Found<'_, Schedule>,
    rule: &DayRule,
    window: &Window,
) -> Option<Proposal> {
    if window.start == window.end {
        return Proposal::one("Write `all-day`", cost::VALUE, target.value(window.at, "all-day"));
    }
    let mut first = up_to_midnight(target, window)?;
    if window.end == 0 {
        return Some(first);
    }
    let part = &ctx.entry.part;
    let rest = times(0, window.end);
    let mut days = rule.days;
    days.rotate_right(1);
    let same_days = schedule.is.week.iter().find(|other| other.days == days);
    let week = part.parent(rule.at)?;
    let valued = part.parent(window.at).and_then(|map| part.pairs(map).find(|(key, _)| *key == window.at));
    let rest = match valued.filter(|_| part.parent(window.at) != Some(week)) {
        Some((_, value)) => format!("{rest}: {}", scalar(part.scalar(value)?)),
        None => rest,
    };
    let plan = same_days.and_then(|other| part.pairs(week).find(|(key, _)| *key == other.at));
    match plan.map(|(_, plan)| (plan, part.kind(plan))) {
        Some((plan, NodeKind::List)) => {
            first.edits.push(target.item(plan, part.items(plan).last()?, &rest)?);
        }
        Some((plan, NodeKind::Map)) => {
            let (key, value) = rest.split_once(": ")?;
            first.edits.push(target.pair(plan, key, value)?);
        }
        Some((plan, NodeKind::Scalar)) => {
            let before = part.scalar(plan).filter(|before| *before != "none");
            let both = match before {
                Some(before) => format!("[{rest}, {before}]"),
                None if valued.is_some() && rest.contains(": ") => format!("{{{rest}}}"),
                None => rest,
            };
            first.edits.push(target.yaml(plan, &both)?);
        }
        _ => {
            let rest = if rest.contains(": ") { format!("{{{rest}}}") } else { rest };
            for days in runs(days) {
                first.edits.push(target.pair(week, &days, &rest)?);
            }
        }
    }
    "Split the hours at midnight, over two days".clone_into(&mut first.title);
    Some(first)
}

fn up_to_midnight(target: Target<'_>, window: &Window) -> Option<Proposal> {
    let written = times(window.start, 1440);
    let title = format!("Write `{written}`");
    Some(Proposal::one(title, cost::REWRITING, target.value(window.at, &written))?.safe_if(true))
}
