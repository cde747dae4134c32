//! A unit as one circuit: points, terminals, options and the lines of its type's logic, under what
//! schedules and thermostats allow. Any written fact of it can be left open.

use crate::calls::Mode;
use crate::logic_of_type::TypeLogic;
use crate::proof::followed::{Followed, Hours, State};
use crate::proof::setting::ModeRules;
use crate::signal::{Feed, Signal};
use crate::variables;
use crate::wires::Wires;
use logic::{Cube, Function, Literal, Var};
use std::sync::Arc;

/// A written fact that the circuit rests on, by its numbers in it.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) enum Fact {
    /// The choice made for an option.
    Choice(usize),
    /// What is wired to an input.
    Wiring(usize),
    /// A line of the point list.
    Point(usize),
    /// When a schedule is occupied.
    Windows(usize),
    /// That a zone follows its schedule.
    Follows(usize),
    /// What the limits of a zone rule out in a mode.
    Limit(usize, Mode, usize),
    /// A line of the type's logic.
    Line(usize),
}

/// Whether a fact is left open, so that anything may stand in its place.
pub(crate) type Open<'o> = &'o dyn Fn(Fact) -> bool;

/// Nothing is left open.
pub(crate) const AS_WRITTEN: Open<'static> = &|_| false;

/// The parts of a unit.
#[derive(Clone, Copy)]
pub(crate) struct Circuit<'a, 'j> {
    pub(crate) logic: &'a Arc<TypeLogic>,
    pub(crate) wires: &'a Wires,
    pub(crate) signals: &'a [Signal],
    /// The choice of each option, by number; nothing where it could not be told.
    pub(crate) chosen: &'a [Option<usize>],
    pub(crate) followed: &'a Followed<'j>,
}

impl Circuit<'_, '_> {
    /// Every variable of the type as a function of the atoms and of what is open.
    pub(crate) fn values(&self, open: Open<'_>) -> Vec<Function> {
        let points = self.points(open);
        let mut values: Vec<Function> =
            (0..self.signals.len()).map(|i| self.terminal(i, &points, open)).collect();
        for (option, vars) in self.logic.choices.iter().enumerate() {
            let chosen = self.chosen(option, open);
            values.extend(vars.clone().enumerate().map(|(i, var)| match chosen {
                Some(chosen) => Function::constant(i == chosen),
                None => Function::var(variables::of_type(Var(var))),
            }));
        }
        for (n, gate) in self.logic.gates.iter().enumerate() {
            unknown_up_to(gate.var, &mut values);
            values.push(if open(Fact::Line(n)) {
                Function::var(variables::of_type(gate.var))
            } else {
                Function::substituted(&gate.expr, |var| value(&values, var))
            });
        }
        values
    }

    fn points(&self, open: Open<'_>) -> Vec<Function> {
        let mut values: Vec<Function> = Vec::with_capacity(self.wires.lines().len());
        for (n, line) in self.wires.lines().iter().enumerate() {
            values.push(if open(Fact::Point(n)) {
                Function::var(variables::of_point(n))
            } else {
                Function::substituted(&line.near, |var| point_value(&values, var))
            });
        }
        values
    }

    fn terminal(&self, input: usize, points: &[Function], open: Open<'_>) -> Function {
        let mut at = input;
        loop {
            if open(Fact::Wiring(at)) {
                return Function::var(variables::of_type(Var(at as u16)));
            }
            match self.signals.get(at).map(|s| &s.feed) {
                Some(Feed::Tie(other)) => at = *other,
                Some(Feed::Value(expr)) => {
                    return Function::substituted(expr, |var| point_value(points, var));
                }
                Some(Feed::Open) | None => return Function::constant(false),
            }
        }
    }

    fn chosen(&self, option: usize, open: Open<'_>) -> Option<usize> {
        self.chosen.get(option).copied().flatten().filter(|_| !open(Fact::Choice(option)))
    }

    /// The states in which every open option has one choice.
    fn choices(&self, open: Open<'_>) -> Function {
        let undecided =
            self.logic.choices.iter().enumerate().filter(|(option, _)| self.chosen(*option, open).is_none());
        Function::all(undecided.map(|(_, vars)| {
            let vars = vars.clone().map(|var| Function::var(variables::of_type(Var(var))));
            exactly_one(&vars.collect::<Vec<_>>())
        }))
    }

    /// What time decides while the schedules are in these states: the schedules' atoms, and the
    /// states that everything else may take.
    pub(crate) fn moment(&self, states: &[State], open: Open<'_>) -> (Cube, Function) {
        let decided = |n: usize| states.get(n).and_then(|s| s.is_on()).filter(|_| !open(Fact::Windows(n)));
        let schedules = self.followed.schedules.iter().enumerate();
        let literals = schedules.filter_map(|(n, s)| Some(Literal { var: s.var, value: decided(n)? }));
        let scheduled = Cube::new(literals).unwrap_or_default();
        let mut allowed = self.choices(open);
        for (z, calling) in self.followed.zones.iter().enumerate() {
            let occupied = match calling.hours {
                Hours::Always => Function::constant(true),
                Hours::Scheduled(n) if !open(Fact::Follows(z)) => {
                    match (decided(n), self.followed.schedules.get(n)) {
                        (Some(on), _) => Function::constant(on),
                        (None, schedule) => {
                            Function::var(schedule.map_or_else(|| variables::of_schedule(n), |s| s.var))
                        }
                    }
                }
                Hours::Scheduled(_) | Hours::Unknown => Function::var(variables::of_mode(z)),
            };
            let leaves = |rules: &ModeRules| {
                let at_will = |n| open(Fact::Windows(n));
                let holding = rules.holding(states, self.followed, at_will);
                let kept = holding.filter(|(k, _)| !open(Fact::Limit(z, rules.mode, *k)));
                Function::all(kept.map(|(_, c)| c.leaves.clone()))
            };
            let [while_occupied, while_unoccupied] = calling.modes.as_slice() else { continue };
            let by_mode = match occupied.as_constant() {
                Some(true) => leaves(while_occupied),
                Some(false) => leaves(while_unoccupied),
                None => {
                    occupied.implication(&leaves(while_occupied)).and(&occupied.or(&leaves(while_unoccupied)))
                }
            };
            allowed = allowed.and(&calling.laws).and(&by_mode);
        }
        (scheduled, allowed)
    }
}

/// The function behind a variable of a type; one that means nothing where there is no such.
pub(crate) fn value(values: &[Function], var: Var) -> Function {
    values.get(usize::from(var.0)).cloned().unwrap_or_else(|| Function::var(variables::of_type(var)))
}

/// Names that could not be found stand between the lines of the logic, and may be on or off.
fn unknown_up_to(var: Var, values: &mut Vec<Function>) {
    while values.len() < usize::from(var.0) {
        values.push(Function::var(variables::of_type(Var(values.len() as u16))));
    }
}

fn point_value(points: &[Function], var: Var) -> Function {
    match variables::point(var) {
        Some(n) => points.get(n).cloned().unwrap_or_else(Function::unknown),
        None => Function::var(var),
    }
}

/// On where one of some functions is, and only one.
pub(crate) fn exactly_one(vars: &[Function]) -> Function {
    let mut none = Function::constant(true);
    let mut one = Function::constant(false);
    for var in vars {
        one = one.and(&var.not()).or(&none.and(var));
        none = none.and(&var.not());
    }
    one
}
