//! The days of a period under a schedule: which exceptions are on, and the course of the value.

use crate::day::{Course, Layers};
use crate::{Occurrence, Period, Schedule, Value};

/// An exception that is on, on one day. Their order is that of the days and, within a day, of who wins.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct On {
    /// Index of the day in the period.
    pub(crate) day: u32,
    priority: u8,
    /// Index of the exception in the schedule.
    pub(crate) exception: u32,
}

/// Every exception that is on, day by day, in order.
pub(crate) fn exceptions_on(schedule: &Schedule, period: &Period) -> Vec<On> {
    let mut on = Vec::new();
    for (index, exception) in (0_u32..).zip(&schedule.exceptions) {
        let priority = exception.priority;
        for occurrence in &exception.on {
            for_each_day(occurrence, period, |day| {
                on.push(On {
                    day,
                    priority,
                    exception: index,
                });
            });
        }
    }
    on.sort_unstable();
    on.dedup();
    on
}

/// Splits at the days.
pub(crate) fn by_day(on: &[On]) -> impl Iterator<Item = (usize, &[On])> {
    let runs = on.chunk_by(|one, next| one.day == next.day);
    runs.filter_map(|run| Some((run.first()?.day as usize, run)))
}

fn for_each_day(occurrence: &Occurrence, period: &Period, found: impl FnMut(u32)) {
    let dates = period.dates();
    let (first, after) = match *occurrence {
        Occurrence::Date(date) => match period.index(date) {
            Some(day) => (day, day + 1),
            None => return,
        },
        Occurrence::Range { from, to } => (
            from.map_or(0, |from| dates.partition_point(|&date| date < from)),
            to.map_or(dates.len(), |to| dates.partition_point(|&date| date <= to)),
        ),
        Occurrence::WeekNDay { .. } | Occurrence::DayOfMonth { .. } => {
            let days = (0..)
                .zip(dates)
                .filter(|&(_, &date)| occurrence.contains(date));
            return days.map(|(day, _)| day).for_each(found);
        }
    };
    (first as u32..after as u32).for_each(found);
}

/// The course of the value for every day of a period. Days that are alike share one.
pub(crate) struct Courses {
    of_day: Vec<usize>,
    courses: Vec<Course>,
}

impl Courses {
    pub(crate) fn new(schedule: &Schedule, period: &Period) -> Self {
        const WEEK: usize = 7;
        const DEFAULT: usize = WEEK;
        let week = schedule
            .week
            .iter()
            .map(|plan| Layers::new(schedule, &[], plan).course());
        let mut courses: Vec<Course> = week.chain([vec![(0, schedule.default)]]).collect();

        let dates = period.dates();
        let monday = dates.first().map_or(0, |first| {
            first.weekday().to_monday_zero_offset().unsigned_abs() as usize
        });
        let days = (monday..).zip(dates);
        let mut of_day: Vec<usize> = days
            .map(|(day, &date)| {
                if schedule.is_effective(date) {
                    day % WEEK
                } else {
                    DEFAULT
                }
            })
            .collect();
        for (day, on) in by_day(&exceptions_on(schedule, period)) {
            if let (Some(course), Some(&date)) = (of_day.get_mut(day), dates.get(day))
                && *course != DEFAULT
            {
                *course = courses.len();
                courses.push(Layers::new(schedule, on, schedule.plan(date)).course());
            }
        }
        Self { of_day, courses }
    }

    /// The course of a day, by its index in the period.
    pub(crate) fn of(&self, day: usize) -> &[(u16, Value)] {
        let course = self
            .of_day
            .get(day)
            .and_then(|&course| self.courses.get(course));
        course.map_or(&[], Vec::as_slice)
    }
}
