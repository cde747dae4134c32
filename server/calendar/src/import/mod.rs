//! Closures from an iCalendar file (RFC 5545): the local days its events touch.
//!
//! Each event is read alone, so that one that cannot be used takes no other with it.

mod event;
mod text;
mod zone;

use std::collections::BTreeMap;

use jiff::civil::{Date, DateTime};
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, ToSpan};

use crate::Period;
use event::{Event, Stamp};
use zone::Zones;

/// Occurrences that are followed of one event: more than a century of days.
const MOST_OF_ONE: usize = 40_000;

/// Occurrences that are followed in all files of a job together, so that none can keep the program busy for long:
/// a hundred events that repeat daily for more than a dozen years.
pub const MOST_OCCURRENCES: usize = 500_000;

/// What a rule without any occurrence costs of these: it is searched for through thousands of years.
const FRUITLESS: usize = 20_000;

/// What an iCalendar file says about the days of a period.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Import {
    /// Runs of days, cut to the period, by first day; they may overlap.
    pub days: Vec<ImportedDays>,
    /// What could not be used, by line.
    pub problems: Vec<ImportProblem>,
}

/// The local days that one occurrence of an event touches.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ImportedDays {
    /// First day.
    pub from: Date,
    /// Last day, included.
    pub to: Date,
    /// The event's summary, empty where it has none.
    pub summary: String,
    /// Line of the event's `BEGIN:VEVENT`, from 1.
    pub line: usize,
}

/// A part of an iCalendar file that could not be used.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ImportProblem {
    /// Line, from 1.
    pub line: usize,
    /// What is wrong, and what became of it.
    pub message: String,
}

/// Reads the events of an iCalendar file that touch the period's days.
///
/// An all-day event is its days, its end excluded; an event with times is every day it touches: in
/// the period's zone where its times name a zone or UTC, as written where they do not. Recurrences
/// are followed in the event's own zone. Cancelled events are passed over.
///
/// No more than `most` occurrences are followed; see [`MOST_OCCURRENCES`].
pub fn import_ics(text: &str, period: &Period, most: usize) -> Import {
    let mut import = Import::default();
    let blocks = text::blocks(text, &mut import.problems);
    let zones = Zones::declared(&blocks);
    let mut events: Vec<Event> =
        blocks.iter().filter_map(|block| Event::read(block, &zones, &mut import.problems)).collect();
    move_overrides(&mut events);

    let mut budget = most;
    for event in events.iter().filter(|event| !event.cancelled) {
        let mut starts = occurrences(event, period, &mut budget, &mut import.problems);
        starts.retain(|start| !event.is_excluded(*start));
        let days = starts.into_iter().filter_map(|start| days_touched(event, start, period));
        import.days.extend(days.map(|(from, to)| ImportedDays {
            from,
            to,
            summary: event.summary.clone(),
            line: event.line,
        }));
    }
    import.days.sort();
    import.days.dedup();
    import.problems.sort();
    import
}

/// An occurrence that another event of the same identity replaces is none of the first's.
fn move_overrides(events: &mut [Event]) {
    let mut moved: BTreeMap<String, Vec<Stamp>> = BTreeMap::new();
    for event in events.iter().filter(|event| !event.uid.is_empty()) {
        if let Some(stamp) = &event.replaces {
            moved.entry(event.uid.clone()).or_default().push(stamp.clone());
        }
    }
    for event in events.iter_mut().filter(|event| event.replaces.is_none()) {
        for stamp in moved.get(&event.uid).into_iter().flatten() {
            event.exclude(stamp);
        }
    }
}

/// Starts of the event's occurrences, in its own zone, up to the end of the period.
fn occurrences(
    event: &Event,
    period: &Period,
    budget: &mut usize,
    problems: &mut Vec<ImportProblem>,
) -> Vec<DateTime> {
    let mut starts = vec![event.start.at];
    starts.extend(&event.more_starts);
    // No zone is more than a day from another.
    let last = period.last_date().saturating_add(2.days()).at(0, 0, 0, 0);
    if let Some(recurrence) = &event.recurrence
        && event.start.at <= last
        && *budget > 0
    {
        let most = MOST_OF_ONE.min(*budget);
        match recurrence.starts(event.start.at, last, most) {
            Ok(repeats) => {
                let spent = if repeats.is_empty() { FRUITLESS } else { repeats.len() };
                *budget = budget.saturating_sub(spent);
                let message = match *budget {
                    0 => Some(
                        "the file repeats its events too often to follow, so repeats are missing from here on",
                    ),
                    _ if repeats.len() == most => {
                        Some("the event repeats too often to follow, so its later days are missing")
                    }
                    _ => None,
                };
                problems.extend(
                    message
                        .map(|message| ImportProblem { line: recurrence.line, message: message.to_owned() }),
                );
                starts.extend(repeats);
            }
            Err(why) => {
                let message = format!(
                    "the repeat rule cannot be followed ({why}), so only the first occurrence counts"
                );
                problems.push(ImportProblem { line: recurrence.line, message });
            }
        }
    }
    starts.sort_unstable();
    starts.dedup();
    starts
}

/// First and last local day that an occurrence touches, cut to the period.
fn days_touched(event: &Event, start: DateTime, period: &Period) -> Option<(Date, Date)> {
    let (first, last) = (period.first_date(), period.last_date());
    let end = start.checked_add(event.lasts).ok()?;
    let (from, to) = match &event.start.zone {
        // An end at midnight touches nothing of the day it begins.
        None if end > start => (start.date(), end.checked_sub(1.second()).ok()?.date()),
        None => (start.date(), start.date()),
        Some(zone) => {
            let start = instant(zone, start)?;
            let end = instant(zone, end)?.max(start + 1);
            if end <= period.start() || period.end() <= start {
                return None;
            }
            let local = |instant: i64| period.local(instant).map(|local| local.date);
            (local(start.max(period.start()))?, local(end.min(period.end()) - 1)?)
        }
    };
    (from <= last && first <= to).then(|| (from.max(first), to.min(last)))
}

fn instant(zone: &TimeZone, at: DateTime) -> Option<i64> {
    let timestamp = zone.to_timestamp(at).ok()?;
    Some(timestamp.as_second())
}

/// Local time from seconds of an unzoned clock since 1970.
fn clock(seconds: i64) -> Option<DateTime> {
    Some(Offset::UTC.to_datetime(Timestamp::from_second(seconds).ok()?))
}
