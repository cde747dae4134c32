//! What the calls of a zone may do in a mode, for all values that the schedules of its limits come to.

use crate::calls::{CallRule, rules_with};
use crate::proof::constraint::{CallVar, Exclusion, constraints};
use crate::proof::schedules::Schedules;
use crate::proof::shape::{Excluded, Holding, RuleShape, SettingShape};
use crate::proof::state::State;
use crate::sensors::Sensors;
use model::{Call, Found, Mode, Zone};

/// What the calls of a zone may do in a mode.
pub(crate) struct ModeRules {
    /// What is ruled out at times or always, each once.
    pub(crate) constraints: Vec<Exclusion>,
    /// Numbers of the schedules that the mode's limits follow, and by whose values settings differ.
    follows: Vec<usize>,
    settings: Vec<RuleSet>,
}

/// The rules of a mode for some values of the schedules that its limits follow.
struct RuleSet {
    values: Vec<State>,
    rules: Vec<CallRule>,
    /// Numbers of the constraints that hold.
    constraints: Vec<usize>,
}

impl ModeRules {
    /// The rules for all states that the schedules are in at some time.
    pub(crate) fn of(
        schedules: &Schedules<'_>,
        (sensors, zone): (&Sensors, Found<'_, Zone>),
        mode: Mode,
        calls: &[CallVar],
        kinds: &[Box<[State]>],
    ) -> ModeRules {
        let limits = zone.is.limits(mode);
        let followed = limits.into_iter().flat_map(|l| &l.followed);
        let mut follows: Vec<usize> =
            followed.filter_map(|limit| schedules.number(&limit.schedule.value)).collect();
        follows.sort_unstable();
        follows.dedup();
        let mut rules = ModeRules { constraints: Vec::new(), follows, settings: Vec::new() };
        for states in kinds {
            if !rules.settings.iter().any(|held| held.values.iter().copied().eq(rules.values(states))) {
                let limits = schedules.limits(zone.is, mode, states);
                let found = rules_with(sensors, zone.is, limits.as_ref());
                let here = constraints(&found, calls, zone.entry.facts.doubtful());
                let numbers = here.into_iter().map(|about| rules.number(about)).collect();
                let values = rules.values(states).collect();
                rules.settings.push(RuleSet { values, rules: found, constraints: numbers });
            }
        }
        rules
    }

    fn number(&mut self, about: Exclusion) -> usize {
        let known = self.constraints.iter().position(|known| *known == about);
        known.unwrap_or_else(|| {
            self.constraints.push(about);
            self.constraints.len() - 1
        })
    }

    fn values<'s>(&'s self, states: &'s [State]) -> impl Iterator<Item = State> + 's {
        self.follows.iter().map(|n| states.get(*n).copied().unwrap_or(State::Unknown))
    }

    /// The rules in numbers; what else a constraint is about makes no difference to the states it leaves.
    pub(crate) fn shape(&self, schedules: &Schedules<'_>, calls: &[CallVar]) -> RuleShape {
        let var = |call: Call| calls.iter().find(|(known, _)| *known == call).map(|(_, var)| *var);
        let excluded = self.constraints.iter().map(|about| match about.calls() {
            (call, None) => Some(Excluded { first: var(call)?, second: None }),
            (one, Some(other)) => Some(Excluded { first: var(one)?, second: Some(var(other)?) }),
        });
        let settings = self.settings.iter().map(|held| {
            let follows = |call: Call| {
                let rule = held.rules.iter().find(|rule| rule.call == call)?;
                schedules.number(rule.follows.as_ref()?)
            };
            let holding = held.constraints.iter().filter_map(|n| {
                let (first, second) = self.constraints.get(*n)?.calls();
                Some(Holding { constraint: *n, follow: [follows(first), second.and_then(follows)] })
            });
            SettingShape { values: held.values.clone().into(), holding: holding.collect() }
        });
        RuleShape {
            excluded: excluded.collect(),
            follows: self.follows.clone().into(),
            settings: settings.collect(),
        }
    }

    /// The rules of the first setting in which a constraint holds.
    pub(crate) fn rules_of(&self, constraint: usize) -> &[CallRule] {
        let held = self.settings.iter().find(|held| held.constraints.contains(&constraint));
        held.map_or(&[], |held| &held.rules)
    }
}
