//! Schedules of the job expanded over a period.

use crate::analysis::Analysis;
use crate::memo::{MemoKey, Part};
use crate::same::Same;
use calendar::{Exception, Occurrence, Period, Rule, Schedule, Timeline, Window, expand};
use model::{Calendar, Days, Facts, Found, Name, View, schedule::On};
use std::sync::Arc;

/// A schedule with its course over a period.
pub struct TimedSchedule {
    /// The period.
    pub period: Arc<Period>,
    /// The schedule in the calendar's terms; exceptions are numbered as in the model.
    pub schedule: Schedule,
    /// Its course.
    pub timeline: Timeline,
}

/// All that a schedule's course over a period comes from.
#[derive(PartialEq, Eq, Hash)]
struct Written {
    schedule: Same<Facts>,
    calendars: Box<[Same<Facts>]>,
    imports: Box<[Option<Same<str>>]>,
    over: Same<Period>,
}

impl MemoKey for Written {
    type Answer = Arc<TimedSchedule>;
    /// A year of one takes about 12 kB, and units that share one stand near each other, so more would cost memory
    /// and save little.
    const MOST: usize = 512;

    fn rests_on(&self, part: &mut dyn FnMut(Part)) {
        let facts = std::iter::once(&self.schedule).chain(&self.calendars);
        facts.for_each(|facts| part(Part { holders: facts.holders(), held: 1 }));
    }
}

impl Analysis<'_, '_> {
    /// A schedule over the period.
    pub fn schedule(&self, schedule: Found<'_, model::Schedule>) -> Arc<TimedSchedule> {
        let view = self.view;
        // Looked up each time, so that whoever asks depends on the calendars too.
        let exceptions = &schedule.is.exceptions;
        let calendars: Vec<Found<'_, Calendar>> = exceptions
            .iter()
            .filter_map(|e| match &e.on.as_ref()?.value {
                On::Calendar(name) => view.find(name),
                On::Days(_) => None,
            })
            .collect();
        let own = exceptions.iter().filter_map(|e| match &e.on.as_ref()?.value {
            On::Days(days) => Some(days),
            On::Calendar(_) => None,
        });
        let listed = calendars.iter().flat_map(|c| c.is.entries.iter().map(|e| &e.value));
        let imports = listed
            .chain(own)
            .filter_map(|days| if let Days::Import(path) = days { Some(path) } else { None });
        let written = Written {
            schedule: Same::of(&schedule.entry.facts),
            calendars: calendars.iter().map(|c| Same::of(&c.entry.facts)).collect(),
            imports: imports
                .map(|path| view.import(path).and_then(|i| i.as_ref().ok()).map(Same::of))
                .collect(),
            over: Same::of(&self.over),
        };
        self.memo.of(written, |Written { over, .. }| {
            let plain = in_calendar_terms(view, schedule.is, over);
            let timeline = expand(&plain, over);
            Arc::new(TimedSchedule { period: Arc::clone(over), schedule: plain, timeline })
        })
    }
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
