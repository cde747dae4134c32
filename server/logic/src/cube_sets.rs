//! Sets of cubes in a shared diagram: millions of cubes in the room of a few nodes.
//!
//! A node splits a set by one literal into the cubes without it and those with it (less that
//! literal). Nodes are unique, and a node whose `with` is empty is left out, so equal sets have
//! equal places. Literals stand by the levels of a diagram's variables until they are listed.

use rustc_hash::FxHashMap;

use crate::bounds::{Bounds, spend};
use crate::{Cube, Literal, SearchResult, Var};

/// A set by its place.
pub(crate) type SetRef = u32;
/// The set without any cube.
pub(crate) const NONE: SetRef = 0;
/// The set of the empty cube alone.
pub(crate) const EMPTY_CUBE: SetRef = 1;
const FIRST_NODE: usize = 2;
/// Cubes are listed whose size is less than this above the least.
const SPAN: usize = 128;

#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Node {
    literal: Literal,
    without: SetRef,
    with: SetRef,
}

/// Where sets of cubes are built; dropped with the operation that needed it.
#[derive(Default)]
pub(crate) struct CubeSets {
    nodes: Vec<Node>,
    unique: FxHashMap<Node, SetRef>,
    differences: FxHashMap<(SetRef, SetRef), SetRef>,
    full: bool,
}

impl CubeSets {
    /// Whether a bound was reached, and so no set here means anything.
    pub(crate) fn is_full(&self) -> bool {
        self.full
    }

    /// The cubes of `without`, and those of `with` with a literal added that stands before all of theirs.
    pub(crate) fn make(&mut self, literal: Literal, without: SetRef, with: SetRef) -> SetRef {
        if with == NONE {
            return without;
        }
        let node = Node { literal, without, with };
        if let Some(known) = self.unique.get(&node) {
            return *known;
        }
        if self.nodes.len() >= Bounds::current().nodes || !spend(1) {
            self.full = true;
            return NONE;
        }
        let at = (self.nodes.len() + FIRST_NODE) as SetRef;
        self.nodes.push(node);
        self.unique.insert(node, at);
        at
    }

    /// The cubes of `from` that are not in `taken`.
    pub(crate) fn difference(&mut self, from: SetRef, taken: SetRef) -> SetRef {
        if from == NONE || from == taken || self.full {
            return NONE;
        }
        if taken == NONE {
            return from;
        }
        if let Some(known) = self.differences.get(&(from, taken)) {
            return *known;
        }
        if self.differences.len() >= Bounds::current().nodes || !spend(1) {
            self.full = true;
            return NONE;
        }
        let made = match (self.node(from), self.node(taken)) {
            (Some(own), Some(other)) if own.literal == other.literal => {
                let without = self.difference(own.without, other.without);
                let with = self.difference(own.with, other.with);
                self.make(own.literal, without, with)
            }
            (own, Some(other)) if own.is_none_or(|own| other.literal < own.literal) => {
                self.difference(from, other.without)
            }
            (Some(own), _) => {
                let without = self.difference(own.without, taken);
                self.make(own.literal, without, own.with)
            }
            (None, _) => from,
        };
        self.differences.insert((from, taken), made);
        made
    }

    /// The cubes of a set over the variables of these levels, smallest first and then by their
    /// literals; of more than `most` the first by level.
    pub(crate) fn list(&self, set: SetRef, most: usize, order: &[Var]) -> SearchResult<Cube> {
        let named = |literal: &Literal| {
            let var = order.get(literal.var.0 as usize).copied().unwrap_or_default();
            Literal { var, ..*literal }
        };
        let sizes = self.sizes();
        let has = |at: SetRef, size: usize| {
            let sizes = sizes.get(at as usize);
            sizes.is_some_and(|sizes| sizes.contains(size))
        };
        let all = sizes.get(set as usize).copied().unwrap_or_default();
        let complete = !all.cut;
        let mut items = Vec::new();
        let mut cube: Vec<Literal> = Vec::new();
        for size in (all.least..).take(SPAN).filter(|size| all.contains(*size)) {
            let mut stack = vec![(set, size, 0, None)];
            while let Some((at, left, depth, literal)) = stack.pop() {
                cube.truncate(depth);
                cube.extend(literal);
                match self.node(at) {
                    None if items.len() == most => {
                        items.sort_unstable();
                        return SearchResult { items, complete: false };
                    }
                    None => items.extend(Cube::new(cube.iter().map(named))),
                    Some(node) => {
                        let depth = cube.len();
                        if has(node.without, left) {
                            stack.push((node.without, left, depth, None));
                        }
                        if left > 0 && has(node.with, left - 1) {
                            stack.push((node.with, left - 1, depth, Some(node.literal)));
                        }
                    }
                }
            }
        }
        items.sort_unstable();
        SearchResult { items, complete }
    }

    /// For each place, the sizes of its cubes.
    fn sizes(&self) -> Vec<Sizes> {
        let mut sizes = vec![Sizes::default(), Sizes { least: 0, above: 1, cut: false }];
        for node in &self.nodes {
            let of = |at: SetRef| sizes.get(at as usize).copied().unwrap_or_default();
            let with = of(node.with);
            let longer = Sizes { least: with.least + 1, ..with };
            sizes.push(of(node.without).union(longer));
        }
        sizes
    }

    fn node(&self, at: SetRef) -> Option<Node> {
        let at = (at as usize).checked_sub(FIRST_NODE)?;
        self.nodes.get(at).copied()
    }
}

/// Which sizes the cubes of a set have: bit `n` stands for `n` more than the least.
#[derive(Clone, Copy, Default)]
struct Sizes {
    least: usize,
    above: u128,
    /// Whether some sizes lay beyond the span.
    cut: bool,
}

impl Sizes {
    fn contains(self, size: usize) -> bool {
        let bit = size.checked_sub(self.least).filter(|bit| *bit < SPAN);
        bit.is_some_and(|bit| self.above >> bit & 1 == 1)
    }

    fn union(self, other: Self) -> Self {
        if self.above == 0 {
            return other;
        }
        let (low, high) = if self.least <= other.least { (self, other) } else { (other, self) };
        let shift = high.least - low.least;
        let fits = (high.above.leading_zeros() as usize) >= shift;
        let shifted = if shift < SPAN { high.above << shift } else { 0 };
        Self { least: low.least, above: low.above | shifted, cut: self.cut || other.cut || !fits }
    }
}

/// Both literals of the variable of a level, in their order.
pub(crate) fn literals(level: u32) -> [Literal; 2] {
    [false, true].map(|value| Literal { var: Var(level), value })
}
