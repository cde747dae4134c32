//! The hours of each day of a year in which a service can run.

use super::words::short_date;
use crate::unit::UnitAnalysis;
use crate::verdict::longest;
use calendar::{Date, LocalTime};
use serde::Serialize;

/// Days that a year shows at most: 53 weeks. The first may begin on any day of the week.
const MOST: usize = 53 * 7 - 6;
/// A gap of so many hours or more is told of one by one.
const LONG: f64 = 24.0;

/// A year of a service, day by day.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Year {
    /// The first day, `2027-01-01`.
    pub from: String,
    /// Its place in the week, Monday first.
    pub first_weekday: usize,
    /// Its year.
    pub year: i16,
    /// The first day of each month that begins in it, with the month's number from 1.
    pub months: Vec<(usize, i8)>,
    /// Hours of each day in which the service can run; nothing where that is not proven.
    pub hours: Vec<Option<f64>>,
    /// Gaps of a whole day or more.
    pub long_gaps: Vec<LongGap>,
    /// The first day of the week that is shown, counted from the first; nothing where it lies elsewhere.
    pub week: Option<usize>,
}

/// A gap of a whole day or more.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LongGap {
    /// The first day that lies in it as a whole.
    pub first: usize,
    /// The last such day.
    pub last: usize,
    /// Its length in hours.
    pub hours: f64,
    /// Whether it is the longest of the period.
    pub longest: bool,
    /// Its begin and end: `Fri Mar 5 to Mon Mar 15`.
    pub words: String,
}

/// The days of a year around a day, in order.
pub(super) fn days_around(analysis: &UnitAnalysis<'_>, shown: Date) -> Vec<Date> {
    let period = &analysis.period;
    let days = std::iter::successors(Some(period.first_date()), |date| date.tomorrow().ok());
    let days: Vec<Date> = days.take_while(|date| period.contains(*date)).collect();
    let at = days.iter().position(|date| *date == shown).unwrap_or_default();
    // A period of some years is told one year at a time.
    days.chunks(MOST).nth(at / MOST).unwrap_or_default().to_vec()
}

impl Year {
    pub(super) fn of(analysis: &UnitAnalysis<'_>, service: &str, shown: Date) -> Year {
        let period = &analysis.period;
        let days = days_around(analysis, shown);
        let gaps = analysis.gaps(service);
        let midnight = |date: Date| period.instant(LocalTime { date, minute: 0 });
        let mut starts: Vec<i64> = days.iter().filter_map(|date| midnight(*date)).collect();
        let next = days.last().and_then(|last| last.tomorrow().ok()).filter(|next| period.contains(*next));
        starts.push(next.and_then(midnight).unwrap_or_else(|| period.end()));
        let idle = |from: i64, to: i64| {
            let gaps = gaps.as_deref()?;
            let first = gaps.partition_point(|gap| gap.to <= from);
            let reaching = gaps.get(first..)?.iter().take_while(|gap| gap.from < to);
            Some(reaching.map(|gap| gap.to.min(to) - gap.from.max(from)).sum::<i64>())
        };
        let hours = starts.windows(2).map(|day| match *day {
            [from, to] => idle(from, to).map(|idle| (to - from - idle) as f64 / 3600.0),
            _ => None,
        });
        let whole = |gap: &crate::verdict::Gap| {
            let first = starts.partition_point(|start| *start < gap.from);
            let behind = starts.partition_point(|start| *start <= gap.to).checked_sub(1)?;
            (first < behind).then(|| (first, behind - 1))
        };
        let most = gaps.as_deref().and_then(longest);
        let long = gaps.iter().flatten().filter(|gap| gap.hours() >= LONG);
        let long_gaps = long.filter_map(|gap| {
            let (first, last) = whole(gap)?;
            let day = |instant| period.local(instant).map_or(period.last_date(), |t| t.date);
            let words = format!("{} to {}", short_date(day(gap.from)), short_date(day(gap.to)));
            Some(LongGap { first, last, hours: gap.hours(), longest: most == Some(*gap), words })
        });
        let first = days.first().copied().unwrap_or(shown);
        Year {
            from: first.to_string(),
            first_weekday: weekday(first),
            year: first.year(),
            months: (0..)
                .zip(&days)
                .filter(|(_, date)| date.day() == 1)
                .map(|(n, d)| (n, d.month()))
                .collect(),
            hours: hours.collect(),
            long_gaps: long_gaps.collect(),
            week: days.iter().position(|date| *date == shown),
        }
    }
}

/// Monday is 0.
pub(super) fn weekday(date: Date) -> usize {
    usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or_default()
}
