//! The days of a period under a schedule: which exceptions are on, and the course of the value.

use std::mem;

use crate::day::{Course, Layers, On};
use crate::{Occurrence, Period, Schedule, Value};

/// Every exception that is on, day by day, in order.
pub(crate) fn exceptions_on(schedule: &Schedule, period: &Period) -> Vec<On> {
    let mut on = Vec::new();
    let mut named = vec![false; period.dates().len()];
    for (index, exception) in (0_u32..).zip(&schedule.exceptions) {
        for occurrence in &exception.on {
            name_days(occurrence, period, &mut named);
        }
        for (day, named) in (0_u32..).zip(&mut named) {
            if mem::take(named) {
                on.push(On { day, priority: exception.priority, exception: index });
            }
        }
    }
    on.sort_unstable();
    on
}

/// Splits at the days.
pub(crate) fn by_day(on: &[On]) -> impl Iterator<Item = (usize, &[On])> {
    let runs = on.chunk_by(|one, next| one.day == next.day);
    runs.filter_map(|run| Some((run.first()?.day as usize, run)))
}

/// Marks the days of an occurrence.
fn name_days(occurrence: &Occurrence, period: &Period, named: &mut [bool]) {
    let dates = period.dates();
    let range = match *occurrence {
        Occurrence::Date(date) => period.index(date).map_or(0..0, |day| day..day + 1),
        Occurrence::Range { from, to } => {
            let first = from.map_or(0, |from| dates.partition_point(|&date| date < from));
            let after = to.map_or(dates.len(), |to| dates.partition_point(|&date| date <= to));
            first..after
        }
        Occurrence::WeekNDay { .. } | Occurrence::DayOfMonth { .. } => {
            for (named, &date) in named.iter_mut().zip(dates) {
                *named |= occurrence.contains(date);
            }
            return;
        }
    };
    // A range that ends before it starts has no days.
    if let Some(days) = named.get_mut(range) {
        days.fill(true);
    }
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
        let week = schedule.week.iter().map(|plan| Layers::new(schedule, &[], plan).course());
        let mut courses: Vec<Course> = week.chain([vec![(0, schedule.default)]]).collect();

        let dates = period.dates();
        let monday =
            dates.first().map_or(0, |first| first.weekday().to_monday_zero_offset().unsigned_abs() as usize);
        let days = (monday..).zip(dates);
        let mut of_day: Vec<usize> =
            days.map(|(day, &date)| if schedule.is_effective(date) { day % WEEK } else { DEFAULT }).collect();
        let on = exceptions_on(schedule, period);
        // Neighbouring weeks of one exception are alike, so each weekday's last course is kept in mind.
        let mut latest: [(&[On], usize); WEEK] = [(&[], 0); WEEK];
        for (day, on) in by_day(&on) {
            if let (Some(course), Some(&date)) = (of_day.get_mut(day), dates.get(day))
                && let Some(latest) = latest.get_mut(*course)
            {
                let alike =
                    |one: &[On]| one.iter().map(|on| on.exception).eq(on.iter().map(|on| on.exception));
                if !alike(latest.0) {
                    *latest = (on, courses.len());
                    courses.push(Layers::new(schedule, on, schedule.plan(date)).course());
                }
                *course = latest.1;
            }
        }
        Self { of_day, courses }
    }

    /// The course of a day, by its index in the period.
    pub(crate) fn of(&self, day: usize) -> &[(u16, Value)] {
        let course = self.of_day.get(day).and_then(|&course| self.courses.get(course));
        course.map_or(&[], Vec::as_slice)
    }
}
