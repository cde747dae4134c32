//! What a schedule is, and its value at one moment of local time.

use std::sync::Arc;

use jiff::civil::Date;

use crate::{Occurrence, day};

/// Index of one of a schedule's states. What it stands for is the caller's.
pub type Value = u16;

/// A stretch of a local day in which a value is in force.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Window {
    /// First minute of the local day, 0 to 1439.
    pub start: u16,
    /// Minute of the local day at which the window is over, up to 1440.
    /// A window that does not end after its start is no window.
    pub end: u16,
    /// The value in force.
    pub value: Value,
}

impl Window {
    pub(crate) fn covers(self, minute: u16) -> bool {
        self.start <= minute && minute < self.end
    }
}

/// The windows of one day, in any order. Where two overlap, the one that starts later is in force;
/// of two that start together, the one listed later.
pub type DayPlan = Vec<Window>;

/// What an exception does to its days.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Rule {
    /// The day is this and nothing else: the off value from 00:00, then the windows.
    Replace(DayPlan),
    /// The windows come on top of the day: outside them the exception holds no value.
    Add(DayPlan),
}

/// A rule for some days, in place of their weekly plan (`SpecialEvent` of the standard).
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Exception {
    /// The days: any of these. Exceptions of one calendar share them.
    pub on: Arc<[Occurrence]>,
    /// What holds on them.
    pub rule: Rule,
    /// 1 to 16, 1 wins. Equal priorities are settled by place in the list, the first wins.
    pub priority: u8,
}

impl Exception {
    pub(crate) fn is_on(&self, date: Date) -> bool {
        self.on.iter().any(|occurrence| occurrence.contains(date))
    }
}

/// A schedule by the day of the week, with exceptions.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Schedule {
    /// Where nothing else holds a value, and outside the effective period.
    pub default: Value,
    /// What follows a window of the week, and fills the rest of a replaced day.
    pub off: Value,
    /// Monday first. Before its first window a day holds no value, so the default shows through.
    pub week: [DayPlan; 7],
    /// In the order of the file.
    pub exceptions: Vec<Exception>,
    /// First and last day on which week and exceptions hold, both included; `None` is open.
    pub effective: (Option<Date>, Option<Date>),
}

impl Schedule {
    pub(crate) fn is_effective(&self, date: Date) -> bool {
        let (first, last) = self.effective;
        first.is_none_or(|first| first <= date) && last.is_none_or(|last| date <= last)
    }

    pub(crate) fn plan(&self, date: Date) -> &DayPlan {
        let [mon, tue, wed, thu, fri, sat, sun] = &self.week;
        match date.weekday() {
            jiff::civil::Weekday::Monday => mon,
            jiff::civil::Weekday::Tuesday => tue,
            jiff::civil::Weekday::Wednesday => wed,
            jiff::civil::Weekday::Thursday => thu,
            jiff::civil::Weekday::Friday => fri,
            jiff::civil::Weekday::Saturday => sat,
            jiff::civil::Weekday::Sunday => sun,
        }
    }
}

/// The value while the wall clock shows `date` and `minute` (0 to 1439).
///
/// For a whole period use [`crate::expand`], which agrees with this at every moment.
pub fn value_of(schedule: &Schedule, date: Date, minute: u16) -> Value {
    if !schedule.is_effective(date) {
        return schedule.default;
    }
    match exception_at(schedule, date, minute) {
        Some((_, value)) => value,
        None => day::value_in_week(schedule.plan(date), schedule.off, minute).unwrap_or(schedule.default),
    }
}

/// The exception that decides while the wall clock shows `date` and `minute` (0 to 1439) of a day on
/// which the schedule is effective: its place in the list, and the value it gives.
pub fn exception_at(schedule: &Schedule, date: Date, minute: u16) -> Option<(usize, Value)> {
    let on = schedule.exceptions.iter().enumerate().filter(|(_, exception)| exception.is_on(date));
    let holding =
        on.filter_map(|(i, e)| Some((e.priority, i, day::value_in_rule(&e.rule, schedule.off, minute)?)));
    let (_, i, value) = holding.min_by_key(|&(priority, ..)| priority)?;
    Some((i, value))
}
