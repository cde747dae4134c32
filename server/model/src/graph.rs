//! What takes its value from what, followed without recursion: chains and circles of any length.

use rustc_hash::FxHashMap;
use std::hash::Hash;

/// Names that take their values from each other.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Group<N> {
    /// A name that does not take its value from itself.
    One(N),
    /// Names each of which takes its value from all of them, in the order in which they are met.
    Circle(Vec<N>),
}

struct Frame<N> {
    name: N,
    /// Its place among all that were met.
    met: usize,
    /// The earliest place that it leads back to.
    low: usize,
    /// What it takes its value from, and how much of that was looked at.
    sources: Vec<N>,
    next: usize,
}

/// All that a name takes its value from, as far as it is `wanted`, and at the end the name itself: each
/// group behind those that it takes its values from (Tarjan 1972).
pub fn groups<N: Clone + Eq + Hash>(
    first: N,
    wanted: impl Fn(&N) -> bool,
    mut sources: impl FnMut(&N) -> Vec<N>,
) -> Vec<Group<N>> {
    // The place of each name that was met; nothing once its group is known.
    let mut places: FxHashMap<N, Option<usize>> = FxHashMap::default();
    let mut open: Vec<N> = Vec::new();
    let mut found = Vec::new();
    let mut frames: Vec<Frame<N>> = Vec::new();
    let mut enter = Some(first);
    loop {
        if let Some(name) = enter.take() {
            let met = places.len();
            places.insert(name.clone(), Some(met));
            open.push(name.clone());
            frames.push(Frame { sources: sources(&name), name, met, low: met, next: 0 });
        }
        let Some(frame) = frames.last_mut() else { return found };
        if let Some(source) = frame.sources.get(frame.next) {
            frame.next += 1;
            match places.get(source) {
                Some(Some(place)) => frame.low = frame.low.min(*place),
                None if wanted(source) => enter = Some(source.clone()),
                Some(None) | None => {}
            }
            continue;
        }
        let Some(done) = frames.pop() else { return found };
        if let Some(outer) = frames.last_mut() {
            outer.low = outer.low.min(done.low);
        }
        if done.low == done.met {
            let from = open.iter().rposition(|name| *name == done.name).unwrap_or(open.len());
            let group = open.split_off(from);
            for name in &group {
                places.insert(name.clone(), None);
            }
            let alone = group.len() == 1 && !done.sources.contains(&done.name);
            found.push(if alone { Group::One(done.name) } else { Group::Circle(group) });
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::indexing_slicing)]
    use super::*;

    fn reached(edges: &[Vec<usize>], from: usize) -> Vec<bool> {
        let (mut seen, mut open) = (vec![false; edges.len()], edges[from].clone());
        while let Some(at) = open.pop() {
            if !std::mem::replace(&mut seen[at], true) {
                open.extend(&edges[at]);
            }
        }
        seen
    }

    /// Against what is reached from where, on every graph of some hundred.
    #[test]
    fn circles_are_what_reaches_itself() {
        let mut draw = 1_u64;
        let mut next = |below: u64| {
            draw = draw.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (draw >> 33) % below
        };
        for _ in 0..500 {
            let edges: Vec<Vec<usize>> =
                (0..7).map(|_| (0..next(3)).map(|_| next(7) as usize).collect()).collect();
            let found = groups(0, |_| true, |at| edges[*at].clone());
            let mut known: Vec<usize> = Vec::new();
            for group in &found {
                let members = match group {
                    Group::One(one) => vec![*one],
                    Group::Circle(all) => all.clone(),
                };
                for at in &members {
                    let reach = reached(&edges, *at);
                    assert_eq!(reach[*at], matches!(group, Group::Circle(_)));
                    let of_group = |other: &usize| reach[*other] && reached(&edges, *other)[*at];
                    assert!((0..7).filter(of_group).all(|other| members.contains(&other)));
                    assert!(
                        edges[*at].iter().all(|source| members.contains(source) || known.contains(source))
                    );
                }
                known.extend(members);
            }
            let all = reached(&edges, 0);
            assert!((0..7).all(|at| known.contains(&at) == (at == 0 || all[at])));
        }
    }

    #[test]
    fn long_chains_and_rings() {
        const LONG: usize = 1_000_000;
        let chain = groups(0, |_| true, |at| Vec::from_iter((at + 1 < LONG).then_some(at + 1)));
        assert_eq!((chain.len(), &chain[0]), (LONG, &Group::One(LONG - 1)));
        let ring = groups(0, |_| true, |at| vec![(at + 1) % LONG]);
        assert_eq!(ring, [Group::Circle((0..LONG).collect())]);
    }
}
