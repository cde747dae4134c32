//! A schedule over a period: the instants at which its value changes.

use crate::days::Courses;
use crate::{Period, Schedule, Value};

/// The course of a value over a period.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Timeline {
    /// Instant and value from it on; sorted, the first at the start, neighbours differing.
    changes: Vec<(i64, Value)>,
    end: i64,
}

/// A run of instants over which a value holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Span {
    /// First instant, Unix seconds.
    pub from: i64,
    /// Instant after the last, Unix seconds.
    pub to: i64,
    pub value: Value,
}

impl Timeline {
    /// One value throughout the period.
    pub fn constant(value: Value, period: &Period) -> Self {
        Self { changes: vec![(period.start(), value)], end: period.end() }
    }

    /// The value at an instant (Unix seconds); `None` outside the period.
    pub fn value_at(&self, instant: i64) -> Option<Value> {
        let after = self.changes.partition_point(|&(at, _)| at <= instant);
        let &(_, value) = self.changes.get(after.checked_sub(1)?)?;
        (instant < self.end).then_some(value)
    }

    /// The longest runs of one value, in order; together they are the period.
    pub fn spans(&self) -> impl Iterator<Item = Span> {
        let ends = self.changes.iter().skip(1).map(|&(at, _)| at).chain([self.end]);
        self.changes.iter().zip(ends).map(|(&(from, value), to)| Span { from, to, value })
    }

    /// Elapsed hours at a value.
    pub fn hours_at(&self, value: Value) -> f64 {
        let spans = self.spans().filter(|span| span.value == value);
        spans.map(|span| span.to - span.from).sum::<i64>() as f64 / 3600.0
    }

    /// Instants of change and the value from then on, the first at the period's start.
    pub fn changes(&self) -> &[(i64, Value)] {
        &self.changes
    }

    fn push(&mut self, at: i64, value: Value) {
        if self.changes.last().is_none_or(|&(_, last)| last != value) {
            self.changes.push((at, value));
        }
    }
}

/// The value of a schedule at every instant of a period.
pub fn expand(schedule: &Schedule, period: &Period) -> Timeline {
    let mut timeline = Timeline { changes: Vec::with_capacity(1024), end: period.end() };
    let courses = Courses::new(schedule, period);
    for stretch in period.stretches() {
        let course = courses.of(stretch.day);
        let begun = course.partition_point(|&(minute, _)| i64::from(minute) * 60 <= stretch.second);
        let (held, coming) = course.split_at(begun);
        if let Some(&(_, value)) = held.last() {
            timeline.push(stretch.start, value);
        }
        let midnight = stretch.start - stretch.second;
        for &(minute, value) in coming {
            let at = midnight + i64::from(minute) * 60;
            if at >= stretch.end {
                break;
            }
            timeline.push(at, value);
        }
    }
    timeline.changes.shrink_to_fit();
    timeline
}
