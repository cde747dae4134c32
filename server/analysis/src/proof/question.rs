//! A claim put to a unit's circuit with some facts left open.

use crate::proof::circuit::{Circuit, Fact, IsOpen, difference, value};
use crate::proof::state::State;
use crate::signal::Feed;
use crate::variables;
use logic::{Answer, Bounds, Expr, Function, Op, Var};
use model::Mode;
use rustc_hash::FxHashSet;

/// A claim in numbers.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) enum Asked {
    /// A variable of the type is never on.
    Never(Var),
    /// It is never off.
    Always(Var),
    /// No output changes with an input.
    WithoutEffect(Var),
    /// No output changes when one choice of an option is made instead of another.
    Alike(usize, usize, usize),
}

/// A claim, ready to be put with some facts left open.
pub(crate) struct Question<'q> {
    circuit: &'q Circuit,
    asked: Asked,
    /// The variables of the type that the claim is about.
    looked_at: Vec<Var>,
    /// States of the schedules at the moments it is about, each once.
    states: Vec<&'q [State]>,
}

impl<'q> Question<'q> {
    pub(crate) fn new(circuit: &'q Circuit, asked: Asked, states: Vec<&'q [State]>) -> Self {
        let looked_at = match asked {
            Asked::Never(var) | Asked::Always(var) => vec![var],
            Asked::WithoutEffect(_) | Asked::Alike(..) => circuit.shape.logic.output_vars.clone(),
        };
        Question { circuit, asked, looked_at, states }
    }

    /// The input that is free because the claim is about it.
    fn free(&self) -> Option<Var> {
        if let Asked::WithoutEffect(input) = self.asked { Some(input) } else { None }
    }

    /// Whether the claim holds with some facts open.
    pub(crate) fn holds(&self, open: IsOpen<'_>) -> Answer {
        if Bounds::are_spent() {
            return Answer::Unknown;
        }
        let free = self.free().map(|var| Fact::Wiring(var.0 as usize));
        let open: IsOpen<'_> = &|fact| Some(fact) == free || open(fact);
        let circuit = self.circuit;
        let looked_at = |values: &[Function]| -> Vec<Function> {
            self.looked_at.iter().map(|var| value(values, *var)).collect()
        };
        let at = || looked_at(&circuit.values(open));
        let against = match self.asked {
            Asked::Never(_) => Function::any(at()),
            Asked::Always(_) => Function::all(at()).not(),
            Asked::WithoutEffect(input) => match variables::of_type(input) {
                Some(free) => difference(&at(), free),
                None => return Answer::Unknown,
            },
            Asked::Alike(option, a, b) => {
                let [a, b] = [a, b].map(|choice| {
                    let mut chosen = circuit.shape.chosen.clone();
                    chosen.get_mut(option).into_iter().for_each(|slot| *slot = Some(choice));
                    looked_at(&circuit.values_with(&chosen, open))
                });
                Function::any(a.iter().zip(&b).map(|(a, b)| a.xor(b)))
            }
        };
        if against.is_false().is_yes() {
            return Answer::Yes;
        }
        Answer::all(self.states.iter().map(|states| {
            let (scheduled, allowed) = circuit.moment(states, open);
            allowed.and(&against.restrict_all(&scheduled)).is_false()
        }))
    }

    /// The facts that can have to do with it, in the order they are shown.
    pub(crate) fn facts(&self) -> Vec<Fact> {
        let shape = &self.circuit.shape;
        let logic = &shape.logic;
        let (mut lines, mut inputs, mut options) = (Vec::new(), Vec::new(), Vec::new());
        let (mut seen_lines, mut seen_inputs) = (FxHashSet::default(), FxHashSet::default());
        let mut open = self.looked_at.clone();
        while let Some(var) = open.pop() {
            if let Some(line) = logic.gate_of(var) {
                if seen_lines.insert(line) {
                    lines.push(line);
                    open.extend(logic.gates.get(line).into_iter().flat_map(|g| g.expr.mentions()));
                }
            } else if let Some(option) = logic.option_of(var) {
                options.push(option);
            } else if (var.0 as usize) < shape.feeds.len() {
                let input = var.0 as usize;
                if seen_inputs.insert(input) {
                    inputs.push(input);
                    if let Some(Feed::Tie(other)) = shape.feeds.get(input) {
                        open.extend(variables::own(*other));
                    }
                }
            }
        }
        for list in [&mut lines, &mut inputs, &mut options] {
            list.sort_unstable();
            list.dedup();
        }
        inputs.retain(|input| self.free().map(|var| var.0 as usize) != Some(*input));
        if let Asked::Alike(option, ..) = self.asked {
            options.retain(|other| *other != option);
        }
        if matches!(self.asked, Asked::WithoutEffect(_) | Asked::Alike(..)) {
            // An open line would cut off what is to come through.
            lines.clear();
        }
        let points = self.points(&inputs);
        let choices = options.into_iter().map(Fact::Choice);
        let limits = shape.zones.iter().enumerate().flat_map(|(z, zone)| {
            let excluded = |mode| zone.rules.get(mode).excluded.len();
            Mode::ALL
                .into_iter()
                .flat_map(move |mode| (0..excluded(mode)).map(move |k| Fact::Limit(z, mode, k)))
        });
        choices
            .chain(inputs.into_iter().map(Fact::Wiring))
            .chain(points.into_iter().map(Fact::Point))
            .chain((0..shape.schedules.len()).map(Fact::Windows))
            .chain((0..shape.zones.len()).map(Fact::Follows))
            .chain(limits)
            .chain(lines.into_iter().map(Fact::Line))
            .collect()
    }

    /// The points behind some inputs, the nearest first.
    fn points(&self, inputs: &[usize]) -> Vec<usize> {
        let points = &self.circuit.shape.points;
        let mut wanted = vec![false; points.len()];
        let want = |expr: &Expr, wanted: &mut Vec<bool>| {
            for op in expr.ops() {
                if let Op::Var(var) = op
                    && let Some(slot) = variables::point(*var).and_then(|n| wanted.get_mut(n))
                {
                    *slot = true;
                }
            }
        };
        for input in inputs {
            if let Some(Feed::Value(expr)) = self.circuit.shape.feeds.get(*input) {
                want(expr, &mut wanted);
            }
        }
        // Each point comes after those it takes its value from.
        for (n, point) in points.iter().enumerate().rev() {
            if wanted.get(n) == Some(&true) {
                want(&point.near, &mut wanted);
            }
        }
        let written = points.iter().enumerate().rev().filter(|(_, point)| point.is_written);
        written.map(|(n, _)| n).filter(|n| wanted.get(*n) == Some(&true)).collect()
    }
}
