//! # What it finds
//!
//! Two stretches of hours of one day that overlap, or that meet with the same value; and a rule that
//! closes a day to which another rule gives hours.
//!
//! # Why it matters
//!
//! One of them is a mistake: an end typed too late, a lunch break without length, or a rule for one day
//! beside a rule for the whole week. Rules for a day add up: the second does not replace the first.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   loading-bay-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week:
//!       mon-thu: [07:00-12:00, 11:30-16:30]
//!       #                      ^^^^^^^^^^^ from 11:30 to 12:00
//!       sat: [08:00-10:00, 10:00-12:00]
//!       #                  ^^^^^^^^^^^ Write `08:00-12:00`
//! ```
//! ```yaml bad
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week:
//!       mon-fri: 08:00-17:30
//!       fri: 08:00-12:00
//!       #    ^^^^^^^^^^^ both apply on one day
//! ```
//! ```yaml bad
//! schedules:
//!   reading-room-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week:
//!       mon-fri: 08:00-17:30
//!       wed: none
//! #     ^^^ rules add up
//! ```
//! ```yaml bad
//! schedules:
//!   bay-temperature:
//!     values: °F
//!     default: 60 °F
//!     week:
//!       mon-fri: {06:00-12:00: 65 °F, 11:00-18:00: 68 °F}
//!       #                             ^^^^^^^^^^^ `11:00-18:00` overlaps `06:00-12:00` from 11:00 to 12:00, and the later one wins
//! ```
//! ```yaml good
//! schedules:
//!   loading-bay-hours:
//!     values: occupancy
//!     default: unoccupied
//!     week: {mon-thu: [07:00-12:00, 12:30-16:30], fri: 07:00-12:00}
//! ```
//! ```yaml near
//! schedules:
//!   bay-setpoint:
//!     values: °F
//!     default: 60 °F
//!     week: {mon-fri: {06:00-12:00: 65 °F, 12:00-18:00: 68 °F}}
//! ```
//!
//! # Repair
//!
//! Join the two, or correct their times. Where one day differs, remove it from the rule for the others:
//! `mon-thu` and `fri` instead of `mon-fri` and `fri`.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{Proposal, cost};
use crate::schedules::{clock, days_words, runs, runs_forward, times};
use model::Found;
use model::schedule::{DayRule, Schedule, Window};
use rustc_hash::FxHashSet;
use syntax::{NodeId, NodeKind};

pub(crate) static CHECK: Check = Check {
    id: "windows-overlap",
    severity: Severity::Warning,
    source: include_str!("windows_overlap.rs"),
    run: Run::Schedule(run),
    repairs: &[join, apart],
};

/// A window and the rule or exception it belongs to.
type Ruled<'s> = (&'s Window, NodeId);

fn run(_: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    let mut told = FxHashSet::default();
    let mut report = |windows: Vec<Ruled<'_>>| {
        for (one, other) in clashes(windows) {
            let (first, second) = if one.0.at < other.0.at { (one, other) } else { (other, one) };
            if told.insert(second.0.at) {
                let part = &schedule.entry.part;
                let about =
                    About::path(part, second.0.at).and(noun::WINDOW, times(first.0.start, first.0.end));
                out.report(about, second.0.at, words(first, second))
                    .because(schedule.place(first.0.at), "The other window");
            }
        }
    };
    for day in 0..7 {
        let rules = schedule.is.week.iter().filter(|rule| rule.days[day]);
        report(rules.flat_map(|rule| rule.windows.iter().map(|w| (w, rule.at))).collect());
    }
    for exception in &schedule.is.exceptions {
        report(exception.windows.iter().map(|w| (w, exception.at)).collect());
    }
    // A rule whose windows could not be read has none either.
    if !schedule.entry.facts.doubtful() {
        none_beside_some(schedule, out);
    }
}

/// Rules that are to close a day which another rule opens.
fn none_beside_some(schedule: Found<'_, Schedule>, out: &mut Sink) {
    let week = &schedule.is.week;
    for none in week.iter().filter(|rule| rule.windows.is_empty()) {
        let opens = |rule: &&DayRule| {
            !rule.windows.is_empty() && rule.days.iter().zip(none.days).any(|(a, b)| *a && b)
        };
        if let Some(other) = week.iter().find(opens) {
            let message = "`none` has no effect: rules add up, and another rule gives this day hours. Remove the day from that rule.";
            out.report(About::of(noun::DAYS, days_words(none.days)), none.at, message)
                .because(schedule.place(other.at), "The other rule");
        }
    }
}

/// Each window that begins before those that began earlier are over, with the one that lasts longest.
fn clashes(mut windows: Vec<Ruled<'_>>) -> Vec<(Ruled<'_>, Ruled<'_>)> {
    windows.retain(|(window, _)| runs_forward(window));
    windows.sort_by_key(|(window, _)| window.start);
    let mut clashes = Vec::new();
    let mut longest: Option<Ruled<'_>> = None;
    for ruled in windows {
        let window = ruled.0;
        if let Some(before) = longest {
            let touches = window.start == before.0.end && window.value == before.0.value;
            if window.start < before.0.end || touches {
                clashes.push((before, ruled));
            }
        }
        if longest.is_none_or(|(before, _)| before.end < window.end) {
            longest = Some(ruled);
        }
    }
    clashes
}

fn words((first, its_rule): Ruled<'_>, (second, rule): Ruled<'_>) -> String {
    let written = |w: &Window| times(w.start, w.end);
    let (from, to) = (first.start.max(second.start), first.end.min(second.end));
    let both = times(first.start.min(second.start), first.end.max(second.end));
    let (one, other) = (written(second), written(first));
    if from == to {
        format!("`{one}` and `{other}` meet with the same value. Write `{both}`, or correct the times.")
    } else if its_rule != rule {
        format!(
            "`{one}` and `{other}` both apply on one day, because rules add up. Remove the day from one of them."
        )
    } else if first.value == second.value {
        format!(
            "`{one}` overlaps `{other}` from {} to {}. Write `{both}`, or correct the times.",
            clock(from),
            clock(to)
        )
    } else {
        format!(
            "`{one}` overlaps `{other}` from {} to {}, and the later one wins. Correct the times.",
            clock(from),
            clock(to)
        )
    }
}

/// Writes two windows of one list that have the same value as one.
fn join(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Some((one, other)) = pair(ctx, finding) else { return };
    let part = &ctx.entry.part;
    let list = part.parent(other.0.at);
    if one.0.value != other.0.value || list.is_none() || list != part.parent(one.0.at) {
        return;
    }
    let Some(list) = list.filter(|list| part.kind(*list) == NodeKind::List) else { return };
    let target = Target::new(ctx.id, ctx.entry);
    let both = times(one.0.start.min(other.0.start), one.0.end.max(other.0.end));
    let edits = target.value(one.0.at, &both).zip(target.without_item(list, other.0.at));
    out.extend(edits.map(|(first, second)| Proposal {
        title: format!("Write `{both}`"),
        edits: vec![first, second],
        cost: cost::REWRITING,
        decides: None,
        safe: true,
    }));
}

/// Takes the days of one rule out of the other.
fn apart(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Some((one, other)) = rules(ctx, finding) else { return };
    for (wide, narrow) in [(one, other), (other, one)] {
        let mut days = wide.days;
        days.iter_mut().zip(narrow.days).for_each(|(day, taken)| *day &= !taken);
        if let [days] = runs(days).as_slice() {
            let title = format!("Limit the other rule to {days}");
            let edit = Target::new(ctx.id, ctx.entry).value(wide.at, days);
            out.extend(Proposal::one(title, cost::VALUE, edit));
        }
    }
}

/// The two rules of a finding: those of its windows, or those it marks itself.
fn rules<'j>(ctx: &Ctx<'j>, finding: &Finding) -> Option<(&'j DayRule, &'j DayRule)> {
    if let Some((one, other)) = pair(ctx, finding) {
        return Some((one.1, other.1));
    }
    let week = &ctx.view.as_found::<Schedule>(ctx.id)?.is.week;
    let find = |node: NodeId| week.iter().find(|rule| rule.at == node);
    let other = finding.because.first()?.place.spot.node()?;
    Some((find(other)?, find(finding.spot.node()?)?))
}

/// A window with the rule of the week it belongs to.
type OfRule<'j> = (&'j Window, &'j DayRule);

/// The two windows of a finding.
fn pair<'j>(ctx: &Ctx<'j>, finding: &Finding) -> Option<(OfRule<'j>, OfRule<'j>)> {
    let schedule = ctx.view.as_found::<Schedule>(ctx.id)?;
    let find = |node: NodeId| {
        let rules = schedule.is.week.iter();
        rules.flat_map(|rule| rule.windows.iter().map(move |w| (w, rule))).find(|(w, _)| w.at == node)
    };
    let other = finding.because.first()?.place.spot.node()?;
    Some((find(other)?, find(finding.spot.node()?)?))
}
