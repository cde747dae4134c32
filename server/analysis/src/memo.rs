//! What many entries have in common, worked out once: periods, timelines, the logic of types.
//!
//! Everything is keyed by the facts it came from, so nothing has to be invalidated: other facts,
//! other key. What no entry holds any more is dropped by [`Memo::sweep`].

use crate::course::Course;
use crate::logic_of_type::TypeLogic;
use crate::time::TimedSchedule;
use calendar::{Date, Period};
use model::Facts;
use parking_lot::RwLock;
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// The shared results; safe to use from many threads.
#[derive(Default)]
pub struct Memo {
    period: RwLock<Option<KnownPeriod>>,
    schedules: RwLock<FxHashMap<usize, Arc<TimedSchedule>>>,
    courses: RwLock<FxHashMap<Vec<usize>, Arc<Course>>>,
    types: RwLock<FxHashMap<usize, KnownType>>,
}

/// Time zone, first day, number of days, and their period.
type KnownPeriod = (String, Date, u32, Arc<Period>);

type KnownType = (Arc<Facts>, Arc<TypeLogic>);

/// Most schedules, and most courses, that are kept. A year of one takes about 12 kB, and units
/// that share one stand near each other, so more would cost memory and save little.
const MOST: usize = 512;

/// The address of facts, which stays theirs while the memo holds them.
fn address(facts: &Arc<Facts>) -> usize {
    Arc::as_ptr(facts) as usize
}

/// Keeps `value`, giving up all others when there are too many.
fn keep<K: Eq + std::hash::Hash, V>(slots: &RwLock<FxHashMap<K, V>>, key: K, value: V) {
    let mut slots = slots.write();
    if slots.len() >= MOST {
        slots.clear();
    }
    slots.insert(key, value);
}

impl Memo {
    /// The review period. A zone that cannot be found counts as UTC: the model has said so already.
    pub(crate) fn period(&self, zone: &str, from: Date, days: u32) -> Option<Arc<Period>> {
        if let Some((known_zone, known_from, known_days, period)) = self.period.read().as_ref()
            && known_zone == zone
            && *known_from == from
            && *known_days == days
        {
            return Some(period.clone());
        }
        let found = Period::new(zone, from, days).or_else(|_| Period::new("UTC", from, days));
        let found = Arc::new(found.ok()?);
        *self.period.write() = Some((zone.to_owned(), from, days, found.clone()));
        Some(found)
    }

    /// A schedule's course, if it was worked out from the same.
    pub(crate) fn schedule(
        &self,
        facts: &Arc<Facts>,
        same: impl Fn(&TimedSchedule) -> bool,
    ) -> Option<Arc<TimedSchedule>> {
        self.schedules.read().get(&address(facts)).filter(|timed| same(timed)).cloned()
    }

    /// Keeps a schedule's course.
    pub(crate) fn keep_schedule(&self, timed: Arc<TimedSchedule>) {
        keep(&self.schedules, address(&timed.facts), timed);
    }

    /// The course that `key` stands for, which holds what the key's addresses point to.
    pub(crate) fn course(&self, key: Vec<usize>, make: impl FnOnce() -> Course) -> Arc<Course> {
        if let Some(course) = self.courses.read().get(&key) {
            return course.clone();
        }
        let course = Arc::new(make());
        keep(&self.courses, key, course.clone());
        course
    }

    /// The logic of a unit type.
    pub(crate) fn type_logic(&self, facts: &Arc<Facts>) -> Option<Arc<TypeLogic>> {
        let key = address(facts);
        if let Some((_, logic)) = self.types.read().get(&key) {
            return Some(logic.clone());
        }
        let model::Item::UnitType(unit_type) = &facts.item else {
            return None;
        };
        let logic = Arc::new(TypeLogic::of(unit_type));
        keep(&self.types, key, (facts.clone(), logic.clone()));
        Some(logic)
    }

    /// Drops what came from facts that no entry states any more. Cheap; called between edits.
    pub fn sweep(&self) {
        let mut schedules = self.schedules.write();
        schedules.retain(|_, timed| Arc::strong_count(&timed.facts) > 1);
        let current = |timed: &Arc<TimedSchedule>| {
            schedules.get(&address(&timed.facts)).is_some_and(|kept| Arc::ptr_eq(kept, timed))
        };
        let period = self.period.read().as_ref().map(|(.., period)| period.clone());
        self.courses.write().retain(|_, course| {
            period.as_ref().is_some_and(|p| Arc::ptr_eq(p, &course.period))
                && course.schedules.iter().all(current)
        });
        self.types.write().retain(|_, (facts, _)| Arc::strong_count(facts) > 1);
    }
}
