//! Which days an exception or a calendar names (`CalendarEntry` of ASHRAE 135).

use jiff::civil::{Date, Weekday};

/// A set of local dates.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Occurrence {
    /// One day.
    Date(Date),
    /// A range of days, both ends included; `None` is open.
    Range {
        /// First day.
        from: Option<Date>,
        /// Last day.
        to: Option<Date>,
    },
    /// The standard's week-and-day.
    WeekNDay {
        /// Months it holds in.
        month: MonthRule,
        /// Part of the month.
        week: WeekRule,
        /// Day of the week, any where `None`.
        weekday: Option<Weekday>,
    },
    /// A day of the month in some months of every year (the standard's date with special fields).
    DayOfMonth {
        /// Months it holds in.
        month: MonthRule,
        /// Days of the month.
        day: DayRule,
    },
}

/// Months of the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MonthRule {
    /// Every month.
    Any,
    /// January, March, … (13 in the standard).
    Odd,
    /// February, April, … (14 in the standard).
    Even,
    /// One month, 1 to 12.
    Month(u8),
}

/// A part of the month by sevens of days, not by calendar weeks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WeekRule {
    /// The whole month.
    Any,
    /// 1: days 1 to 7, 2: days 8 to 14, … 5: days 29 to 31.
    FromStart(u8),
    /// 1: the last seven days (6 in the standard), 2: the seven before those, … up to 4 (7 to 9).
    FromEnd(u8),
}

/// Days of the month.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DayRule {
    /// Every day.
    Any,
    /// The last day (32 in the standard).
    Last,
    /// The 1st, 3rd, … (33 in the standard).
    Odd,
    /// The 2nd, 4th, … (34 in the standard).
    Even,
    /// One day, 1 to 31; a month without it is passed over.
    Day(u8),
}

impl Occurrence {
    /// Whether the date is one of its days.
    pub fn contains(&self, date: Date) -> bool {
        match *self {
            Self::Date(day) => day == date,
            Self::Range { from, to } => {
                from.is_none_or(|from| from <= date) && to.is_none_or(|to| date <= to)
            }
            Self::WeekNDay { month, week, weekday } => {
                month.contains(date)
                    && week.contains(date)
                    && weekday.is_none_or(|weekday| weekday == date.weekday())
            }
            Self::DayOfMonth { month, day } => month.contains(date) && day.contains(date),
        }
    }
}

impl MonthRule {
    fn contains(self, date: Date) -> bool {
        match self {
            Self::Any => true,
            Self::Odd => date.month() % 2 == 1,
            Self::Even => date.month() % 2 == 0,
            Self::Month(month) => date.month().unsigned_abs() == month,
        }
    }
}

impl WeekRule {
    fn contains(self, date: Date) -> bool {
        match self {
            Self::Any => true,
            Self::FromStart(week) => sevens(date.day() - 1) == week,
            Self::FromEnd(week) => sevens(date.days_in_month() - date.day()) == week,
        }
    }
}

/// Which run of seven days a day lies in, from 1, given how many days lie before it.
fn sevens(before: i8) -> u8 {
    before.unsigned_abs() / 7 + 1
}

impl DayRule {
    fn contains(self, date: Date) -> bool {
        match self {
            Self::Any => true,
            Self::Last => date.day() == date.days_in_month(),
            Self::Odd => date.day() % 2 == 1,
            Self::Even => date.day() % 2 == 0,
            Self::Day(day) => date.day().unsigned_abs() == day,
        }
    }
}
