//! Schedules of the job expanded over its review period.

use crate::memo::Memo;
use calendar::{Exception, Occurrence, Period, Rule, Schedule, Timeline, Window, expand};
use model::{Calendar, Days, Facts, Found, Name, View, schedule::On};
use std::sync::Arc;

/// A schedule with its course over the review period, and what that was worked out from.
pub struct TimedSchedule {
    /// The review period.
    pub period: Arc<Period>,
    /// The schedule in the calendar's terms; exceptions are numbered as in the model.
    pub schedule: Schedule,
    /// Its course.
    pub timeline: Timeline,
    pub(crate) facts: Arc<Facts>,
    calendars: Vec<Arc<Facts>>,
    imports: Vec<Option<Arc<str>>>,
}

/// The job's review period.
pub fn period(view: &View<'_>, memo: &Memo) -> Option<Arc<Period>> {
    let (zone, from, days) = view.period();
    memo.period(zone, from, days)
}

/// A schedule over the review period.
pub fn timed(
    view: &View<'_>,
    memo: &Memo,
    schedule: Found<'_, model::Schedule>,
) -> Option<Arc<TimedSchedule>> {
    let period = period(view, memo)?;
    // Looked up each time, so that whoever asks depends on the calendars too.
    let calendars: Vec<Found<'_, Calendar>> = schedule
        .is
        .exceptions
        .iter()
        .filter_map(|e| match &e.on.as_ref()?.value {
            On::Calendar(name) => view.find(name),
            On::Days(_) => None,
        })
        .collect();
    let own = schedule.is.exceptions.iter().filter_map(|e| match &e.on.as_ref()?.value {
        On::Days(days) => Some(days),
        On::Calendar(_) => None,
    });
    let listed = calendars.iter().flat_map(|c| c.is.entries.iter().map(|e| &e.value));
    let imports: Vec<Option<Arc<str>>> = listed
        .chain(own)
        .filter_map(|days| if let Days::Import(path) = days { Some(path) } else { None })
        .map(|path| view.import(path).and_then(|i| i.as_ref().ok().cloned()))
        .collect();
    let same = |timed: &TimedSchedule| {
        Arc::ptr_eq(&timed.period, &period)
            && timed.calendars.len() == calendars.len()
            && timed.calendars.iter().zip(&calendars).all(|(a, b)| Arc::ptr_eq(a, &b.entry.facts))
            && timed.imports == imports
    };
    if let Some(timed) = memo.schedule(&schedule.entry.facts, same) {
        return Some(timed);
    }
    let plain = in_calendar_terms(view, schedule.is, &period);
    let timed = Arc::new(TimedSchedule {
        timeline: expand(&plain, &period),
        schedule: plain,
        period,
        facts: schedule.entry.facts.clone(),
        calendars: calendars.iter().map(|c| c.entry.facts.clone()).collect(),
        imports,
    });
    memo.keep_schedule(timed.clone());
    Some(timed)
}

fn in_calendar_terms(view: &View<'_>, schedule: &model::Schedule, period: &Period) -> Schedule {
    let mut week: [Vec<Window>; 7] = Default::default();
    for rule in &schedule.week {
        for (day, _) in rule.days.iter().enumerate().filter(|(_, on)| **on) {
            week[day].extend(windows(&rule.windows));
        }
    }
    let exceptions = schedule.exceptions.iter().map(|e| Exception {
        on: e.on.as_ref().map_or_else(Vec::new, |on| occurrences(view, &on.value, period)),
        rule: if e.replaces { Rule::Replace(windows(&e.windows)) } else { Rule::Add(windows(&e.windows)) },
        priority: e.priority,
    });
    Schedule {
        default: 0,
        off: schedule.off,
        exceptions: exceptions.collect(),
        week,
        effective: schedule.effective,
    }
}

fn windows(windows: &[model::schedule::Window]) -> Vec<Window> {
    // One that runs backwards is reported, and is no window.
    let forward = windows.iter().filter(|w| w.start < w.end);
    forward.map(|w| Window { start: w.start, end: w.end, value: w.value }).collect()
}

fn occurrences(view: &View<'_>, on: &On, period: &Period) -> Vec<Occurrence> {
    match on {
        On::Days(days) => days_of(view, days, period),
        On::Calendar(name) => calendar_days(view, name, period),
    }
}

fn calendar_days(view: &View<'_>, name: &Name, period: &Period) -> Vec<Occurrence> {
    let Some(calendar) = view.find::<Calendar>(name) else {
        return Vec::new();
    };
    calendar.is.entries.iter().flat_map(|entry| days_of(view, &entry.value, period)).collect()
}

fn days_of(view: &View<'_>, days: &Days, period: &Period) -> Vec<Occurrence> {
    match days {
        Days::Occurrence(occurrence) => vec![occurrence.clone()],
        Days::Import(path) => match view.import(path) {
            Some(Ok(text)) => {
                let days = calendar::import_ics(text, period).days;
                days.into_iter().map(|d| Occurrence::Range { from: Some(d.from), to: Some(d.to) }).collect()
            }
            _ => Vec::new(),
        },
    }
}
