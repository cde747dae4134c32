//! The days of a week, cut wherever something changes.

use crate::proof::moment::Moment;
use crate::unit::UnitAnalysis;
use calendar::{Date, LocalTime};
use serde::Serialize;

/// A stretch of a day, in minutes of the wall clock.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
pub struct DaySpan {
    /// Its first minute.
    pub from: u16,
    /// The minute behind it, at most 1440.
    pub to: u16,
}

/// A stretch of a day in which nothing changes at all.
pub(super) struct Piece<'m> {
    /// The day, counted from the first.
    pub(super) day: usize,
    /// Wall clock.
    pub(super) span: DaySpan,
    /// Unix seconds.
    pub(super) seconds: (i64, i64),
    pub(super) moment: &'m Moment,
}

/// Seven days from a first, as far as there are so many.
pub(super) fn dates(first: Date) -> Vec<Date> {
    std::iter::successors(Some(first), |date| date.tomorrow().ok()).take(7).collect()
}

/// The seven days from a first, cut wherever a schedule or a day changes.
pub(super) fn pieces<'a>(analysis: &'a UnitAnalysis<'_>, dates: &[Date]) -> Vec<Piece<'a>> {
    let period = &analysis.period;
    let (Some(first), Some(last)) = (dates.first(), dates.last()) else { return Vec::new() };
    let instant = |date: &Date| period.instant(LocalTime { date: *date, minute: 0 });
    let inside = |date: &&Date| period.contains(**date);
    let Some(start) = dates.iter().find(inside).and_then(instant) else { return Vec::new() };
    let end = last.tomorrow().ok().filter(|date| period.contains(*date)).and_then(|date| instant(&date));
    let end = end.unwrap_or_else(|| period.end());
    let mut pieces = Vec::new();
    let reaching = analysis.course().filter(|(stretch, _)| stretch.from < end && start < stretch.to);
    for (stretch, moment) in reaching {
        let (mut at, to) = (stretch.from.max(start), stretch.to.min(end));
        while let Some(LocalTime { date, minute }) = period.local(at).filter(|_| at < to) {
            let midnight = date.tomorrow().ok().and_then(|next| instant(&next));
            let until = midnight.filter(|next| at < *next).unwrap_or(to).min(to);
            let wall = period.local(until).filter(|t| t.date == date).map_or(24 * 60, |t| t.minute);
            if let Ok(day) = usize::try_from((date - *first).get_days()) {
                // A repeated hour is drawn once.
                let span = DaySpan { from: minute.min(wall), to: wall };
                pieces.push(Piece { day, span, seconds: (at, until), moment });
            }
            at = until;
        }
    }
    pieces
}

/// Adds a span to some, as one with the last where they touch.
pub(super) fn join(spans: &mut Vec<DaySpan>, span: DaySpan) {
    match spans.last_mut() {
        Some(last) if span.from <= last.to => last.to = last.to.max(span.to),
        _ => spans.push(span),
    }
}
