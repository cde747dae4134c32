//! The review period in the site's time zone: which instants show which local time.

use std::fmt;

use jiff::civil::Date;
use jiff::tz::{AmbiguousOffset, TimeZone, TimeZoneDatabase};
use jiff::{Timestamp, ToSpan};

const DAY_SECONDS: i64 = 24 * 60 * 60;

/// Longest period that is expanded, in days: ten years. It bounds memory, not meaning.
const LONGEST: u32 = 3660;

/// A run of whole local days in one time zone. Built once for a site and shared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Period {
    zone: String,
    first: Date,
    last: Date,
    /// From the earliest date that a stretch lies in to the latest, without gaps.
    dates: Vec<Date>,
    stretches: Vec<Stretch>,
    changes: Vec<ClockChange>,
}

/// A run of instants within one local date over which the wall clock runs evenly. A day without a
/// clock change is one stretch from second 0 to the next day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stretch {
    /// Unix seconds, half-open.
    pub(crate) start: i64,
    pub(crate) end: i64,
    /// Index of the date in [`Period::dates`].
    pub(crate) day: usize,
    /// Second of the local day that the clock shows at `start`.
    pub(crate) second: i64,
}

/// A run of local time within one date that a clock change leaves out or shows again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ClockChange {
    /// Unix seconds of the change.
    pub at: i64,
    /// Local date of the run.
    pub date: Date,
    /// First minute of the run.
    pub from: u16,
    /// Minute after its last, up to 1440.
    pub to: u16,
    /// What happens to the run.
    pub change: ClockChangeKind,
}

impl ClockChange {
    /// Whether a minute of its date lies in the run.
    pub fn covers(&self, minute: u16) -> bool {
        self.from <= minute && minute < self.to
    }
}

/// What a clock change does to a run of local time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ClockChangeKind {
    /// The clock jumps over it.
    Skipped,
    /// The clock shows it twice.
    Repeated,
}

/// What a wall clock shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct LocalTime {
    /// Local date.
    pub date: Date,
    /// Minute of the local day, 0 to 1439.
    pub minute: u16,
}

/// Why there is no such period.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PeriodError {
    /// The IANA time zone database has no zone of this name.
    UnknownZone(String),
    /// No days, or more than ten years of them.
    Length(u32),
    /// The zone's clocks never show these days, or the calendar ends before them.
    NoSuchDays,
}

impl fmt::Display for PeriodError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownZone(zone) => {
                write!(f, "`{zone}` is no time zone; write an IANA name such as `America/New_York`")
            }
            Self::Length(days) => {
                write!(f, "a period of {days} days cannot be reviewed; write 1 to {LONGEST}")
            }
            Self::NoSuchDays => {
                f.write_str("the clocks of the time zone never show these days; choose another start")
            }
        }
    }
}

impl std::error::Error for PeriodError {}

impl Period {
    /// `days` whole local days from `from` in an IANA time zone, by the bundled database, so that
    /// every computer gives the same answer.
    pub fn new(zone: &str, from: Date, days: u32) -> Result<Self, PeriodError> {
        if days == 0 || days > LONGEST {
            return Err(PeriodError::Length(days));
        }
        let tz =
            TimeZoneDatabase::bundled().get(zone).map_err(|_| PeriodError::UnknownZone(zone.to_owned()))?;
        match Self::lay_out(zone, &tz, from, days) {
            Ok(period) if !period.stretches.is_empty() => Ok(period),
            _ => Err(PeriodError::NoSuchDays),
        }
    }

    fn lay_out(zone: &str, tz: &TimeZone, first: Date, days: u32) -> Result<Self, jiff::Error> {
        let last = first.checked_add((i64::from(days) - 1).days())?;
        let (start, end) = (start_of_day(tz, first)?, start_of_day(tz, last.tomorrow()?)?);
        let eve = start.checked_sub(1.second())?;

        let mut runs = Vec::new();
        let mut changes = Vec::new();
        let (mut since, mut offset) = (start.as_second(), i64::from(tz.to_offset(eve).seconds()));
        for transition in tz.following(eve).take_while(|next| next.timestamp() < end) {
            let at = transition.timestamp().as_second();
            let next = i64::from(transition.offset().seconds());
            if next != offset {
                clock_change(at, offset, next, &mut changes)?;
                runs.push((since, at, offset));
                (since, offset) = (at, next);
            }
        }
        runs.push((since, end.as_second(), offset));
        // A change of the clock may be the very start of the first day.
        runs.retain(|&(start, end, _)| start < end);

        let days_of = |&(start, end, offset): &(i64, i64, i64)| {
            [epoch_day(start + offset), epoch_day(end + offset - 1)]
        };
        let first_day = runs.iter().flat_map(days_of).min().unwrap_or_default();
        let last_day = runs.iter().flat_map(days_of).max().unwrap_or_default();
        let dates: Vec<Date> = (first_day..=last_day).map(date_of).collect::<Result<_, _>>()?;
        let mut stretches = Vec::with_capacity(days as usize + 2 * runs.len());
        for run in runs {
            cut_at_midnights(run, first_day, &mut stretches);
        }
        // A zone that moves across the date line skips a day, and may skip the last one.
        let shown = stretches.last().and_then(|stretch| dates.get(stretch.day));
        let last = shown.map_or(last, |shown| last.min(*shown));
        Ok(Self { zone: zone.to_owned(), first, last, dates, stretches, changes })
    }

    /// The IANA name it was built with.
    pub fn zone(&self) -> &str {
        &self.zone
    }

    /// First local day.
    pub fn first_date(&self) -> Date {
        self.first
    }

    /// Last local day that the clocks show, included.
    pub fn last_date(&self) -> Date {
        self.last
    }

    /// First instant, Unix seconds.
    pub fn start(&self) -> i64 {
        self.stretches.first().map_or(0, |stretch| stretch.start)
    }

    /// Instant after the last, Unix seconds.
    pub fn end(&self) -> i64 {
        self.stretches.last().map_or(0, |stretch| stretch.end)
    }

    /// Length in elapsed hours.
    pub fn hours(&self) -> f64 {
        (self.end() - self.start()) as f64 / 3600.0
    }

    /// Runs of local time that a clock change within the period skips or repeats, in order.
    pub fn clock_changes(&self) -> &[ClockChange] {
        &self.changes
    }

    /// What the wall clock shows at an instant of the period (Unix seconds); `None` outside.
    pub fn local(&self, instant: i64) -> Option<LocalTime> {
        let after = self.stretches.partition_point(|stretch| stretch.start <= instant);
        let stretch = self.stretches.get(after.checked_sub(1)?)?;
        let date = *self.dates.get(stretch.day)?;
        let second = stretch.second + instant - stretch.start;
        (instant < stretch.end).then_some(LocalTime { date, minute: (second / 60) as u16 })
    }

    /// The first instant (Unix seconds) at which the wall clock shows a local time or, where a
    /// clock change skips it, the instant of the change. `None` outside the period.
    pub fn instant(&self, local: LocalTime) -> Option<i64> {
        let second = i64::from(local.minute) * 60;
        let day = self.index(local.date)?;
        let shown = self.stretches.iter().find(|stretch| {
            stretch.day == day
                && (stretch.second..stretch.second + stretch.end - stretch.start).contains(&second)
        });
        shown.map(|stretch| stretch.start + second - stretch.second).or_else(|| {
            let skipped = self.changes.iter().find(|run| {
                run.change == ClockChangeKind::Skipped && run.date == local.date && run.covers(local.minute)
            });
            skipped.map(|run| run.at)
        })
    }

    /// Whether a date is one of the period's days.
    pub fn contains(&self, date: Date) -> bool {
        self.first <= date && date <= self.last
    }

    pub(crate) fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    pub(crate) fn dates(&self) -> &[Date] {
        &self.dates
    }

    /// Place of a date in [`Self::dates`].
    pub(crate) fn index(&self, date: Date) -> Option<usize> {
        self.dates.binary_search(&date).ok()
    }
}

/// The first instant of a local day, which is the instant of the clock change where one skips midnight.
fn start_of_day(tz: &TimeZone, date: Date) -> Result<Timestamp, jiff::Error> {
    let midnight = tz.to_ambiguous_timestamp(date.into());
    let skipped = matches!(midnight.offset(), AmbiguousOffset::Gap { .. });
    let shown = midnight.compatible()?;
    let jump = tz.preceding(shown.checked_add(1.second())?).next().filter(|_| skipped);
    Ok(jump.map_or(shown, |jump| jump.timestamp()))
}

fn epoch_day(local_second: i64) -> i64 {
    local_second.div_euclid(DAY_SECONDS)
}

fn date_of(epoch_day: i64) -> Result<Date, jiff::Error> {
    jiff::civil::date(1970, 1, 1).checked_add(epoch_day.days())
}

/// Cuts instants of one offset from UTC into stretches of one date each.
fn cut_at_midnights((start, end, offset): (i64, i64, i64), first_day: i64, into: &mut Vec<Stretch>) {
    let mut at = start;
    while at < end {
        let day = epoch_day(at + offset);
        let midnight = (day + 1) * DAY_SECONDS - offset;
        into.push(Stretch {
            start: at,
            end: midnight.min(end),
            day: (day - first_day) as usize,
            second: at + offset - day * DAY_SECONDS,
        });
        at = midnight;
    }
}

/// Notes the local time that a change of offset skips or repeats, cut at midnight.
fn clock_change(at: i64, before: i64, after: i64, into: &mut Vec<ClockChange>) -> Result<(), jiff::Error> {
    let change = if before < after { ClockChangeKind::Skipped } else { ClockChangeKind::Repeated };
    let (mut from, to) = (at + before.min(after), at + before.max(after));
    while from < to {
        let day = epoch_day(from);
        let until = to.min((day + 1) * DAY_SECONDS);
        let minute = |second: i64| ((second - day * DAY_SECONDS + 59) / 60) as u16;
        into.push(ClockChange { at, date: date_of(day)?, from: minute(from), to: minute(until), change });
        from = until;
    }
    Ok(())
}
