//! Weekly schedules, exceptions and calendars, expanded over a review period in local time.
//!
//! The meaning is that of a `BACnet` Schedule (ASHRAE 135 / ISO 16484-5): inside the effective period
//! the exceptions of the day by priority, then the weekly entry of the day, then the default. The
//! present value is a function of what the wall clock shows, so a clock change skips or repeats
//! a part of that function and nothing else.
//!
//! A value is a number whose meaning belongs to the caller. This crate reads no YAML.

mod clock;
mod day;
mod days;
mod effect;
mod expand;
mod import;
mod join;
mod occurrence;
mod period;
mod schedule;
mod words;

pub use clock::{ClockEdge, edges_in_clock_change};
pub use effect::{
    Collision, ExceptionEffect, ExceptionReview, OutsideEffective, outside_effective, review_exceptions,
};
pub use expand::{Span, Timeline, expand};
pub use import::{Import, ImportProblem, ImportedDays, MOST_OCCURRENCES, import_ics};
pub use jiff::civil::{Date, Weekday};
pub use join::{Interval, Joint, join};
pub use occurrence::{DayRule, MonthRule, Occurrence, WeekRule};
pub use period::{ClockChange, ClockChangeKind, LocalTime, Period, PeriodError};
pub use schedule::{DayPlan, Exception, Rule, Schedule, Value, Window, exception_at, value_of};
pub use words::parse_week_n_day;
