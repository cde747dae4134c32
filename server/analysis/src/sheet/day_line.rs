//! The line of a schedule that makes a moment what it is.

use crate::time::TimedSchedule;
use calendar::{LocalTime, exception_at};
use model::{Found, Place, Schedule};

/// The line that decides at a moment: the exception that holds then, else the week's line for the
/// day, else the default. Outside the days on which the schedule acts, the line that says so.
pub(super) fn day_line(
    schedule: Found<'_, Schedule>,
    timed: &TimedSchedule,
    when: LocalTime,
) -> Option<Place> {
    let (first, last) = schedule.is.effective;
    if first.is_some_and(|first| when.date < first) || last.is_some_and(|last| last < when.date) {
        return schedule.is.effective_at.map(|at| schedule.place(at));
    }
    let day = usize::try_from(when.date.weekday().to_monday_zero_offset()).ok()?;
    let week = || schedule.is.week.iter().find(|rule| rule.days.get(day) == Some(&true)).map(|rule| rule.at);
    let exception = exception_at(&timed.schedule, when.date, when.minute);
    let exception = exception.and_then(|(i, _)| schedule.is.exceptions.get(i)).map(|exception| exception.at);
    exception.or_else(week).or(schedule.is.default_at).map(|at| schedule.place(at))
}
