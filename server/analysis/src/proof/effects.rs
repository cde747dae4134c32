//! Which inputs of a unit change what it does.

use crate::proof::circuit::{AS_WRITTEN, Circuit, difference, value};
use crate::proof::moment::Moment;
use crate::signal::Feed;
use crate::variables;
use logic::{Answer, Bounds, Function, Op, Var};
use rustc_hash::FxHashMap;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// For each input, whether some output depends on it at any moment, everything else as wired and set.
pub(crate) fn effects(circuit: &Circuit, moments: &[Moment]) -> Vec<Answer> {
    let values = circuit.values(AS_WRITTEN);
    let tied = tied(circuit);
    let users = users(circuit);
    let unread = unread(circuit);
    let inputs = 0..circuit.shape.feeds.len();
    inputs.map(|input| effect(circuit, moments, &values, (&tied, &users, &unread), input)).collect()
}

/// The inputs that are tied to each.
fn tied(circuit: &Circuit) -> FxHashMap<usize, Vec<usize>> {
    let mut tied: FxHashMap<usize, Vec<usize>> = FxHashMap::default();
    for (input, feed) in circuit.shape.feeds.iter().enumerate() {
        if let Feed::Tie(to) = feed {
            tied.entry(*to).or_default().push(input);
        }
    }
    tied
}

/// The lines of the logic that use each variable.
fn users(circuit: &Circuit) -> FxHashMap<Var, Vec<usize>> {
    let mut users: FxHashMap<Var, Vec<usize>> = FxHashMap::default();
    for (line, gate) in circuit.shape.logic.gates.iter().enumerate() {
        for var in gate.expr.mentions() {
            users.entry(var).or_default().push(line);
        }
    }
    users
}

/// The lines of the logic that are too long to hold: what they use is not known, and may be anything.
fn unread(circuit: &Circuit) -> Vec<usize> {
    let gates = circuit.shape.logic.gates.iter().enumerate();
    gates.filter(|(_, gate)| gate.expr.ops().contains(&Op::Unknown)).map(|(line, _)| line).collect()
}

type Users<'a> = (&'a FxHashMap<usize, Vec<usize>>, &'a FxHashMap<Var, Vec<usize>>, &'a [usize]);

fn effect(
    circuit: &Circuit,
    moments: &[Moment],
    values: &[Function],
    (tied, users, unread): Users<'_>,
    input: usize,
) -> Answer {
    let Some(free) = variables::own(input).and_then(variables::of_type) else { return Answer::Unknown };
    // What is other than before, with the input free.
    let mut changed: FxHashMap<Var, Function> = FxHashMap::default();
    let mut lines: BinaryHeap<Reverse<usize>> = unread.iter().copied().map(Reverse).collect();
    let mut open = vec![input];
    while let Some(input) = open.pop() {
        let Some(var) = variables::own(input) else { return Answer::Unknown };
        if changed.insert(var, Function::var(free)).is_none() {
            open.extend(tied.get(&input).into_iter().flatten());
            lines.extend(users.get(&var).into_iter().flatten().copied().map(Reverse));
        }
    }
    let mut last = None;
    while let Some(Reverse(line)) = lines.pop() {
        // A line that uses several of them is met again.
        if last.replace(line) == Some(line) {
            continue;
        }
        let Some(gate) = circuit.shape.logic.gates.get(line) else { continue };
        if !Bounds::spend(gate.expr.ops().len() as u64) {
            return Answer::Unknown;
        }
        let with = |var: Var| changed.get(&var).cloned().unwrap_or_else(|| value(values, var));
        let now = Function::substituted(&gate.expr, with);
        if !now.depends_on(free).is_no() {
            changed.insert(gate.var, now);
            lines.extend(users.get(&gate.var).into_iter().flatten().copied().map(Reverse));
        }
    }
    let outputs: Vec<Function> =
        circuit.shape.logic.output_vars.iter().filter_map(|var| changed.get(var).cloned()).collect();
    let difference = difference(&outputs, free);
    Answer::any(moments.iter().map(|moment| moment.turns_on(&difference)))
}
