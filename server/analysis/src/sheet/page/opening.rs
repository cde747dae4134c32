//! The week that is most worth seeing.

use super::Opened;
use crate::unit::UnitAnalysis;
use calendar::{Date, LocalTime};
use rustc_hash::FxHashMap;

/// The day on which the longest gap begins; where there is no gap, or nothing but one, the Monday of the week
/// that the period has most often.
pub(super) fn opening(analysis: &UnitAnalysis<'_>, service: &str) -> (Date, Opened) {
    let period = &analysis.period;
    let longest = analysis.gaps(service).as_deref().and_then(crate::verdict::longest);
    let begins = longest
        .filter(|gap| period.start() < gap.from || gap.to < period.end())
        .and_then(|gap| period.local(gap.from));
    match begins {
        Some(LocalTime { date, .. }) => (date, Opened::LongestGap),
        None => (most_frequent(analysis), Opened::MostFrequent),
    }
}

/// What the schedules say in the course of a day: from which minute on which kind of moment.
type DayCourse = Vec<(u16, usize)>;

/// The first Monday of the weeks that are most often alike; the first day of a period without a whole week.
fn most_frequent(analysis: &UnitAnalysis<'_>) -> Date {
    let period = &analysis.period;
    let mut days: Vec<(Date, DayCourse)> = Vec::new();
    for (stretch, moment) in analysis.course() {
        let mut at = stretch.from;
        while let Some(LocalTime { date, minute }) = period.local(at).filter(|_| at < stretch.to) {
            match days.last_mut() {
                Some((day, course)) if *day == date => course.push((minute, moment.number)),
                _ => days.push((date, vec![(minute, moment.number)])),
            }
            let next = date.tomorrow().ok();
            let midnight = next.and_then(|date| period.instant(LocalTime { date, minute: 0 }));
            // Where the clocks skip midnight, the day after begins where the period says.
            at = midnight.filter(|next| at < *next).unwrap_or(stretch.to);
        }
    }
    let first = days.iter().position(|(date, _)| date.weekday().to_monday_zero_offset() == 0);
    let weeks = days.get(first.unwrap_or_default()..).unwrap_or_default();
    let mut alike: FxHashMap<Vec<&DayCourse>, (usize, Date)> = FxHashMap::default();
    for week in weeks.chunks_exact(7) {
        let Some((monday, _)) = week.first() else { continue };
        let key = week.iter().map(|(_, course)| course).collect();
        alike.entry(key).or_insert((0, *monday)).0 += 1;
    }
    // Of those that come equally often the earliest.
    let most = alike.into_values().max_by_key(|(count, monday)| (*count, std::cmp::Reverse(*monday)));
    most.map_or(period.first_date(), |(_, monday)| monday)
}
