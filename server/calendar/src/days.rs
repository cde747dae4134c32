//! The days of a period under a schedule: which exceptions are on, and the course of the value.

use std::collections::HashMap;
use std::rc::Rc;
use std::sync::Arc;

use crate::day::{Claims, DayCourse, Stretch, beneath, course, fill_the_day, held};
use crate::{Exception, Occurrence, Period, Schedule, Value};

/// The exceptions of a schedule over a period.
pub(crate) struct OnDays {
    /// What each holds on its days.
    pub(crate) held: Vec<Vec<Stretch>>,
    /// The exceptions that are on, day by day, the one that wins first, down to where nothing is left to win.
    pub(crate) of_day: Vec<Vec<u32>>,
}

impl OnDays {
    /// Goes through the exceptions, the one that wins first, and hands on the days of each. Of a day's exceptions
    /// those are kept that `deep` others that fill the day do not win over.
    pub(crate) fn new(
        schedule: &Schedule,
        period: &Period,
        deep: u8,
        mut each: impl FnMut(u32, &[u32]),
    ) -> Self {
        let held: Vec<Vec<Stretch>> =
            schedule.exceptions.iter().map(|exception| held(&exception.rule, schedule.off)).collect();
        let mut days = NamedDays::new(period);
        let mut of_day = vec![Vec::new(); period.dates().len()];
        let mut filled = vec![0_u8; of_day.len()];
        for (index, exception) in by_precedence(schedule) {
            let own = held.get(index as usize).map_or(&[][..], Vec::as_slice);
            let fills = fill_the_day(own);
            let named = days.of(exception);
            for &day in named.iter() {
                let (Some(filled), Some(on)) = (filled.get_mut(day as usize), of_day.get_mut(day as usize))
                else {
                    continue;
                };
                if *filled < deep && !own.is_empty() {
                    *filled += u8::from(fills);
                    on.push(index);
                }
            }
            each(index, &named);
        }
        Self { held, of_day }
    }

    /// Who holds a value at each minute of a day, by its index in the period.
    pub(crate) fn claims(&self, day: usize) -> Claims {
        let mut claims = Claims::new();
        for &exception in self.of_day.get(day).into_iter().flatten() {
            let held = self.held.get(exception as usize);
            claims.claim(exception, held.map_or(&[], Vec::as_slice));
        }
        claims
    }
}

/// The exceptions with their places in the list, the one that wins first.
pub(crate) fn by_precedence(schedule: &Schedule) -> Vec<(u32, &Exception)> {
    let mut order: Vec<(u32, &Exception)> = (0..).zip(&schedule.exceptions).collect();
    order.sort_by_key(|(_, exception)| exception.priority);
    order
}

/// Which days of a period exceptions name. What several share is looked up once.
pub(crate) struct NamedDays<'p> {
    period: &'p Period,
    shared: HashMap<usize, Rc<[u32]>>,
    named: Vec<bool>,
}

impl<'p> NamedDays<'p> {
    pub(crate) fn new(period: &'p Period) -> Self {
        Self { period, shared: HashMap::new(), named: vec![false; period.dates().len()] }
    }

    /// The days by their index in the period, in order.
    pub(crate) fn of(&mut self, exception: &Exception) -> Rc<[u32]> {
        // Its address, which stays its own while the schedule is borrowed.
        let address = Arc::as_ptr(&exception.on).cast::<Occurrence>() as usize;
        let is_shared = Arc::strong_count(&exception.on) > 1;
        if is_shared && let Some(days) = self.shared.get(&address) {
            return days.clone();
        }
        self.named.fill(false);
        for occurrence in exception.on.iter() {
            name_days(occurrence, self.period, &mut self.named);
        }
        let days = (0..).zip(&self.named).filter(|(_, named)| **named).map(|(day, _)| day);
        let days: Rc<[u32]> = days.collect();
        if is_shared {
            self.shared.insert(address, days.clone());
        }
        days
    }
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

/// Days in a week.
pub(crate) const WEEK: usize = 7;

/// Which plan of the week each day of a period has, by the day's number from Monday; nothing outside the
/// effective period.
pub(crate) fn weekdays(schedule: &Schedule, period: &Period) -> Vec<Option<usize>> {
    let dates = period.dates();
    let monday =
        dates.first().map_or(0, |first| first.weekday().to_monday_zero_offset().unsigned_abs() as usize);
    let days = (monday..).zip(dates);
    days.map(|(day, &date)| schedule.is_effective(date).then_some(day % WEEK)).collect()
}

/// The course of the value for every day of a period. Days that are alike share one.
pub(crate) struct Courses {
    of_day: Vec<usize>,
    courses: Vec<DayCourse>,
}

impl Courses {
    pub(crate) fn new(schedule: &Schedule, period: &Period) -> Self {
        const DEFAULT: usize = WEEK;
        let plans: Vec<Vec<Value>> = schedule.week.iter().map(|plan| beneath(schedule, plan)).collect();
        let week = plans.iter().map(|plan| course(plan.iter().copied()));
        let mut courses: Vec<DayCourse> = week.chain([vec![(0, schedule.default)]]).collect();
        let weekdays = weekdays(schedule, period);
        let mut of_day: Vec<usize> = weekdays.iter().map(|weekday| weekday.unwrap_or(DEFAULT)).collect();
        if schedule.exceptions.is_empty() {
            return Self { of_day, courses };
        }
        let days = OnDays::new(schedule, period, 1, |_, _| {});
        // Neighbouring weeks of one exception are alike, so each weekday's last course is kept in mind.
        let mut latest: [(&[u32], usize); WEEK] = [(&[], 0); WEEK];
        for (day, on) in days.of_day.iter().enumerate().filter(|(_, on)| !on.is_empty()) {
            let Some(weekday) = weekdays.get(day).copied().flatten() else { continue };
            let (Some(latest), Some(plan)) = (latest.get_mut(weekday), plans.get(weekday)) else { continue };
            if latest.0 != on.as_slice() {
                let first = days.claims(day).first;
                let minutes = first.iter().zip(plan).map(|(first, beneath)| first.map_or(*beneath, |f| f.1));
                *latest = (on, courses.len());
                courses.push(course(minutes));
            }
            if let Some(of_day) = of_day.get_mut(day) {
                *of_day = latest.1;
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
