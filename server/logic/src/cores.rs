//! Smallest explanations: which facts are enough for a conclusion, and which few undo it.
//!
//! The conclusion is an oracle: given the facts that are kept, does it still hold? It is taken to
//! be *monotone*: with more facts it holds all the more. Should it not be, every answer still
//! does what it says, and no single fact can be left out of it; but answers may be missed, and one
//! answer may hold another.
//!
//! A search cut short by its limits gives at least one answer where there is one, though the
//! answers may then not be the lightest.
//!
//! Facts are known by their place in a list of weights. A weight says how little a fact is worth
//! telling (for a core) or how much it costs to change (for a correction); it counts as at least 1.

use std::cell::Cell;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

use rustc_hash::FxHashSet;

use crate::{BitSet, SearchLimits, SearchResult};

/// The most candidate sets one search may remember.
const MAX_CANDIDATES: usize = 1 << 14;

/// One minimal set of facts that is sufficient; `None` when not even all of them are.
///
/// Heavier facts are left out first, and of equal ones those listed last. With `k` facts kept of
/// `n`, it asks about `k log n` questions.
pub fn minimal_core(weights: &[u32], mut sufficient: impl FnMut(&BitSet) -> bool) -> Option<BitSet> {
    let all = BitSet::all(weights.len());
    sufficient(&all).then(|| shrink(weights, all, &mut sufficient))
}

/// The minimal sufficient sets of facts, those of least total weight first.
pub fn cores(
    weights: &[u32],
    limits: SearchLimits,
    mut sufficient: impl FnMut(&BitSet) -> bool,
) -> SearchResult<BitSet> {
    // By duality: a set is sufficient when it hits every correction.
    let all = BitSet::all(weights.len());
    hitting_sets(weights, limits, &mut |kept| !sufficient(&all.without(kept)))
}

/// The minimal sets of facts without which the others are no longer sufficient, those of least
/// total weight first. Only the empty set when they are not sufficient to begin with.
pub fn corrections(
    weights: &[u32],
    limits: SearchLimits,
    mut sufficient: impl FnMut(&BitSet) -> bool,
) -> SearchResult<BitSet> {
    hitting_sets(weights, limits, &mut sufficient)
}

/// Leaves facts out of a set on which `holds` is true for as long as it stays true.
fn shrink(weights: &[u32], mut kept: BitSet, holds: &mut dyn FnMut(&BitSet) -> bool) -> BitSet {
    let mut order: Vec<usize> = kept.iter().collect();
    order.sort_by_key(|fact| (weights.get(*fact).copied(), *fact));
    let mut parts = vec![order.as_slice()];
    while let Some(part) = parts.pop() {
        let mut fewer = kept.clone();
        for fact in part {
            fewer.remove(*fact);
        }
        if holds(&fewer) {
            kept = fewer;
        } else if part.len() > 1 {
            let (light, heavy) = part.split_at(part.len() / 2);
            parts.extend([light, heavy]);
        }
    }
    // A monotone oracle changes nothing here; for any other this makes good the promise.
    let drop_one = |kept: &BitSet, holds: &mut dyn FnMut(&BitSet) -> bool| {
        order.iter().rev().filter(|fact| kept.contains(**fact)).find_map(|fact| {
            let mut fewer = kept.clone();
            fewer.remove(*fact);
            holds(&fewer).then_some(fewer)
        })
    };
    while let Some(fewer) = drop_one(&kept, holds) {
        kept = fewer;
    }
    kept
}

/// The minimal sets that, left out, make `holds` false, lightest first (Reiter 1987).
///
/// A candidate that misses some known minimal set on which `holds` is true is extended by each of
/// its facts in turn; one that misses none is put to the oracle, which accepts it or yields another
/// such set. Candidates are taken lightest first, so the first to succeed is minimal.
fn hitting_sets(
    weights: &[u32],
    limits: SearchLimits,
    holds: &mut dyn FnMut(&BitSet) -> bool,
) -> SearchResult<BitSet> {
    let all = BitSet::all(weights.len());
    let tests = Cell::new(0);
    let mut holds = |kept: &BitSet| {
        tests.set(tests.get() + 1);
        holds(kept)
    };
    let mut conflicts: Vec<BitSet> = Vec::new();
    let mut items: Vec<BitSet> = Vec::new();
    let mut complete = true;
    let mut seen = FxHashSet::default();
    let mut queue = BinaryHeap::from([Reverse((0_u64, BitSet::none(weights.len())))]);
    while let Some(Reverse((weight, candidate))) = queue.pop() {
        if items.iter().any(|item| item.is_subset(&candidate)) {
            continue;
        }
        if items.len() >= limits.answers || tests.get() >= limits.tests {
            complete = false;
            break;
        }
        let known = conflicts.iter().position(|conflict| conflict.is_disjoint(&candidate));
        if known.is_none() {
            let kept = all.without(&candidate);
            if !holds(&kept) {
                items.push(shrink(weights, candidate, &mut |out| !holds(&all.without(out))));
                continue;
            }
            conflicts.push(shrink(weights, kept, &mut holds));
        }
        // Out of room, each candidate goes on by one way only: some answers, if not the lightest.
        let crowded = seen.len() >= MAX_CANDIDATES;
        complete &= !crowded;
        let missed = known.map_or_else(|| conflicts.last(), |at| conflicts.get(at));
        let facts = missed.into_iter().flat_map(BitSet::iter);
        for fact in facts.take(if crowded { 1 } else { usize::MAX }) {
            let mut longer = candidate.clone();
            longer.insert(fact);
            if crowded || seen.insert(longer.clone()) {
                let added = weights.get(fact).map_or(1, |weight| (*weight).max(1));
                queue.push(Reverse((weight + u64::from(added), longer)));
            }
        }
    }
    if items.is_empty() && !complete && !holds(&BitSet::none(weights.len())) {
        items.push(shrink(weights, all.clone(), &mut |out| !holds(&all.without(out))));
        items.truncate(limits.answers);
    }
    SearchResult { items, complete }
}
