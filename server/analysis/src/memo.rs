//! What many entries have in common, worked out once: periods, timelines, the logic of types.
//!
//! Everything is keyed by the facts it came from, so nothing has to be invalidated: other facts,
//! other key. What no entry holds any more is dropped by [`Memo::sweep`].

use crate::drift::{Outdoors, Prediction, SiteWeather};
use crate::logic_of_type::TypeLogic;
use crate::proof::course::Course;
use crate::proof::shape::Shape;
use crate::proof::solved::Solved;
use crate::time::TimedSchedule;
use air::MoistAir;
use air::weather::Weather;
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
    solved: RwLock<FxHashMap<Shape, Arc<Solved>>>,
    weather: RwLock<Option<KnownWeather>>,
    outdoors: RwLock<Option<Arc<Outdoors>>>,
    predictions: RwLock<FxHashMap<PredictionKey, KnownPrediction>>,
}

/// Time zone, first day, number of days, and their period.
type KnownPeriod = (String, Date, u32, Arc<Period>);

type KnownType = (Arc<Facts>, Arc<TypeLogic>);

/// The weather, and the text or the state it was made from.
type KnownWeather = (WeatherSource, Arc<SiteWeather>);

enum WeatherSource {
    Text(Arc<str>),
    State(MoistAir),
}

/// The address of the outdoor air, all numbers of the zone, and the kind of each hour.
pub(crate) type PredictionKey = (usize, String, Arc<[u8]>);

/// A prediction, and the outdoor air whose address stands in its key.
type KnownPrediction = (Arc<Outdoors>, Option<Arc<Prediction>>);

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

    /// What follows from a unit's shape.
    pub(crate) fn solved(&self, shape: Shape, make: impl FnOnce() -> Solved) -> Arc<Solved> {
        if let Some(solved) = self.solved.read().get(&shape) {
            return solved.clone();
        }
        let solved = Arc::new(make());
        keep(&self.solved, shape, solved.clone());
        solved
    }

    /// Weather read from a text.
    pub(crate) fn weather(&self, text: &Arc<str>, read: impl FnOnce() -> SiteWeather) -> Arc<SiteWeather> {
        self.known_weather(WeatherSource::Text(text.clone()), read)
    }

    /// Weather that is the same at every hour.
    pub(crate) fn constant_weather(&self, air: MoistAir) -> Arc<SiteWeather> {
        let make = || SiteWeather { weather: Weather::constant(air), file: None };
        self.known_weather(WeatherSource::State(air), make)
    }

    fn known_weather(&self, source: WeatherSource, make: impl FnOnce() -> SiteWeather) -> Arc<SiteWeather> {
        if let Some((known, weather)) = self.weather.read().as_ref()
            && known.same(&source)
        {
            return weather.clone();
        }
        // Held while it is made: a thousand zones ask at once, and one reading is enough.
        let mut slot = self.weather.write();
        if let Some((known, weather)) = slot.as_ref()
            && known.same(&source)
        {
            return weather.clone();
        }
        let weather = Arc::new(make());
        *slot = Some((source, weather.clone()));
        weather
    }

    /// Outdoor air over a period.
    pub(crate) fn outdoors(
        &self,
        weather: &Arc<SiteWeather>,
        period: &Arc<Period>,
        make: impl FnOnce() -> Outdoors,
    ) -> Arc<Outdoors> {
        let same = |o: &Outdoors| Arc::ptr_eq(&o.weather, weather) && Arc::ptr_eq(&o.period, period);
        if let Some(outdoors) = self.outdoors.read().as_ref().filter(|o| same(o)) {
            return outdoors.clone();
        }
        let mut slot = self.outdoors.write();
        if let Some(outdoors) = slot.as_ref().filter(|o| same(o)) {
            return outdoors.clone();
        }
        let outdoors = Arc::new(make());
        *slot = Some(outdoors.clone());
        outdoors
    }

    /// What a zone of these numbers comes to under this outdoor air.
    pub(crate) fn prediction(
        &self,
        key: PredictionKey,
        outdoors: &Arc<Outdoors>,
        make: impl FnOnce() -> Option<Prediction>,
    ) -> Option<Arc<Prediction>> {
        if let Some((_, known)) = self.predictions.read().get(&key) {
            return known.clone();
        }
        let prediction = make().map(Arc::new);
        keep(&self.predictions, key, (outdoors.clone(), prediction.clone()));
        prediction
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
        let mut types = self.types.write();
        types.retain(|_, (facts, _)| Arc::strong_count(facts) > 1);
        let current = |of: &Arc<TypeLogic>| types.values().any(|(_, logic)| Arc::ptr_eq(logic, of));
        self.solved.write().retain(|_, solved| current(&solved.logic));
        drop(types);
        let current = self.outdoors.read().clone();
        let current = |of: &Arc<Outdoors>| current.as_ref().is_some_and(|now| Arc::ptr_eq(now, of));
        self.predictions.write().retain(|_, (outdoors, _)| current(outdoors));
    }
}

impl WeatherSource {
    /// Whether it is the very same; a text is known by its address, since it is long.
    fn same(&self, other: &WeatherSource) -> bool {
        match (self, other) {
            (WeatherSource::Text(a), WeatherSource::Text(b)) => Arc::ptr_eq(a, b),
            (WeatherSource::State(a), WeatherSource::State(b)) => a == b,
            _ => false,
        }
    }
}
