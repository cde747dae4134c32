//! Several timelines at once: the intervals over which none of them changes.

use crate::{Period, Timeline, Value};

/// Joint course of several values over a period.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Joint {
    /// Start of each interval, then the end of the last.
    bounds: Vec<i64>,
    /// The values of all intervals, one after another.
    values: Vec<Value>,
    width: usize,
}

/// A longest run of instants over which every value holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Interval<'a> {
    /// First instant, Unix seconds.
    pub from: i64,
    /// Instant after the last, Unix seconds.
    pub to: i64,
    /// One value a timeline, in the order they were given.
    pub values: &'a [Value],
}

impl Interval<'_> {
    /// Elapsed hours.
    pub fn hours(&self) -> f64 {
        (self.to - self.from) as f64 / 3600.0
    }
}

impl Joint {
    /// How many intervals there are.
    pub fn count(&self) -> usize {
        self.bounds.len() - 1
    }

    /// The intervals in order; together they are the period.
    pub fn intervals(&self) -> impl Iterator<Item = Interval<'_>> {
        self.bounds.windows(2).enumerate().filter_map(|(index, bounds)| {
            let &[from, to] = bounds else { return None };
            let values = self.values.get(index * self.width..(index + 1) * self.width)?;
            Some(Interval { from, to, values })
        })
    }
}

/// The intervals of several timelines of one period. Without timelines it is one interval.
pub fn join(timelines: &[&Timeline], period: &Period) -> Joint {
    let mut rests: Vec<&[(i64, Value)]> = timelines.iter().map(|timeline| timeline.changes()).collect();
    let mut now = vec![0; timelines.len()];
    let mut joint = Joint { bounds: Vec::new(), values: Vec::new(), width: timelines.len() };
    let mut at = Some(period.start());
    while let Some(instant) = at {
        at = None;
        for (rest, value) in rests.iter_mut().zip(&mut now) {
            while let Some((&(when, next), later)) = rest.split_first() {
                if when > instant {
                    at = Some(at.map_or(when, |soonest| soonest.min(when)));
                    break;
                }
                (*value, *rest) = (next, later);
            }
        }
        joint.bounds.push(instant);
        joint.values.extend_from_slice(&now);
    }
    joint.bounds.push(period.end());
    joint
}
