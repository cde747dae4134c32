//! A unit as one circuit: points, terminals, options and the lines of its type's logic, under what
//! schedules and thermostats allow. Any written fact of it can be left open.

use crate::logic_of_type::exactly_one;
use crate::proof::constraint::laws;
use crate::proof::shape::{Excluded, Shape};
use crate::proof::state::{ByMode, OccupiedHours, State};
use crate::signal::Feed;
use crate::variables;
use logic::{Bounds, Cube, Expr, Function, Literal, Var};
use model::Mode;
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

impl Fact {
    /// How gladly it is left out of a set: wiring and schedules are named before setpoints, since a
    /// contractor looks there first. Lines of the logic come between, since hardly a set does
    /// without any.
    pub(crate) fn weight(self) -> u32 {
        match self {
            Fact::Choice(_) | Fact::Wiring(_) | Fact::Point(_) | Fact::Windows(_) | Fact::Follows(_) => 1,
            Fact::Line(_) => 2,
            Fact::Limit(..) => 4,
        }
    }
}

/// Whether a fact is left open, so that anything may stand in its place.
pub(crate) type IsOpen<'o> = &'o dyn Fn(Fact) -> bool;

/// Nothing is left open.
pub(crate) const AS_WRITTEN: IsOpen<'static> = &|_| false;

/// A unit's shape, with what its zones' limits come to.
pub(crate) struct Circuit {
    pub(crate) shape: Arc<Shape>,
    zones: Box<[ZoneFunctions]>,
}

/// What the calls of a zone may do.
struct ZoneFunctions {
    /// What holds by what they are.
    laws: Function,
    /// The states that each constraint leaves.
    leaves: ByMode<Box<[Function]>>,
}

impl Circuit {
    pub(crate) fn of(shape: &Arc<Shape>) -> Circuit {
        let leaves = |excluded: &Option<Excluded>| match excluded {
            Some(Excluded { first, second: None }) => Function::var(*first).not(),
            Some(Excluded { first, second: Some(second) }) => {
                Function::var(*first).and(&Function::var(*second)).not()
            }
            None => Function::constant(true),
        };
        let zones = shape.zones.iter().map(|zone| ZoneFunctions {
            laws: laws(&zone.calls),
            leaves: ByMode::of(|mode| zone.rules.get(mode).excluded.iter().map(leaves).collect()),
        });
        Circuit { zones: zones.collect(), shape: shape.clone() }
    }

    /// Every variable of the type as a function of the atoms and of what is open.
    pub(crate) fn values(&self, open: IsOpen<'_>) -> Vec<Function> {
        self.values_with(&self.shape.chosen, open)
    }

    /// The same with other choices than those made.
    pub(crate) fn values_with(&self, chosen: &[Option<usize>], open: IsOpen<'_>) -> Vec<Function> {
        let points = self.points(open);
        let mut values: Vec<Function> =
            (0..self.shape.feeds.len()).map(|i| self.terminal(i, &points, open)).collect();
        for (option, vars) in self.shape.logic.choices.iter().enumerate() {
            let chosen = choice(chosen, option, open);
            values.extend(vars.clone().enumerate().map(|(i, var)| match chosen {
                Some(chosen) => Function::constant(i == chosen),
                None => left_open(Var(var)),
            }));
        }
        self.shape.logic.values(values, left_open, |n, gate, values| {
            if open(Fact::Line(n)) {
                left_open(gate.var)
            } else {
                meaning(&gate.expr, |var| value(values, var))
            }
        })
    }

    fn points(&self, open: IsOpen<'_>) -> Vec<Function> {
        let mut values: Vec<Function> = Vec::with_capacity(self.shape.points.len());
        for (n, point) in self.shape.points.iter().enumerate() {
            values.push(if open(Fact::Point(n)) {
                variables::function(variables::of_point(n))
            } else {
                meaning(&point.near, |var| point_value(&values, var))
            });
        }
        values
    }

    fn terminal(&self, input: usize, points: &[Function], open: IsOpen<'_>) -> Function {
        let mut at = input;
        loop {
            if open(Fact::Wiring(at)) {
                return variables::own(at).map_or_else(Function::unknown, left_open);
            }
            match self.shape.feeds.get(at) {
                Some(Feed::Tie(other)) => at = *other,
                Some(Feed::Value(expr)) => {
                    return meaning(expr, |var| point_value(points, var));
                }
                Some(Feed::Open) | None => return Function::constant(false),
            }
        }
    }

    /// The states in which every open option has one choice.
    fn choices(&self, open: IsOpen<'_>) -> Function {
        let Shape { logic, chosen, .. } = &*self.shape;
        let options = logic.choices.iter().enumerate();
        let undecided = options.filter(|(option, _)| choice(chosen, *option, open).is_none());
        Function::all(undecided.map(|(_, vars)| {
            let vars = vars.clone().map(|var| left_open(Var(var)));
            exactly_one(&vars.collect::<Vec<_>>())
        }))
    }

    /// What time decides while the schedules are in these states: the schedules' atoms, and the
    /// states that everything else may take.
    pub(crate) fn moment(&self, states: &[State], open: IsOpen<'_>) -> (Cube, Function) {
        let decided = |n: usize| states.get(n).and_then(|s| s.is_on()).filter(|_| !open(Fact::Windows(n)));
        let schedules = self.shape.schedules.iter().enumerate();
        let literals = schedules.filter_map(|(n, var)| Some(Literal { var: *var, value: decided(n)? }));
        let scheduled = Cube::new(literals).unwrap_or_default();
        let mut allowed = self.choices(open);
        for (z, (zone, functions)) in self.shape.zones.iter().zip(&self.zones).enumerate() {
            let occupied = match zone.hours {
                OccupiedHours::Always => Function::constant(true),
                OccupiedHours::Scheduled(n) if !open(Fact::Follows(z)) => {
                    match (decided(n), self.shape.schedules.get(n)) {
                        (Some(on), _) => Function::constant(on),
                        (None, var) => {
                            variables::function(var.copied().or_else(|| variables::of_schedule(n)))
                        }
                    }
                }
                OccupiedHours::Scheduled(_) | OccupiedHours::Unknown => {
                    variables::function(variables::of_mode(z))
                }
            };
            let leaves = |mode: Mode| {
                let holding = zone.rules.get(mode).holding(states, |n| open(Fact::Windows(n)));
                let kept = holding.filter(|k| !open(Fact::Limit(z, mode, *k)));
                Function::all(kept.filter_map(|k| functions.leaves.get(mode).get(k).cloned()))
            };
            let by_mode = match occupied.as_constant() {
                Some(true) => leaves(Mode::Occupied),
                Some(false) => leaves(Mode::Unoccupied),
                None => {
                    let [while_occupied, while_unoccupied] = Mode::ALL.map(leaves);
                    occupied.implication(&while_occupied).and(&occupied.or(&while_unoccupied))
                }
            };
            allowed = allowed.and(&functions.laws).and(&by_mode);
        }
        (scheduled, allowed)
    }
}

/// The choice of an option, by number; nothing where it is not known or is open.
fn choice(chosen: &[Option<usize>], option: usize, open: IsOpen<'_>) -> Option<usize> {
    chosen.get(option).copied().flatten().filter(|_| !open(Fact::Choice(option)))
}

/// What an expression comes to; not known where the work is past its bounds.
fn meaning(expr: &Expr, by: impl FnMut(Var) -> Function) -> Function {
    if Bounds::spend(expr.ops().len() as u64) { Function::substituted(expr, by) } else { Function::unknown() }
}

/// The states in which any of some functions changes with a variable.
pub(crate) fn difference(functions: &[Function], var: Var) -> Function {
    let concerned = functions.iter().filter(|f| !f.depends_on(var).is_no());
    Function::any(concerned.map(|f| f.restrict(var, true).xor(&f.restrict(var, false))))
}

/// The function behind a variable of a type; one that means nothing where there is no such.
pub(crate) fn value(values: &[Function], var: Var) -> Function {
    values.get(var.0 as usize).cloned().unwrap_or_else(|| left_open(var))
}

/// A variable of a type that may be on or off, as far as the proof goes.
fn left_open(var: Var) -> Function {
    variables::function(variables::of_type(var))
}

fn point_value(points: &[Function], var: Var) -> Function {
    match variables::point(var) {
        Some(n) => points.get(n).cloned().unwrap_or_else(Function::unknown),
        None => Function::var(var),
    }
}
