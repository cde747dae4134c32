//! Reduced ordered decision diagrams: functions of more inputs than a table holds.
//!
//! A [`Diagram`] is finished and shared; it asks for its variables in an order of its own, which
//! decides how large it is. Work happens in a [`Workshop`], which lives for one operation and is
//! then dropped, so nothing accumulates. Both sizes and the depth of recursion are bounded; past a
//! bound the workshop is *full* and its answer is no answer.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::bounds::{Bounds, spend};
use crate::table::{Connective, Table, VarList};
use crate::{Cube, Literal, Var};

/// The most subproblems one operation may remember, for each node that it may make.
const STEPS_OF_A_NODE: usize = 4;

/// A node by its place: the two constants first, then the nodes of the diagram.
pub(crate) type Ref = u32;
pub(crate) const OFF: Ref = 0;
pub(crate) const ON: Ref = 1;
pub(crate) const FIRST_NODE: usize = 2;

/// A choice by one variable between two smaller functions. The variable is known by its level: its
/// place in the order of the workshop or of the diagram.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) struct DiagramNode {
    pub(crate) level: u32,
    pub(crate) low: Ref,
    pub(crate) high: Ref,
}

/// A finished function: its variables, and its nodes, children first, the root last.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(crate) struct Diagram {
    /// Ascending.
    vars: Box<[Var]>,
    /// The same, in the order in which the nodes ask for them.
    order: Box<[Var]>,
    nodes: Box<[DiagramNode]>,
}

impl Diagram {
    /// A diagram of nodes that are unique and all below the last.
    pub(crate) fn new(order: Vec<Var>, nodes: Vec<DiagramNode>) -> Self {
        let mut vars = order.clone();
        vars.sort_unstable();
        Self { vars: vars.into(), order: order.into(), nodes: nodes.into() }
    }

    pub(crate) fn vars(&self) -> &[Var] {
        &self.vars
    }

    pub(crate) fn order(&self) -> &[Var] {
        &self.order
    }

    pub(crate) fn nodes(&self) -> &[DiagramNode] {
        &self.nodes
    }

    pub(crate) fn size(&self) -> usize {
        self.nodes.len()
    }

    fn node(&self, at: Ref) -> Option<&DiagramNode> {
        self.nodes.get((at as usize).checked_sub(FIRST_NODE)?)
    }

    fn root(&self) -> Ref {
        (self.nodes.len() + FIRST_NODE - 1) as Ref
    }

    fn var(&self, node: &DiagramNode) -> Var {
        self.order.get(node.level as usize).copied().unwrap_or_default()
    }

    /// On where this is off: the same choices with the constants exchanged.
    pub(crate) fn not(&self) -> Self {
        let exchanged = |at: Ref| match at {
            OFF => ON,
            ON => OFF,
            _ => at,
        };
        let nodes = self.nodes.iter();
        let nodes =
            nodes.map(|n| DiagramNode { low: exchanged(n.low), high: exchanged(n.high), ..*n }).collect();
        Self { nodes, ..self.clone() }
    }

    pub(crate) fn eval(&self, value: &dyn Fn(Var) -> bool) -> bool {
        let mut at = self.root();
        while let Some(node) = self.node(at) {
            at = if value(self.var(node)) { node.high } else { node.low };
        }
        at == ON
    }

    /// Whether it is on wherever the cube holds.
    pub(crate) fn is_forced_by(&self, cube: &Cube) -> bool {
        let mut forced = vec![false, true];
        for node in &self.nodes {
            let of = |at: Ref| forced.get(at as usize).copied().unwrap_or_default();
            forced.push(match cube.value(self.var(node)) {
                Some(true) => of(node.high),
                Some(false) => of(node.low),
                None => of(node.low) && of(node.high),
            });
        }
        forced.last().copied().unwrap_or_default()
    }

    /// The first assignment that is on, the first variable of its order being the weightiest.
    pub(crate) fn least_model(&self) -> Vec<Literal> {
        let mut at = self.root();
        let choose = |(level, var): (usize, &Var)| {
            let mut value = false;
            if let Some(node) = self.node(at).filter(|node| node.level as usize == level) {
                value = node.low == OFF;
                at = if value { node.high } else { node.low };
            }
            Literal { var: *var, value }
        };
        self.order.iter().enumerate().map(choose).collect()
    }

    /// How many assignments of its variables are on; the greatest number if more than that.
    pub(crate) fn count(&self) -> u128 {
        let level = |at: Ref| self.node(at).map_or(self.order.len(), |node| node.level as usize);
        let mut counts: Vec<u128> = vec![0, 1];
        for node in &self.nodes {
            let branch = |to: Ref| {
                let below = counts.get(to as usize).copied().unwrap_or_default();
                let skipped = (level(to) - node.level as usize - 1) as u32;
                let factor = 1_u128.checked_shl(skipped).unwrap_or(u128::MAX);
                below.saturating_mul(factor)
            };
            counts.push(branch(node.low).saturating_add(branch(node.high)));
        }
        counts.last().copied().unwrap_or_default()
    }
}

/// The answer of a workshop.
pub(crate) enum Finished {
    Table(Table),
    Diagram(Diagram),
    /// A bound was reached.
    TooLarge,
}

/// Where diagrams are built: nodes are unique within it, so equal functions have equal places.
pub(crate) struct Workshop {
    /// The variable of each level.
    order: Vec<Var>,
    levels: FxHashMap<Var, u32>,
    nodes: Vec<DiagramNode>,
    unique: FxHashMap<DiagramNode, Ref>,
    choices: FxHashMap<(Ref, Ref, Ref), Ref>,
    bounds: Bounds,
    full: bool,
}

impl Workshop {
    /// A workshop that asks for variables in this order.
    pub(crate) fn new(order: Vec<Var>) -> Self {
        let bounds = Bounds::current();
        Self {
            full: order.len() > bounds.inputs.min(Bounds::MAX_INPUTS),
            levels: order.iter().copied().zip(0..).collect(),
            order,
            nodes: Vec::new(),
            unique: FxHashMap::default(),
            choices: FxHashMap::default(),
            bounds,
        }
    }

    pub(crate) fn order(&self) -> &[Var] {
        &self.order
    }

    pub(crate) fn is_full(&self) -> bool {
        self.full
    }

    /// Gives up: nothing known can come of this workshop.
    pub(crate) fn fill(&mut self) {
        self.full = true;
    }

    /// Counts work; one that is past its bounds is given up.
    fn spend(&mut self, steps: usize) {
        self.full |= !spend(steps as u64);
    }

    pub(crate) fn node(&self, at: Ref) -> Option<DiagramNode> {
        let at = (at as usize).checked_sub(FIRST_NODE)?;
        self.nodes.get(at).copied()
    }

    /// The function that is `low` or `high` by a variable that must stand before all those of both.
    pub(crate) fn make(&mut self, level: u32, low: Ref, high: Ref) -> Ref {
        if low == high {
            return low;
        }
        let node = DiagramNode { level, low, high };
        if let Some(known) = self.unique.get(&node) {
            return *known;
        }
        self.spend(1);
        if self.full || self.nodes.len() >= self.bounds.nodes {
            self.full = true;
            return OFF;
        }
        let at = (self.nodes.len() + FIRST_NODE) as Ref;
        self.nodes.push(node);
        self.unique.insert(node, at);
        at
    }

    pub(crate) fn import_table(&mut self, table: &Table) -> Ref {
        let mut levels: Vec<(u32, usize)> = Vec::with_capacity(table.vars().len());
        for (row_bit, var) in table.vars().iter().enumerate() {
            let Some(level) = self.levels.get(var) else {
                self.full = true;
                return OFF;
            };
            levels.push((*level, row_bit));
        }
        self.spend(1 << levels.len().saturating_sub(4));
        if self.full {
            return OFF;
        }
        let mut rows: Vec<Ref> = table.rows().map(Ref::from).collect();
        if !levels.is_sorted() {
            levels.sort_unstable();
            let row = |state: usize| {
                let bits = levels.iter().enumerate();
                let row = bits.fold(0, |row, (at, (_, bit))| row | (state >> at & 1) << bit);
                rows.get(row).copied().unwrap_or(OFF)
            };
            rows = (0..rows.len()).map(row).collect();
        }
        for (level, _) in levels.iter().rev() {
            let (low, high) = rows.split_at(rows.len() / 2);
            let pairs = low.iter().zip(high);
            rows = pairs.map(|(low, high)| self.make(*level, *low, *high)).collect();
        }
        rows.first().copied().unwrap_or(OFF)
    }

    /// Brings a diagram in. One of another order is put together anew from below.
    pub(crate) fn import(&mut self, diagram: &Diagram) -> Ref {
        let mut levels = Vec::with_capacity(diagram.order().len());
        for var in diagram.order() {
            let Some(level) = self.levels.get(var) else {
                self.full = true;
                return OFF;
            };
            levels.push(*level);
        }
        let same_order = levels.is_sorted();
        let mut places = vec![OFF, ON];
        for node in diagram.nodes() {
            if self.full {
                return OFF;
            }
            let place = |at: Ref| places.get(at as usize).copied().unwrap_or(OFF);
            let (low, high) = (place(node.low), place(node.high));
            let level = levels.get(node.level as usize).copied().unwrap_or_default();
            places.push(if same_order {
                self.make(level, low, high)
            } else {
                let var = self.make(level, OFF, ON);
                self.choose(var, high, low)
            });
        }
        places.last().copied().unwrap_or(OFF)
    }

    pub(crate) fn not(&mut self, of: Ref) -> Ref {
        self.choose(of, OFF, ON)
    }

    pub(crate) fn combine(&mut self, a: Ref, b: Ref, connective: Connective) -> Ref {
        match connective {
            Connective::And => self.choose(a, b, OFF),
            Connective::Or => self.choose(a, ON, b),
            Connective::Xor => {
                let negated = self.not(b);
                self.choose(a, negated, b)
            }
        }
    }

    /// `then` where `test` is on, `other` where it is off.
    pub(crate) fn choose(&mut self, test: Ref, then: Ref, other: Ref) -> Ref {
        let then = if then == test { ON } else { then };
        let other = if other == test { OFF } else { other };
        let key = match (test, then, other) {
            _ if self.full => return OFF,
            (ON, _, _) => return then,
            (OFF, _, _) => return other,
            _ if then == other => return then,
            (_, ON, OFF) => return test,
            (_, ON, _) if other < test => (other, ON, test),
            (_, _, OFF) if then < test => (then, test, OFF),
            key => key,
        };
        if let Some(known) = self.choices.get(&key) {
            return *known;
        }
        self.spend(1);
        if self.full || self.choices.len() >= self.bounds.nodes.saturating_mul(STEPS_OF_A_NODE) {
            self.full = true;
            return OFF;
        }
        let (test, then, other) = key;
        let tops = [test, then, other].into_iter().filter_map(|at| self.node(at));
        let Some(level) = tops.map(|node| node.level).min() else {
            return OFF;
        };
        let [t, a, b] = [test, then, other].map(|at| self.branches(at, level));
        let low = self.choose(t.0, a.0, b.0);
        let high = self.choose(t.1, a.1, b.1);
        let made = self.make(level, low, high);
        self.choices.insert(key, made);
        made
    }

    /// Both values of a function by a variable that stands before or at its top.
    pub(crate) fn branches(&self, at: Ref, level: u32) -> (Ref, Ref) {
        match self.node(at) {
            Some(node) if node.level == level => (node.low, node.high),
            _ => (at, at),
        }
    }

    /// The function with some variables fixed, or joined over both of their values.
    pub(crate) fn eliminate(&mut self, of: Ref, how: &dyn Fn(Var) -> Elimination) -> Ref {
        self.eliminate_below(of, how, &mut FxHashMap::default())
    }

    fn eliminate_below(
        &mut self,
        of: Ref,
        how: &dyn Fn(Var) -> Elimination,
        done: &mut FxHashMap<Ref, Ref>,
    ) -> Ref {
        let Some(node) = self.node(of).filter(|_| !self.full) else {
            return of;
        };
        if let Some(known) = done.get(&of) {
            return *known;
        }
        self.spend(1);
        let how_here = self.order.get(node.level as usize).map_or(Elimination::Keep, |var| how(*var));
        let made = match how_here {
            Elimination::Fix(value) => {
                let branch = if value { node.high } else { node.low };
                self.eliminate_below(branch, how, done)
            }
            Elimination::Keep | Elimination::Join(_) => {
                let low = self.eliminate_below(node.low, how, done);
                let high = self.eliminate_below(node.high, how, done);
                match how_here {
                    Elimination::Join(connective) => self.combine(low, high, connective),
                    _ => self.make(node.level, low, high),
                }
            }
        };
        done.insert(of, made);
        made
    }

    /// Takes one function out, in the smallest form that holds it.
    pub(crate) fn finish(&self, root: Ref) -> Finished {
        if self.full {
            return Finished::TooLarge;
        }
        let (below, levels) = self.reachable(root);
        if levels.len() > self.bounds.inputs.min(Bounds::MAX_INPUTS) || !spend(below.len() as u64) {
            return Finished::TooLarge;
        }
        let order: Vec<Var> =
            levels.iter().filter_map(|level| self.order.get(*level as usize).copied()).collect();
        let mut vars = order.clone();
        vars.sort_unstable();
        if let Some(vars) = VarList::from_sorted(&vars) {
            return if spend(1 << levels.len().saturating_sub(4)) {
                Finished::Table(self.table(root, &levels, &order, vars))
            } else {
                Finished::TooLarge
            };
        }
        let mut places: FxHashMap<Ref, Ref> = FxHashMap::from_iter([(OFF, OFF), (ON, ON)]);
        let mut nodes = Vec::with_capacity(below.len());
        for (at, node) in below {
            let place = |of: Ref| places.get(&of).copied().unwrap_or(OFF);
            let (low, high) = (place(node.low), place(node.high));
            places.insert(at, (nodes.len() + FIRST_NODE) as Ref);
            let level = levels.partition_point(|level| *level < node.level) as u32;
            nodes.push(DiagramNode { level, low, high });
        }
        Finished::Diagram(Diagram::new(order, nodes))
    }

    /// The nodes below a root, children before parents, low before high; and their levels, ascending.
    fn reachable(&self, root: Ref) -> (Vec<(Ref, DiagramNode)>, Vec<u32>) {
        let mut order = Vec::new();
        let mut entered = FxHashSet::default();
        let mut stack = vec![(root, false)];
        while let Some((at, children_done)) = stack.pop() {
            let Some(node) = self.node(at) else { continue };
            if children_done {
                order.push((at, node));
            } else if entered.insert(at) {
                stack.extend([(at, true), (node.high, false), (node.low, false)]);
            }
        }
        let mut levels: Vec<u32> = order.iter().map(|(_, node)| node.level).collect();
        levels.sort_unstable();
        levels.dedup();
        (order, levels)
    }

    fn table(&self, root: Ref, levels: &[u32], order: &[Var], vars: VarList) -> Table {
        let mut rows = vec![root];
        for level in levels {
            let branches = || rows.iter().map(|at| self.branches(*at, *level));
            let lows = branches().map(|(low, _)| low);
            rows = lows.chain(branches().map(|(_, high)| high)).collect();
        }
        let is_on = |row: usize| rows.get(row) == Some(&ON);
        if order == vars.as_slice() {
            return Table::of_rows(vars, (0..rows.len()).map(is_on));
        }
        let bits: Vec<usize> =
            vars.as_slice().iter().filter_map(|var| order.iter().position(|other| other == var)).collect();
        let moved =
            |state: usize| bits.iter().enumerate().fold(0, |row, (at, bit)| row | (state >> at & 1) << bit);
        Table::of_rows(vars, (0..rows.len()).map(|state| is_on(moved(state))))
    }
}

/// What becomes of a variable in [`Workshop::eliminate`].
#[derive(Clone, Copy)]
pub(crate) enum Elimination {
    Keep,
    Fix(bool),
    Join(Connective),
}
