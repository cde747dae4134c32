//! What many entries have in common, worked out once: periods, timelines, the logic of types.
//!
//! Everything is keyed by the facts it came from, so nothing has to be invalidated: other facts,
//! other key. What no entry holds any more is dropped by [`Memo::sweep`].

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
    period: RwLock<Option<(String, Date, u32, Arc<Period>)>>,
    pub(crate) schedules: RwLock<FxHashMap<usize, Arc<TimedSchedule>>>,
    types: RwLock<FxHashMap<usize, (Arc<Facts>, Arc<TypeLogic>)>>,
}

/// The address of facts, which stays theirs while the memo holds them.
pub(crate) fn address(facts: &Arc<Facts>) -> usize {
    Arc::as_ptr(facts) as usize
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

    /// The logic of a unit type.
    pub(crate) fn type_logic(&self, facts: &Arc<Facts>) -> Option<Arc<TypeLogic>> {
        let key = address(facts);
        if let Some((_, logic)) = self.types.read().get(&key) {
            return Some(logic.clone());
        }
        let model::Item::UnitType(unit_type) = &facts.item else { return None };
        let logic = Arc::new(TypeLogic::of(unit_type));
        self.types.write().insert(key, (facts.clone(), logic.clone()));
        Some(logic)
    }

    /// Drops what came from facts that no entry states any more. Cheap; called between edits.
    pub fn sweep(&self) {
        self.schedules.write().retain(|_, timed| Arc::strong_count(&timed.facts) > 1);
        self.types.write().retain(|_, (facts, _)| Arc::strong_count(facts) > 1);
    }
}
