//! Reduced ordered decision diagrams: functions of more inputs than a table holds.
//!
//! A [`Diagram`] is finished, shared and canonical: equal functions have equal nodes. Work happens
//! in a [`Workshop`], which lives for one operation and is then dropped, so nothing accumulates.
//! Both sizes and the depth of recursion are bounded; past a bound the workshop is *full* and its
//! answer is no answer.

use rustc_hash::FxHashMap;

use crate::table::{Connective, Table, VarList};
use crate::{Cube, Literal, Var};

/// The most variables one diagram may have, and so the depth of every recursion here.
pub(crate) const MAX_VARS: usize = 1024;
/// The most nodes one operation may make.
const MAX_NODES: usize = 1 << 18;
/// The most subproblems one operation may remember.
const MAX_STEPS: usize = 1 << 20;

/// A node by its place: the two constants first, then the nodes of the diagram.
pub(crate) type Ref = u32;
pub(crate) const OFF: Ref = 0;
pub(crate) const ON: Ref = 1;
const FIRST_NODE: usize = 2;

/// A choice by one variable between two smaller functions.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) struct Node {
    pub(crate) var: Var,
    pub(crate) low: Ref,
    pub(crate) high: Ref,
}

/// A finished function: its variables in order, and its nodes, children first, the root last.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(crate) struct Diagram {
    vars: Box<[Var]>,
    nodes: Box<[Node]>,
}

impl Diagram {
    pub(crate) fn vars(&self) -> &[Var] {
        &self.vars
    }

    pub(crate) fn size(&self) -> usize {
        self.nodes.len()
    }

    fn node(&self, at: Ref) -> Option<&Node> {
        self.nodes.get((at as usize).checked_sub(FIRST_NODE)?)
    }

    fn root(&self) -> Ref {
        (self.nodes.len() + FIRST_NODE - 1) as Ref
    }

    pub(crate) fn eval(&self, value: &dyn Fn(Var) -> bool) -> bool {
        let mut at = self.root();
        while let Some(node) = self.node(at) {
            at = if value(node.var) { node.high } else { node.low };
        }
        at == ON
    }

    /// Whether it is on wherever the cube holds.
    pub(crate) fn is_forced_by(&self, cube: &Cube) -> bool {
        let mut forced = vec![false, true];
        for node in &self.nodes {
            let of = |at: Ref| forced.get(at as usize).copied().unwrap_or_default();
            forced.push(match cube.value(node.var) {
                Some(true) => of(node.high),
                Some(false) => of(node.low),
                None => of(node.low) && of(node.high),
            });
        }
        forced.last().copied().unwrap_or_default()
    }

    /// The first assignment that is on, the first variable being the weightiest.
    pub(crate) fn least_model(&self) -> Vec<Literal> {
        let mut at = self.root();
        let choose = |var: &Var| {
            let mut value = false;
            if let Some(node) = self.node(at).filter(|node| node.var == *var) {
                value = node.low == OFF;
                at = if value { node.high } else { node.low };
            }
            Literal { var: *var, value }
        };
        self.vars.iter().map(choose).collect()
    }

    /// How many assignments of its variables are on; the greatest number if more than that.
    pub(crate) fn count(&self) -> u128 {
        let level = |at: Ref| match self.node(at) {
            Some(node) => self.vars.partition_point(|var| *var < node.var),
            None => self.vars.len(),
        };
        let mut counts: Vec<u128> = vec![0, 1];
        for node in &self.nodes {
            let own = self.vars.partition_point(|var| *var < node.var);
            let branch = |to: Ref| {
                let below = counts.get(to as usize).copied().unwrap_or_default();
                let skipped = (level(to) - own - 1) as u32;
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
#[derive(Default)]
pub(crate) struct Workshop {
    nodes: Vec<Node>,
    unique: FxHashMap<Node, Ref>,
    choices: FxHashMap<(Ref, Ref, Ref), Ref>,
    full: bool,
}

impl Workshop {
    pub(crate) fn is_full(&self) -> bool {
        self.full
    }

    /// Gives up: nothing known can come of this workshop.
    pub(crate) fn fill(&mut self) {
        self.full = true;
    }

    pub(crate) fn node(&self, at: Ref) -> Option<Node> {
        let at = (at as usize).checked_sub(FIRST_NODE)?;
        self.nodes.get(at).copied()
    }

    pub(crate) fn var(&mut self, var: Var) -> Ref {
        self.make(var, OFF, ON)
    }

    /// The function that is `low` or `high` by `var`, which must stand before all variables of both.
    pub(crate) fn make(&mut self, var: Var, low: Ref, high: Ref) -> Ref {
        if low == high {
            return low;
        }
        let node = Node { var, low, high };
        if let Some(known) = self.unique.get(&node) {
            return *known;
        }
        if self.nodes.len() >= MAX_NODES {
            self.full = true;
            return OFF;
        }
        let at = (self.nodes.len() + FIRST_NODE) as Ref;
        self.nodes.push(node);
        self.unique.insert(node, at);
        at
    }

    pub(crate) fn import_table(&mut self, table: &Table) -> Ref {
        let mut rows: Vec<Ref> = table.rows().map(Ref::from).collect();
        for var in table.vars().iter().rev() {
            let (low, high) = rows.split_at(rows.len() / 2);
            let pairs = low.iter().zip(high);
            rows = pairs.map(|(low, high)| self.make(*var, *low, *high)).collect();
        }
        rows.first().copied().unwrap_or(OFF)
    }

    pub(crate) fn import(&mut self, diagram: &Diagram) -> Ref {
        let mut places = vec![OFF, ON];
        for node in &diagram.nodes {
            let place = |at: Ref| places.get(at as usize).copied().unwrap_or(OFF);
            let (low, high) = (place(node.low), place(node.high));
            places.push(self.make(node.var, low, high));
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
        if self.choices.len() >= MAX_STEPS {
            self.full = true;
            return OFF;
        }
        let (test, then, other) = key;
        let Some(var) =
            [test, then, other].into_iter().filter_map(|at| self.node(at)).map(|node| node.var).min()
        else {
            return OFF;
        };
        let [t, a, b] = [test, then, other].map(|at| self.branches(at, var));
        let low = self.choose(t.0, a.0, b.0);
        let high = self.choose(t.1, a.1, b.1);
        let made = self.make(var, low, high);
        self.choices.insert(key, made);
        made
    }

    /// Both values of a function by a variable that stands before or at its top.
    pub(crate) fn branches(&self, at: Ref, var: Var) -> (Ref, Ref) {
        match self.node(at) {
            Some(node) if node.var == var => (node.low, node.high),
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
        let how_here = how(node.var);
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
                    _ => self.make(node.var, low, high),
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
        let (order, mut vars) = self.reachable(root);
        vars.sort_unstable();
        vars.dedup();
        if let Some(vars) = VarList::from_sorted(&vars) {
            return Finished::Table(self.table(root, vars));
        }
        if vars.len() > MAX_VARS {
            return Finished::TooLarge;
        }
        let mut places: FxHashMap<Ref, Ref> = FxHashMap::from_iter([(OFF, OFF), (ON, ON)]);
        let mut nodes = Vec::with_capacity(order.len());
        for (at, node) in order {
            let place = |of: Ref| places.get(&of).copied().unwrap_or(OFF);
            let (low, high) = (place(node.low), place(node.high));
            places.insert(at, (nodes.len() + FIRST_NODE) as Ref);
            nodes.push(Node { low, high, ..node });
        }
        Finished::Diagram(Diagram { vars: vars.into(), nodes: nodes.into() })
    }

    /// The nodes below a root, children before parents, low before high; and their variables.
    fn reachable(&self, root: Ref) -> (Vec<(Ref, Node)>, Vec<Var>) {
        let mut order = Vec::new();
        let mut vars = Vec::new();
        let mut entered = rustc_hash::FxHashSet::default();
        let mut stack = vec![(root, false)];
        while let Some((at, children_done)) = stack.pop() {
            let Some(node) = self.node(at) else { continue };
            if children_done {
                order.push((at, node));
            } else if entered.insert(at) {
                vars.push(node.var);
                stack.extend([(at, true), (node.high, false), (node.low, false)]);
            }
        }
        (order, vars)
    }

    fn table(&self, root: Ref, vars: VarList) -> Table {
        let mut rows = vec![root];
        for var in vars.as_slice() {
            let branches = || rows.iter().map(|at| self.branches(*at, *var));
            let lows = branches().map(|(low, _)| low);
            rows = lows.chain(branches().map(|(_, high)| high)).collect();
        }
        Table::of_rows(vars, rows.into_iter().map(|at| at == ON))
    }
}

/// What becomes of a variable in [`Workshop::eliminate`].
#[derive(Clone, Copy)]
pub(crate) enum Elimination {
    Keep,
    Fix(bool),
    Join(Connective),
}
