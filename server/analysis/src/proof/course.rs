//! A period as intervals in which no schedule of interest changes.

use crate::analysis::Analysis;
use crate::memo::{KeyPart, MemoKey};
use crate::same::Same;
use crate::time::TimedSchedule;
use crate::verdict::Gap;
use calendar::{Period, Timeline, Value, join};
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// The joint course of some schedules.
pub(crate) struct Course {
    /// The combinations of values there are.
    pub(crate) kinds: Vec<MomentKind>,
    /// Start of each interval, then the end of the last.
    bounds: Vec<i64>,
    /// The kind of each interval.
    kind_of: Vec<u32>,
}

/// A combination of values, one a schedule.
pub(crate) struct MomentKind {
    pub(crate) values: Box<[Value]>,
    /// Hours of the period in which it holds.
    pub(crate) hours: f64,
}

/// Schedules that are looked at together over a period.
#[derive(PartialEq, Eq, Hash)]
struct Together {
    over: Same<Period>,
    schedules: Box<[Same<TimedSchedule>]>,
}

impl MemoKey for Together {
    type Answer = Arc<Course>;
    const MOST: usize = 512;

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        self.schedules.iter().for_each(|s| part(KeyPart { holders: s.holders(), held: 1 }));
    }
}

impl Course {
    /// The course of `schedules`, shared by all units that go by the same ones.
    pub(crate) fn of<'s>(
        analysis: &Analysis<'_, '_>,
        schedules: impl Iterator<Item = &'s Arc<TimedSchedule>>,
    ) -> Arc<Course> {
        let together =
            Together { over: Same::of(&analysis.over), schedules: schedules.map(Same::of).collect() };
        analysis.memo.of(together, |t| Arc::new(Course::joined(&t.over, &t.schedules)))
    }

    fn joined(period: &Period, schedules: &[Same<TimedSchedule>]) -> Course {
        let timelines: Vec<&Timeline> = schedules.iter().map(|s| &s.timeline).collect();
        let joint = join(&timelines, period);
        let (mut kinds, mut bounds, mut kind_of): (Vec<MomentKind>, _, _) =
            (Vec::new(), Vec::new(), Vec::new());
        let mut numbers: FxHashMap<&[Value], u32> = FxHashMap::default();
        for interval in joint.intervals() {
            let kind = *numbers.entry(interval.values).or_insert_with(|| {
                kinds.push(MomentKind { values: interval.values.into(), hours: 0.0 });
                kinds.len() as u32 - 1
            });
            if let Some(kind) = kinds.get_mut(kind as usize) {
                kind.hours += interval.hours();
            }
            bounds.push(interval.from);
            kind_of.push(kind);
        }
        bounds.push(period.end());
        Course { kinds, bounds, kind_of }
    }

    /// The intervals in order, each with its kind by number.
    pub(crate) fn intervals(&self) -> impl Iterator<Item = (Gap, usize)> {
        self.bounds.windows(2).zip(&self.kind_of).filter_map(|(bounds, kind)| match *bounds {
            [from, to] => Some((Gap { from, to }, *kind as usize)),
            _ => None,
        })
    }
}
