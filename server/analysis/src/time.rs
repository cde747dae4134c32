//! Schedules of the job expanded over a period.

use crate::analysis::Analysis;
use crate::memo::{KeyPart, MemoKey};
use crate::same::Same;
use calendar::{
    Exception, ExceptionReview, Import, ImportedDays, MOST_OCCURRENCES, Occurrence, Period, Rule, Schedule,
    Timeline, Window, expand, import_ics, review_exceptions,
};
use model::{Calendar, Days, Facts, Found, Name, schedule::On};
use rustc_hash::{FxHashMap, FxHashSet};
use std::sync::{Arc, OnceLock};

/// A schedule with its course over a period.
pub struct TimedSchedule {
    pub period: Arc<Period>,
    /// The schedule in the calendar's terms; exceptions are numbered as in the model.
    pub schedule: Schedule,
    /// Its course.
    pub timeline: Timeline,
    exceptions: OnceLock<ExceptionReview>,
}

impl TimedSchedule {
    /// What its exceptions come to, worked out once for all who ask.
    pub fn exceptions(&self) -> &ExceptionReview {
        self.exceptions.get_or_init(|| review_exceptions(&self.schedule, &self.period))
    }
}

/// The days of a calendar file over a period, known by what the file says: twenty copies are read once.
#[derive(PartialEq, Eq, Hash)]
struct ReadCalendar {
    text: Arc<str>,
    over: Same<Period>,
    /// So many occurrences of its events are followed.
    most: usize,
}

impl MemoKey for ReadCalendar {
    /// Whoever asks first works it out, and others wait.
    type Answer = Arc<OnceLock<Import>>;
    const MOST: usize = 512;

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        let address = Arc::as_ptr(&self.text).cast::<()>() as usize;
        part(KeyPart { holders: (address, Arc::strong_count(&self.text)), held: 1 });
    }
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

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        let facts = std::iter::once(&self.schedule).chain(&self.calendars);
        facts.for_each(|facts| part(KeyPart { holders: facts.holders(), held: 1 }));
    }
}

impl Analysis<'_, '_> {
    /// A schedule over the period.
    pub fn schedule(&self, schedule: Found<'_, model::Schedule>) -> Arc<TimedSchedule> {
        let view = self.view;
        // Looked up each time, so that whoever asks depends on the calendars too; each once, though many exceptions
        // name one.
        let exceptions = &schedule.is.exceptions;
        let mut seen: FxHashSet<&Name> = FxHashSet::default();
        let calendars: Vec<Found<'_, Calendar>> = exceptions
            .iter()
            .filter_map(|e| match &e.on.as_ref()?.value {
                On::Calendar(name) => seen.insert(name).then(|| view.find(name))?,
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
            let plain = self.in_calendar_terms(schedule.is);
            let timeline = expand(&plain, over);
            let exceptions = OnceLock::new();
            Arc::new(TimedSchedule { period: Arc::clone(over), schedule: plain, timeline, exceptions })
        })
    }

    /// What a calendar file of the job says about the days of the period. All such files share what may be spent on
    /// following their events.
    pub fn imported<T>(&self, text: &Arc<str>, take: impl FnOnce(&Import) -> T) -> T {
        let most = MOST_OCCURRENCES / self.view.imports().max(1);
        let asked = ReadCalendar { text: text.clone(), over: Same::of(&self.over), most };
        let slot = self.memo.of(asked, |_| Arc::default());
        take(slot.get_or_init(|| import_ics(text, &self.over, most)))
    }

    fn in_calendar_terms(&self, schedule: &model::Schedule) -> Schedule {
        let mut week: [Vec<Window>; 7] = Default::default();
        for rule in &schedule.week {
            for (day, _) in rule.days.iter().enumerate().filter(|(_, on)| **on) {
                week[day].extend(windows(&rule.windows));
            }
        }
        // Exceptions that name one calendar share its days.
        let mut shared: FxHashMap<&Name, Arc<[Occurrence]>> = FxHashMap::default();
        let exceptions = schedule.exceptions.iter().map(|e| Exception {
            on: match e.on.as_ref().map(|on| &on.value) {
                None => Arc::new([]),
                Some(On::Days(days)) => self.days_of(days).into(),
                Some(On::Calendar(name)) => {
                    shared.entry(name).or_insert_with(|| self.calendar_days(name).into()).clone()
                }
            },
            rule: if e.replaces {
                Rule::Replace(windows(&e.windows))
            } else {
                Rule::Add(windows(&e.windows))
            },
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

    fn calendar_days(&self, name: &Name) -> Vec<Occurrence> {
        let Some(calendar) = self.view.find::<Calendar>(name) else {
            return Vec::new();
        };
        calendar.is.entries.iter().flat_map(|entry| self.days_of(&entry.value)).collect()
    }

    fn days_of(&self, days: &Days) -> Vec<Occurrence> {
        match days {
            Days::Occurrence(occurrence) => vec![occurrence.clone()],
            Days::Import(path) => match self.view.import(path) {
                Some(Ok(text)) => self.imported(text, |import| {
                    let range = |d: &ImportedDays| Occurrence::Range { from: Some(d.from), to: Some(d.to) };
                    import.days.iter().map(range).collect()
                }),
                _ => Vec::new(),
            },
        }
    }
}

fn windows(windows: &[model::schedule::Window]) -> Vec<Window> {
    // One that runs backwards is reported, and is no window.
    let forward = windows.iter().filter(|w| w.start < w.end);
    forward.map(|w| Window { start: w.start, end: w.end, value: w.value }).collect()
}
