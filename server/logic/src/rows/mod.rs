//! The distinct rows of several functions of the same inputs: a logic chart.

mod cubes;

use std::rc::Rc;

use rustc_hash::FxHashMap;

use crate::{Cube, Function, Literal, SearchLimits, SearchResult, Var};
use cubes::{MAX_CHARTED, chart};

/// The same once inputs are split off: there are many parts, and each two inputs take nine times as long.
const MAX_CHARTED_OF_A_PART: usize = MAX_CHARTED - 2;

/// One row: while the inputs are as `when` says, whatever the others are, the outputs have these values.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct MergedRow {
    /// The inputs that matter here; it holds in at least one allowed state.
    pub when: Cube,
    /// The outputs, in the order they were given.
    pub outputs: Vec<bool>,
}

/// The outputs as few rows, over the states that are allowed.
///
/// No two rows meet; together they cover every allowed state, and each is right in every allowed
/// state it covers (it may reach into states that are not allowed, where nothing is claimed). Rows
/// with the fewest inputs on come first. Up to twelve inputs the rows are those of the smallest
/// decision tree, joined further where two differ in one input; beyond, inputs are first split off
/// by how many outputs they touch. At most `limits.answers` rows: a list cut short leaves states
/// uncovered. Of unknown functions there are no rows.
pub fn merge_rows(outputs: &[Function], allowed: &Function, limits: SearchLimits) -> SearchResult<MergedRow> {
    let known = allowed.is_known() && outputs.iter().all(Function::is_known);
    let mut split =
        Split { rows: Vec::new(), complete: known, most: limits.answers, charted: FxHashMap::default() };
    if known {
        split.visit(outputs.to_vec(), allowed.clone(), &Cube::default());
    }
    let mut items = joined(split.rows);
    items.sort_by_cached_key(|row| {
        let on = row.when.literals().iter().filter(|literal| literal.value);
        (on.count(), row.when.clone())
    });
    SearchResult { items, complete: split.complete }
}

struct Split {
    rows: Vec<MergedRow>,
    complete: bool,
    most: usize,
    /// Interlocked inputs split into parts that are the same again and again.
    charted: FxHashMap<(Vec<Function>, Function), Rc<[MergedRow]>>,
}

impl Split {
    /// Adds the rows within a cube, given the functions as they are there.
    fn visit(&mut self, mut outputs: Vec<Function>, mut allowed: Function, within: &Cube) {
        if allowed.is_false().is_yes() || !self.complete {
            return;
        }
        if !self.are_known(&outputs, &allowed) {
            return;
        }
        if let Some(values) = constants(&outputs, &allowed) {
            self.add(within.clone(), values);
            return;
        }
        let mut inputs = inputs(&outputs, &allowed);
        if inputs.len() <= MAX_CHARTED + 4 {
            for var in inputs.iter().rev() {
                leave_out(*var, &mut outputs, &mut allowed);
            }
            if !self.are_known(&outputs, &allowed) {
                return;
            }
            inputs = self::inputs(&outputs, &allowed);
        }
        let most = if within.literals().is_empty() { MAX_CHARTED } else { MAX_CHARTED_OF_A_PART };
        if inputs.len() <= most {
            let part = self.charted.entry((outputs, allowed));
            let rows = part.or_insert_with_key(|(outputs, allowed)| chart(&inputs, outputs, allowed).into());
            for row in rows.clone().iter() {
                match within.and(&row.when) {
                    Some(when) if self.complete => self.add(when, row.outputs.clone()),
                    _ => return,
                }
            }
            return;
        }
        let touched = |var: &Var| outputs.iter().filter(|of| of.depends_on(*var).is_yes()).count();
        // Of equals, the first.
        let Some(var) = inputs.iter().rev().copied().max_by_key(touched) else {
            return;
        };
        for value in [false, true] {
            let literal = Literal { var, value };
            let part = |of: &Function| of.restrict(var, value);
            if let Some(within) = Cube::new(within.literals().iter().copied().chain([literal])) {
                self.visit(outputs.iter().map(part).collect(), part(&allowed), &within);
            }
        }
    }

    /// Whether all could be held; where not, rows are missing.
    fn are_known(&mut self, outputs: &[Function], allowed: &Function) -> bool {
        self.complete &= allowed.is_known() && outputs.iter().all(Function::is_known);
        self.complete
    }

    fn add(&mut self, when: Cube, outputs: Vec<bool>) {
        if self.rows.len() < self.most {
            self.rows.push(MergedRow { when, outputs });
        } else {
            self.complete = false;
        }
    }
}

/// The values of the outputs, when each is the same in all allowed states.
fn constants(outputs: &[Function], allowed: &Function) -> Option<Vec<bool>> {
    let value = |output: &Function| {
        if allowed.implies(output).is_yes() {
            Some(true)
        } else {
            allowed.and(output).is_false().is_yes().then_some(false)
        }
    };
    outputs.iter().map(value).collect()
}

fn inputs(outputs: &[Function], allowed: &Function) -> Vec<Var> {
    let all = outputs.iter().chain([allowed]);
    let mut vars: Vec<Var> = all.filter_map(Function::support).flatten().copied().collect();
    vars.sort_unstable();
    vars.dedup();
    vars
}

/// Forgets an input when no allowed state needs it to tell the outputs.
fn leave_out(var: Var, outputs: &mut [Function], allowed: &mut Function) {
    let halves = |of: &Function| [of.restrict(var, false), of.restrict(var, true)];
    let [off, on] = halves(allowed);
    let both = off.and(&on);
    let agrees = |output: &Function| {
        let [low, high] = halves(output);
        low.xor(&high).and(&both).is_false().is_yes()
    };
    if !outputs.iter().all(agrees) {
        return;
    }
    for output in outputs {
        let [low, high] = halves(output);
        *output = off.and(&low).or(&on.and(&high));
    }
    *allowed = off.or(&on);
}

/// Joins rows that differ in the value of one input alone, until none do.
fn joined(rows: Vec<MergedRow>) -> Vec<MergedRow> {
    let mut open = rows.clone();
    let mut rows: FxHashMap<Cube, Vec<bool>> = rows.into_iter().map(|row| (row.when, row.outputs)).collect();
    while let Some(MergedRow { when, outputs }) = open.pop() {
        if rows.get(&when) != Some(&outputs) {
            continue;
        }
        let partner = when.literals().iter().find_map(|literal| {
            let other = when.flipped(literal.var);
            (rows.get(&other) == Some(&outputs)).then(|| (other, when.without(literal.var)))
        });
        if let Some((other, whole)) = partner {
            rows.remove(&when);
            rows.remove(&other);
            rows.insert(whole.clone(), outputs.clone());
            open.push(MergedRow { when: whole, outputs });
        }
    }
    rows.into_iter().map(|(when, outputs)| MergedRow { when, outputs }).collect()
}
