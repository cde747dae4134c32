//! What the exceptions of a schedule do within a period, and where they get in each other's way.

use std::collections::HashMap;

use jiff::civil::Date;

use crate::day::{DAY, Stretch, beneath};
use crate::days::{NamedDays, OnDays, WEEK, by_precedence, weekdays};
use crate::{ClockChangeKind, LocalTime, Period, Schedule, Value};

/// What exceptions do within a period.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExceptionReview {
    /// One for each exception of the schedule, in its order.
    pub effects: Vec<ExceptionEffect>,
    /// Pairs of exceptions between which only the order of the list decides: of each that loses the first, in the
    /// order of the losers' precedence.
    pub collisions: Vec<Collision>,
}

/// What one exception does within a period.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExceptionEffect {
    /// How many days of the period it is on.
    pub days: u32,
    /// The first of them.
    pub first: Option<Date>,
    /// Whether the schedule is effective on any of them.
    pub effective: bool,
    /// First moment at which the schedule's value is this exception's.
    pub decides: Option<LocalTime>,
    /// First moment at which the value would be another without it.
    pub changes: Option<LocalTime>,
    /// Indices of the first few exceptions that win over it at some moment, in the order they are met.
    pub covered_by: Vec<usize>,
    /// Whether it wins at some moment over one that never decides.
    pub hides_another: bool,
    /// Whether it loses by its place in the list.
    pub collides: bool,
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
    /// The value that each holds there, the winner's first.
    pub values: [Value; 2],
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

/// So many that win over an exception are named.
const FEW: usize = 16;

/// So many steps are taken to find who wins over whom, when days differ from each other more than those of any
/// schedule that somebody wrote; behind them some reasons are not named.
const MOST_STEPS: usize = 100_000_000;

/// What every exception comes to within the period.
pub fn review_exceptions(schedule: &Schedule, period: &Period) -> ExceptionReview {
    let weekdays = weekdays(schedule, period);
    let mut effects = vec![ExceptionEffect::default(); schedule.exceptions.len()];
    let days = OnDays::new(schedule, period, 2, |exception, days| {
        if let Some(effect) = effects.get_mut(exception as usize) {
            effect.days = days.len() as u32;
            effect.first = days.first().and_then(|day| period.dates().get(*day as usize)).copied();
            let effective = |day: &u32| weekdays.get(*day as usize).is_some_and(Option::is_some);
            effect.effective = days.iter().any(effective);
        }
    });
    let mut review = ExceptionReview { effects, collisions: Vec::new() };
    let won = Won::new(schedule, period, &days, &weekdays, &mut review);
    review.lost(schedule, period, &days, &won);
    review
}

/// Minutes over which one exception wins.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Winner {
    from: u16,
    to: u16,
    exception: u32,
    value: Value,
}

/// Who wins when, day by day. Days that are alike share one list.
struct Won {
    /// The list of each day, by its index in the period; nothing where no exception is on.
    of_day: Vec<Option<usize>>,
    lists: Vec<Vec<Winner>>,
}

impl Won {
    /// Works out who wins, and notes where that first decides or changes a value.
    fn new(
        schedule: &Schedule,
        period: &Period,
        days: &OnDays,
        weekdays: &[Option<usize>],
        review: &mut ExceptionReview,
    ) -> Won {
        let plans: Vec<Vec<Value>> = schedule.week.iter().map(|plan| beneath(schedule, plan)).collect();
        let mut won = Won { of_day: vec![None; days.of_day.len()], lists: Vec::new() };
        let mut known: HashMap<Vec<Winner>, usize> = HashMap::new();
        let mut latest: [(&[u32], Option<usize>); WEEK] = [(&[], None); WEEK];
        for (day, on) in days.of_day.iter().enumerate().filter(|(_, on)| !on.is_empty()) {
            let Some((weekday, plan)) =
                weekdays.get(day).copied().flatten().and_then(|w| Some((w, plans.get(w)?)))
            else {
                continue;
            };
            let Some(&date) = period.dates().get(day) else { continue };
            let skips: Vec<_> = period
                .clock_changes()
                .iter()
                .filter(|run| run.change == ClockChangeKind::Skipped && run.date == date)
                .collect();
            let Some(latest) = latest.get_mut(weekday) else { continue };
            let same = latest.1.filter(|_| skips.is_empty() && latest.0 == on.as_slice());
            let list = same.unwrap_or_else(|| {
                let claims = days.claims(day);
                let mut list: Vec<Winner> = Vec::new();
                let seconds = claims.second.iter().zip(plan);
                for ((minute, first), (second, beneath)) in (0..DAY).zip(&claims.first).zip(seconds) {
                    let Some((exception, value)) = *first else { continue };
                    if skips.iter().any(|run| run.covers(minute)) {
                        continue;
                    }
                    if let Some(effect) = review.effects.get_mut(exception as usize) {
                        let at = LocalTime { date, minute };
                        effect.decides.get_or_insert(at);
                        if second.unwrap_or(*beneath) != value {
                            effect.changes.get_or_insert(at);
                        }
                    }
                    match list.last_mut() {
                        Some(last) if (last.to, last.exception, last.value) == (minute, exception, value) => {
                            last.to = minute + 1;
                        }
                        _ => list.push(Winner { from: minute, to: minute + 1, exception, value }),
                    }
                }
                *known.entry(list).or_insert_with_key(|list| {
                    won.lists.push(list.clone());
                    won.lists.len() - 1
                })
            });
            if skips.is_empty() {
                *latest = (on, Some(list));
            }
            if let Some(of_day) = won.of_day.get_mut(day) {
                *of_day = Some(list);
            }
        }
        won
    }
}

impl ExceptionReview {
    /// Notes who wins over each exception, and where only the order of the list decides.
    fn lost(&mut self, schedule: &Schedule, period: &Period, days: &OnDays, won: &Won) {
        let mut named = NamedDays::new(period);
        // The exception for which each list was looked at last.
        let mut seen = vec![u32::MAX; won.lists.len()];
        let mut steps = 0;
        for (loser, exception) in by_precedence(schedule) {
            let own = days.held.get(loser as usize).map_or(&[][..], Vec::as_slice);
            for &day in named.of(exception).iter() {
                let Some(list) = won.of_day.get(day as usize).copied().flatten() else { continue };
                let Some(seen) = seen.get_mut(list).filter(|seen| **seen != loser) else { continue };
                *seen = loser;
                let (Some(list), Some(&date)) = (won.lists.get(list), period.dates().get(day as usize))
                else {
                    continue;
                };
                steps += own.len() + list.len();
                if steps > MOST_STEPS {
                    return;
                }
                for (winner, value, minute) in overlaps(list, own) {
                    if winner.exception != loser {
                        self.loses(schedule, loser, winner, value, LocalTime { date, minute });
                    }
                }
            }
        }
    }

    fn loses(&mut self, schedule: &Schedule, loser: u32, winner: Winner, value: Value, at: LocalTime) {
        let (wins, loses) = (winner.exception as usize, loser as usize);
        let priority = |index: usize| schedule.exceptions.get(index).map(|exception| exception.priority);
        let Some(effect) = self.effects.get_mut(loses) else { return };
        if effect.covered_by.len() < FEW && !effect.covered_by.contains(&wins) {
            effect.covered_by.push(wins);
        }
        if value != winner.value && priority(wins) == priority(loses) && !effect.collides {
            effect.collides = true;
            self.collisions.push(Collision { wins, loses, at, values: [winner.value, value] });
        }
        if effect.decides.is_none()
            && let Some(winner) = self.effects.get_mut(wins)
        {
            winner.hides_another = true;
        }
    }
}

/// Where winners and what another holds meet, in order: the winner, the value of the other, the first minute.
fn overlaps<'a>(
    winners: &'a [Winner],
    held: &'a [Stretch],
) -> impl Iterator<Item = (Winner, Value, u16)> + 'a {
    let (mut winners, mut held) = (winners, held);
    std::iter::from_fn(move || {
        loop {
            let (winner, run) = (*winners.first()?, *held.first()?);
            let from = winner.from.max(run.from);
            let meets = from < winner.to.min(run.to);
            if winner.to <= run.to {
                winners = winners.get(1..).unwrap_or_default();
            } else {
                held = held.get(1..).unwrap_or_default();
            }
            if meets {
                return Some((winner, run.value, from));
            }
        }
    })
}
