//! What the exceptions of a schedule do within a period, and where they get in each other's way.

use jiff::civil::Date;

use crate::day::{DAY, Layers};
use crate::days::{by_day, exceptions_on};
use crate::{Change, LocalTime, Period, Schedule, Value};

/// What exceptions do within a period.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExceptionReview {
    /// One for each exception of the schedule, in its order.
    pub effects: Vec<ExceptionEffect>,
    /// Pairs of exceptions between which only the order of the list decides; each pair once.
    pub collisions: Vec<Collision>,
}

/// What one exception does within a period.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExceptionEffect {
    /// The days of the period that it is on.
    pub dates: Vec<Date>,
    /// First moment at which the schedule's value is this exception's.
    pub decides: Option<LocalTime>,
    /// First moment at which the value would be another without it.
    pub changes: Option<LocalTime>,
    /// Indices of the exceptions that win over it at some moment, in the order they are met.
    pub covered_by: Vec<usize>,
}

/// Two exceptions of one priority that hold different values at one moment, where none wins over both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Collision {
    /// Index of the one that wins, being earlier in the list.
    pub wins: usize,
    /// Index of the one that loses.
    pub loses: usize,
    /// First such moment.
    pub at: LocalTime,
}

/// Days of a period on which only a schedule's default holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct OutsideEffective {
    /// The first of them.
    pub first: Date,
    /// How many there are.
    pub days: u32,
}

/// Days of the period outside the schedule's effective period; `None` without any.
pub fn outside_effective(schedule: &Schedule, period: &Period) -> Option<OutsideEffective> {
    let days = period.dates().iter().filter(|&&date| period.contains(date));
    let mut outside = days.copied().filter(|&date| !schedule.is_effective(date));
    let first = outside.next()?;
    Some(OutsideEffective { first, days: 1 + outside.count() as u32 })
}

/// Goes through every moment of the period at which an exception is on.
pub fn review_exceptions(schedule: &Schedule, period: &Period) -> ExceptionReview {
    let mut review = ExceptionReview {
        effects: vec![ExceptionEffect::default(); schedule.exceptions.len()],
        collisions: Vec::new(),
    };
    for (day, on) in by_day(&exceptions_on(schedule, period)) {
        let Some(&date) = period.dates().get(day) else {
            continue;
        };
        for one in on {
            if let Some(effect) = review.effects.get_mut(one.exception as usize) {
                effect.dates.push(date);
            }
        }
        if schedule.is_effective(date) {
            let layers = Layers::new(schedule, on, schedule.plan(date));
            let edges = layers.edges();
            for (place, &from) in edges.iter().enumerate() {
                let to = edges.get(place + 1).copied().unwrap_or(DAY);
                if let Some(minute) = first_shown(period, date, from, to) {
                    review.moment(schedule, &layers, LocalTime { date, minute });
                }
            }
        }
    }
    review
}

/// First minute of a part of a day that the wall clock really shows.
fn first_shown(period: &Period, date: Date, from: u16, to: u16) -> Option<u16> {
    let skipped =
        period.clock_changes().iter().filter(|run| run.change == Change::Skipped && run.date == date);
    let shown = skipped.fold(from, |minute, run| if run.covers(minute) { run.to } else { minute });
    (shown < to).then_some(shown)
}

impl ExceptionReview {
    fn moment(&mut self, schedule: &Schedule, layers: &Layers<'_>, at: LocalTime) {
        let held: Vec<(usize, Value)> =
            layers.held(at.minute).map(|(index, value)| (index as usize, value)).collect();
        let Some((&(wins, value), covered)) = held.split_first() else {
            return;
        };
        let without = covered.first().map_or_else(|| layers.beneath(at.minute), |&(_, value)| value);
        if let Some(effect) = self.effects.get_mut(wins) {
            effect.decides.get_or_insert(at);
            if without != value {
                effect.changes.get_or_insert(at);
            }
        }
        for &(loses, other) in covered {
            if let Some(effect) = self.effects.get_mut(loses)
                && !effect.covered_by.contains(&wins)
            {
                effect.covered_by.push(wins);
            }
            let priority = |index: usize| schedule.exceptions.get(index).map(|exception| exception.priority);
            let known = self.collisions.iter().any(|one| (one.wins, one.loses) == (wins, loses));
            if other != value && priority(wins) == priority(loses) && !known {
                self.collisions.push(Collision { wins, loses, at });
            }
        }
    }
}
