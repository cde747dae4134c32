//! The limits of a zone as they are set at one time and another: by mode, and by the values of the schedules that
//! they follow.

use crate::calls::{CallRule, Mode, rules_with};
use crate::memo::Memo;
use crate::proof::constraint::{Call, Constraint, constraints};
use crate::proof::course::Course;
use crate::proof::followed::{Followed, Hours, State};
use crate::proof::shape::Writer;
use crate::sensors::Sensors;
use crate::time::period;
use model::{Found, Limits, View, Zone};

/// Limits that hold together at some time of the review period.
#[derive(Clone, PartialEq)]
pub struct Setting {
    /// The mode.
    pub mode: Mode,
    /// The limits, with the values of the schedules that they follow.
    pub limits: Limits,
}

/// The settings of a zone: one for each mode, or for each set of values that come together in it in the
/// review period.
pub fn settings(view: &View<'_>, memo: &Memo, zone: Found<'_, Zone>) -> Vec<Setting> {
    let written = Mode::ALL.into_iter().filter_map(|mode| Some((mode, mode.limits(zone.is)?)));
    let (fixed, following): (Vec<_>, Vec<_>) = written.partition(|(_, limits)| limits.followed.is_empty());
    let mut settings: Vec<Setting> =
        fixed.into_iter().map(|(mode, limits)| Setting { mode, limits: limits.clone() }).collect();
    let Some(period) = period(view, memo).filter(|_| !following.is_empty()) else { return settings };
    let followed = Followed::of(view, memo, &[], Some(zone));
    let course = Course::of(memo, &period, followed.timed());
    for kind in &course.kinds {
        let states = followed.states(kind);
        let own = followed.own_mode(&states);
        for (mode, _) in following.iter().filter(|(mode, _)| own.is_none_or(|own| own == *mode)) {
            let limits = followed.limits(zone.is, *mode, &states);
            let setting = limits.map(|limits| Setting { mode: *mode, limits });
            settings.extend(setting.filter(|setting| !settings.contains(setting)));
        }
    }
    // Stable: of one mode in the order in which they first come.
    settings.sort_by_key(|setting| setting.mode == Mode::Unoccupied);
    settings
}

/// What the calls of a zone may do in a mode.
pub(crate) struct ModeRules {
    pub(crate) mode: Mode,
    /// What is ruled out at times or always, each once.
    pub(crate) constraints: Vec<Constraint>,
    /// Numbers of the schedules that the mode's limits follow, and by whose values settings differ.
    follows: Vec<usize>,
    settings: Vec<Held>,
}

/// The rules of a mode for some values of the schedules that its limits follow.
struct Held {
    values: Vec<State>,
    rules: Vec<CallRule>,
    /// Numbers of the constraints that hold.
    constraints: Vec<usize>,
}

impl ModeRules {
    /// The rules for all states that the schedules are in at some time.
    pub(crate) fn of(
        followed: &Followed<'_>,
        (sensors, zone): (&Sensors, Found<'_, Zone>),
        mode: Mode,
        calls: &[Call],
        kinds: &[Vec<State>],
    ) -> ModeRules {
        let limits = mode.limits(zone.is);
        let schedules = limits.into_iter().flat_map(|l| &l.followed);
        let mut follows: Vec<usize> =
            schedules.filter_map(|limit| followed.number(&limit.schedule.value)).collect();
        follows.sort_unstable();
        follows.dedup();
        let mut rules = ModeRules { mode, constraints: Vec::new(), follows, settings: Vec::new() };
        for states in kinds {
            if rules.held(states).is_none() {
                let limits = followed.limits(zone.is, mode, states);
                let found = rules_with(sensors, zone.is, limits.as_ref());
                let here = constraints(&found, calls, zone.entry.facts.doubtful());
                let numbers = here.into_iter().map(|constraint| rules.number(constraint)).collect();
                let values = rules.values(states).collect();
                rules.settings.push(Held { values, rules: found, constraints: numbers });
            }
        }
        rules
    }

    fn number(&mut self, constraint: Constraint) -> usize {
        let known = self.constraints.iter().position(|c| c.about == constraint.about);
        known.unwrap_or_else(|| {
            self.constraints.push(constraint);
            self.constraints.len() - 1
        })
    }

    fn values<'s>(&'s self, states: &'s [State]) -> impl Iterator<Item = State> + 's {
        self.follows.iter().map(|n| states.get(*n).copied().unwrap_or(State::Unknown))
    }

    fn held(&self, states: &[State]) -> Option<&Held> {
        self.settings.iter().find(|held| held.values.iter().copied().eq(self.values(states)))
    }

    /// The constraints, by number, that hold while the schedules are in these states. What a schedule whose windows
    /// are `open` may set to anything rules nothing out.
    pub(crate) fn holding<'s>(
        &'s self,
        states: &[State],
        followed: &'s Followed<'_>,
        open: impl Fn(usize) -> bool + 's,
    ) -> impl Iterator<Item = (usize, &'s Constraint)> {
        let held = self.held(states);
        let numbers = held.into_iter().flat_map(move |held| held.constraints.iter().map(move |k| (held, *k)));
        numbers.filter_map(move |(held, k)| {
            let constraint = self.constraints.get(k)?;
            let at_will = |call: &str| {
                let rule = held.rules.iter().find(|rule| rule.call == call);
                rule.and_then(|rule| followed.number(rule.follows.as_ref()?)).is_some_and(&open)
            };
            (self.follows.is_empty() || !constraint.about.calls().any(at_will)).then_some((k, constraint))
        })
    }

    /// Writes down all that [`ModeRules::holding`] goes by.
    pub(crate) fn write(&self, followed: &Followed<'_>, writer: &mut Writer) {
        writer.list(&self.constraints, |w, constraint| {
            // What else it is about makes no difference to the states it leaves.
            w.list(&constraint.about.calls().collect::<Vec<_>>(), |w, call| w.text(call));
        });
        writer.list(&self.follows, |w, schedule| w.number(Some(*schedule)));
        writer.list(&self.settings, |w, held| {
            w.list(&held.values, |w, state| w.state(*state));
            w.list(&held.constraints, |w, constraint| w.number(Some(*constraint)));
            w.list(&held.rules, |w, rule| {
                w.text(rule.call);
                w.number(rule.follows.as_ref().and_then(|schedule| followed.number(schedule)));
            });
        });
    }

    /// The rules of the first setting in which a constraint holds.
    pub(crate) fn rules_of(&self, constraint: usize) -> &[CallRule] {
        let held = self.settings.iter().find(|held| held.constraints.contains(&constraint));
        held.map_or(&[], |held| &held.rules)
    }
}

impl Followed<'_> {
    /// The mode of the unit's own zone while the schedules are in these states; nothing if that cannot be told.
    pub(crate) fn own_mode(&self, states: &[State]) -> Option<Mode> {
        let occupied = match self.own {
            Hours::Always => true,
            Hours::Scheduled(n) => states.get(n)?.is_on()?,
            Hours::Unknown => return None,
        };
        Some(if occupied { Mode::Occupied } else { Mode::Unoccupied })
    }

    /// A zone's limits of a mode while the schedules are in these states.
    pub(crate) fn limits(&self, zone: &Zone, mode: Mode, states: &[State]) -> Option<Limits> {
        let value = |limit: &model::FollowedLimit| {
            let n = self.number(&limit.schedule.value)?;
            self.schedules.get(n)?.quantity(*states.get(n)?)
        };
        Some(mode.limits(zone)?.with(value))
    }
}
