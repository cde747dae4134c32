//! Changes of a schedule's value in local time that a clock change skips or repeats.

use jiff::civil::Date;

use crate::days::Courses;
use crate::{ClockChangeKind, Period, Schedule};

/// A change of value that the wall clock passes over, or shows twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ClockEdge {
    /// Local date of the change of value.
    pub date: Date,
    /// Its minute of the local day.
    pub minute: u16,
    /// What the clock does there. A skipped change of value happens at the jump, a repeated one twice.
    pub change: ClockChangeKind,
}

/// Every change of the schedule's value inside local time that the period's clock changes skip or
/// repeat, in order of time.
pub fn edges_in_clock_change(schedule: &Schedule, period: &Period) -> Vec<ClockEdge> {
    if period.clock_changes().is_empty() {
        return Vec::new();
    }
    let courses = Courses::new(schedule, period);
    let mut edges = Vec::new();
    for run in period.clock_changes() {
        let Some(day) = period.index(run.date) else {
            continue;
        };
        let eve = day.checked_sub(1).and_then(|eve| courses.of(eve).last());
        for &(minute, value) in courses.of(day) {
            // A day's course opens with a value at 00:00, which is a change only after another.
            let holds_over = minute == 0 && eve.is_none_or(|&(_, before)| before == value);
            if run.covers(minute) && !holds_over {
                edges.push(ClockEdge { date: run.date, minute, change: run.change });
            }
        }
    }
    edges
}
