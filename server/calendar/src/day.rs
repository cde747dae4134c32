//! One local day of a schedule: who holds a value at which minute.
//!
//! The standard writes a day as a list of times and values, where a value holds until the next
//! time. Windows say the same without a list to keep in order: a rule's value changes only at the
//! ends of its windows, so a day is evaluated there and nowhere else.

use crate::{DayPlan, Rule, Schedule, Value, Window};

/// Minutes in a day without a clock change.
pub(crate) const DAY: u16 = 24 * 60;

/// Changes of value through a day as the wall clock shows it: minute and value, the first at 0,
/// neighbours differing.
pub(crate) type Course = Vec<(u16, Value)>;

/// An exception that is on, on one day. Their order is that of the days and, within a day, of who wins.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct On {
    /// Index of the day in the period.
    pub(crate) day: u32,
    pub(crate) priority: u8,
    /// Index of the exception in the schedule.
    pub(crate) exception: u32,
}

/// The value an exception holds, `None` where it gives way (the standard's NULL).
pub(crate) fn value_in_rule(rule: &Rule, off: Value, minute: u16) -> Option<Value> {
    match rule {
        Rule::Replace(plan) => Some(value_in_window(plan, minute).unwrap_or(off)),
        Rule::Add(plan) => value_in_window(plan, minute),
    }
}

/// The value the week holds, `None` before the day's first window.
pub(crate) fn value_in_week(plan: &[Window], off: Value, minute: u16) -> Option<Value> {
    value_in_window(plan, minute).or_else(|| {
        let begun = plan.iter().any(|window| window.start < window.end && window.end <= minute);
        begun.then_some(off)
    })
}

fn value_in_window(plan: &[Window], minute: u16) -> Option<Value> {
    let covering = plan.iter().filter(|window| window.covers(minute));
    // Of equals `max_by_key` takes the last, which is the order `DayPlan` promises.
    covering.max_by_key(|window| window.start).map(|window| window.value)
}

/// The exceptions and the week of one day, the one that wins first.
pub(crate) struct Layers<'a> {
    schedule: &'a Schedule,
    on: &'a [On],
    week: &'a DayPlan,
}

impl<'a> Layers<'a> {
    pub(crate) fn new(schedule: &'a Schedule, on: &'a [On], week: &'a DayPlan) -> Self {
        Self { schedule, on, week }
    }

    /// Every minute of the day at which a layer may change, with 0, in order.
    pub(crate) fn edges(&self) -> Vec<u16> {
        let exceptions = self.rules().flat_map(|(_, rule)| match rule {
            Rule::Replace(plan) | Rule::Add(plan) => plan,
        });
        let windows = exceptions.chain(self.week).filter(|window| window.start < window.end);
        let mut edges: Vec<u16> = windows.flat_map(|window| [window.start, window.end]).collect();
        edges.push(0);
        edges.retain(|&minute| minute < DAY);
        edges.sort_unstable();
        edges.dedup();
        edges
    }

    /// The exceptions that hold a value at this minute, with it, the one that wins first.
    pub(crate) fn held(&self, minute: u16) -> impl Iterator<Item = (u32, Value)> {
        let off = self.schedule.off;
        self.rules().filter_map(move |(index, rule)| Some((index, value_in_rule(rule, off, minute)?)))
    }

    /// The value beneath all exceptions.
    pub(crate) fn beneath(&self, minute: u16) -> Value {
        value_in_week(self.week, self.schedule.off, minute).unwrap_or(self.schedule.default)
    }

    pub(crate) fn course(&self) -> Course {
        let values = self.edges().into_iter().map(|minute| {
            let held = self.held(minute).next();
            (minute, held.map_or_else(|| self.beneath(minute), |(_, value)| value))
        });
        let mut course: Course = values.collect();
        course.dedup_by_key(|&mut (_, value)| value);
        course
    }

    fn rules(&self) -> impl Iterator<Item = (u32, &'a Rule)> {
        let exceptions = &self.schedule.exceptions;
        let indices = self.on.iter().map(|on| on.exception);
        indices.filter_map(|index| Some((index, &exceptions.get(index as usize)?.rule)))
    }
}
