//! One local day of a schedule: who holds a value at which minute.
//!
//! The standard writes a day as a list of times and values, where a value holds until the next
//! time. Windows say the same without a list to keep in order.

use crate::{DayPlan, Rule, Schedule, Value, Window};

/// Minutes in a day without a clock change.
pub(crate) const DAY: u16 = 24 * 60;

/// Changes of value through a day as the wall clock shows it: minute and value, the first at 0,
/// neighbours differing.
pub(crate) type DayCourse = Vec<(u16, Value)>;

/// Minutes of a day over which a rule holds one value.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stretch {
    pub(crate) from: u16,
    pub(crate) to: u16,
    pub(crate) value: Value,
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
    value_in_window(plan, minute).or_else(|| first_end(plan).is_some_and(|end| end <= minute).then_some(off))
}

/// When the first window of a day is over.
fn first_end(plan: &[Window]) -> Option<u16> {
    plan.iter().filter(|window| window.start < window.end).map(|window| window.end).min()
}

fn value_in_window(plan: &[Window], minute: u16) -> Option<Value> {
    let covering = plan.iter().filter(|window| window.covers(minute));
    // Of equals `max_by_key` takes the last, which is the order `DayPlan` promises.
    covering.max_by_key(|window| window.start).map(|window| window.value)
}

/// What the windows of a day hold at each minute: each is put over those that start earlier, so that the time is
/// that of the windows and the day, and not of the two multiplied.
fn by_minute(plan: &[Window]) -> Vec<Option<Value>> {
    let mut minutes = vec![None; usize::from(DAY)];
    let mut windows: Vec<&Window> = plan.iter().filter(|window| window.start < window.end).collect();
    windows.sort_by_key(|window| window.start);
    for window in windows {
        let to = usize::from(window.end.min(DAY));
        if let Some(minutes) = minutes.get_mut(usize::from(window.start)..to) {
            minutes.fill(Some(window.value));
        }
    }
    minutes
}

/// The runs of one value, in order.
fn runs(minutes: impl Iterator<Item = Option<Value>>) -> Vec<Stretch> {
    let mut runs: Vec<Stretch> = Vec::new();
    for (minute, value) in (0..DAY).zip(minutes) {
        let Some(value) = value else { continue };
        match runs.last_mut() {
            Some(run) if run.to == minute && run.value == value => run.to = minute + 1,
            _ => runs.push(Stretch { from: minute, to: minute + 1, value }),
        }
    }
    runs
}

/// What an exception holds through a day, in order; it gives way everywhere else.
pub(crate) fn held(rule: &Rule, off: Value) -> Vec<Stretch> {
    match rule {
        Rule::Replace(plan) if plan.is_empty() => vec![Stretch { from: 0, to: DAY, value: off }],
        Rule::Replace(plan) => runs(by_minute(plan).into_iter().map(|value| value.or(Some(off)))),
        Rule::Add(plan) if plan.is_empty() => Vec::new(),
        Rule::Add(plan) => runs(by_minute(plan).into_iter()),
    }
}

/// The value beneath all exceptions, at each minute of a day with this plan.
pub(crate) fn beneath(schedule: &Schedule, plan: &DayPlan) -> Vec<Value> {
    let end = first_end(plan).unwrap_or(u16::MAX);
    let minutes = (0..DAY).zip(by_minute(plan));
    let fill = |minute| if end <= minute { schedule.off } else { schedule.default };
    minutes.map(|(minute, value)| value.unwrap_or_else(|| fill(minute))).collect()
}

/// Whether runs leave no minute of the day open.
pub(crate) fn fill_the_day(held: &[Stretch]) -> bool {
    let end = held.iter().try_fold(0, |end, run| (run.from == end).then_some(run.to));
    end == Some(DAY)
}

/// The changes of value of a day that is given by the minute.
pub(crate) fn course(minutes: impl Iterator<Item = Value>) -> DayCourse {
    let mut course: DayCourse = (0..DAY).zip(minutes).collect();
    course.dedup_by_key(|&mut (_, value)| value);
    course.shrink_to_fit();
    course
}

/// Words of 64 minutes that a day takes.
const WORDS: usize = (DAY as usize).div_ceil(64);

/// Who holds a value at each minute of a day, as exceptions claim it one after another, the one that wins first.
pub(crate) struct Claims {
    /// The exception that wins, and its value.
    pub(crate) first: Vec<Option<(u32, Value)>>,
    /// The value of the one that would win without it.
    pub(crate) second: Vec<Option<Value>>,
    /// Minutes that still want a claim. Where nothing is wanted, a claim costs a look at a few words.
    open: [u64; WORDS],
}

impl Claims {
    pub(crate) fn new() -> Self {
        let day = usize::from(DAY);
        let mut open = [u64::MAX; WORDS];
        if let Some(last) = open.last_mut()
            && day % 64 > 0
        {
            *last = (1 << (day % 64)) - 1;
        }
        Self { first: vec![None; day], second: vec![None; day], open }
    }

    /// Lets an exception claim what it holds.
    pub(crate) fn claim(&mut self, exception: u32, held: &[Stretch]) {
        for run in held {
            let (from, to) = (usize::from(run.from), usize::from(run.to));
            for (number, word) in self.open.iter_mut().enumerate().take(to.div_ceil(64)).skip(from / 64) {
                let base = number * 64;
                let mut wanted = *word & mask(from.max(base) - base, to.min(base + 64) - base);
                while wanted != 0 {
                    let bit = wanted.trailing_zeros() as usize;
                    wanted &= wanted - 1;
                    let Some(first) = self.first.get_mut(base + bit) else { continue };
                    if first.is_none() {
                        *first = Some((exception, run.value));
                    } else if let Some(second) = self.second.get_mut(base + bit) {
                        *second = Some(run.value);
                        *word &= !(1 << bit);
                    }
                }
            }
        }
    }
}

/// The bits from one to before another, both up to 64.
fn mask(from: usize, to: usize) -> u64 {
    let below = |bit: usize| if bit >= 64 { u64::MAX } else { (1 << bit) - 1 };
    below(to) & !below(from)
}
