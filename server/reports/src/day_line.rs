//! The line of a schedule that makes a day what it is.

use analysis::UnitAnalysis;
use calendar::Date;
use model::{Place, Schedule, View};

/// The line that makes `date`, where `place` is in one of the unit's schedules: the exception that
/// wins on that day, else the week's line for it, else the default. Outside the days on which the
/// schedule acts, the line that says so.
pub(crate) fn day_line(
    view: &View<'_>,
    analysis: &UnitAnalysis<'_>,
    place: &Place,
    date: Date,
) -> Option<Place> {
    let (schedule, timed) = analysis
        .schedules()
        .filter_map(|(name, timed)| Some((view.find::<Schedule>(name)?, timed)))
        .find(|(schedule, _)| schedule.id == place.entry)?;
    let (first, last) = schedule.is.effective;
    if first.is_some_and(|first| date < first) || last.is_some_and(|last| last < date) {
        return schedule.is.effective_at.map(|at| schedule.place(at));
    }
    let exceptions = schedule.is.exceptions.iter().zip(&timed.schedule.exceptions);
    let winner = exceptions
        .filter(|(_, exception)| exception.on.iter().any(|days| days.contains(date)))
        .min_by_key(|(_, exception)| exception.priority);
    let day = usize::try_from(date.weekday().to_monday_zero_offset()).ok()?;
    let week = || schedule.is.week.iter().find(|rule| rule.days.get(day) == Some(&true));
    let at = winner.map(|(written, _)| written.at).or_else(|| week().map(|rule| rule.at));
    at.or(schedule.is.default_at).map(|at| schedule.place(at))
}
