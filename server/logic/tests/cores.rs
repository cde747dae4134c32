//! Cores and corrections against a look at every set of facts.
#![allow(clippy::unwrap_used)]

use logic::{BitSet, SearchLimits, cores, corrections, minimal_core};
use proptest::prelude::*;

const FACTS: usize = 9;

fn set(code: usize) -> BitSet {
    let mut set = BitSet::none(FACTS);
    (0..FACTS).filter(|fact| code >> fact & 1 == 1).for_each(|fact| set.insert(fact));
    set
}

fn code(set: &BitSet) -> usize {
    set.iter().map(|fact| 1 << fact).sum()
}

/// The sets on which `holds` is true and on no smaller one, lightest first.
fn minimal(weights: &[u32], holds: impl Fn(usize) -> bool) -> Vec<(u32, BitSet)> {
    let weight =
        |code: usize| (0..FACTS).filter(|fact| code >> fact & 1 == 1).map(|fact| weights[fact]).sum();
    let smaller =
        |code: usize| (0..FACTS).filter(move |fact| code >> fact & 1 == 1).map(move |fact| code ^ 1 << fact);
    let mut found: Vec<_> = (0..1 << FACTS)
        .filter(|code| holds(*code) && !smaller(*code).any(&holds))
        .map(|code| (weight(code), set(code)))
        .collect();
    found.sort();
    found
}

fn weighed(weights: &[u32], sets: &[BitSet]) -> Vec<(u32, BitSet)> {
    sets.iter().map(|set| (set.iter().map(|fact| weights[fact]).sum(), set.clone())).collect()
}

proptest! {
    #[test]
    fn all_cores_and_corrections(
        sufficient in prop::collection::vec(0_usize..1 << FACTS, 0..8),
        weights in prop::collection::vec(1_u32..4, FACTS),
    ) {
        let holds = |code: usize| sufficient.iter().any(|core| core & !code == 0);
        let oracle = |kept: &BitSet| holds(code(kept));
        let all_cores = minimal(&weights, holds);
        let found = cores(&weights, SearchLimits::default(), oracle);
        prop_assert!(found.complete);
        prop_assert_eq!(weighed(&weights, &found.items), all_cores.clone());

        let full = (1 << FACTS) - 1;
        let found = corrections(&weights, SearchLimits::default(), oracle);
        prop_assert!(found.complete);
        prop_assert_eq!(weighed(&weights, &found.items), minimal(&weights, |out| !holds(full & !out)));

        let one = minimal_core(&weights, oracle);
        prop_assert_eq!(one.is_some(), !all_cores.is_empty());
        if let Some(one) = one {
            prop_assert!(all_cores.iter().any(|(_, core)| *core == one));
            // Of all cores, the one whose worst facts (heaviest, then last) are least bad.
            let worst_first = |core: &BitSet| {
                let mut facts: Vec<_> = core.iter().map(|fact| (weights[fact], fact)).collect();
                facts.sort_by(|a, b| b.cmp(a));
                facts
            };
            let best = all_cores.iter().map(|(_, core)| worst_first(core)).min().unwrap();
            prop_assert_eq!(worst_first(&one), best);
        }
    }

    /// Whatever the oracle says, an answer is sufficient and no single fact of it can go.
    #[test]
    fn any_oracle(answers in prop::collection::vec(any::<bool>(), 1 << FACTS)) {
        let holds = |kept: &BitSet| answers[code(kept)];
        let without = |set: &BitSet, fact: usize| { let mut set = set.clone(); set.remove(fact); set };
        let weights = [1; FACTS];
        for core in minimal_core(&weights, holds).iter().chain(&cores(&weights, SearchLimits::default(), holds).items) {
            prop_assert!(holds(core));
            prop_assert!(core.iter().all(|fact| !holds(&without(core, fact))));
        }
        let all = BitSet::all(FACTS);
        for correction in corrections(&weights, SearchLimits::default(), holds).items {
            prop_assert!(!holds(&all.without(&correction)));
            prop_assert!(correction.iter().all(|fact| holds(&all.without(&without(&correction, fact)))));
        }
    }
}

#[test]
fn few_questions_for_few_facts() {
    let needed = [17, 400, 901];
    let mut questions = 0;
    let core = minimal_core(&[1; 1000], |kept| {
        questions += 1;
        needed.iter().all(|fact| kept.contains(*fact))
    });
    assert_eq!(core.unwrap().iter().collect::<Vec<_>>(), needed);
    assert!(questions < 80, "{questions}");
}

#[test]
fn limits_are_kept_and_told() {
    // Choose one of two, twenty times: a million cores.
    let weights = [1; 40];
    let holds = |kept: &BitSet| (0..20).all(|pair| kept.contains(2 * pair) || kept.contains(2 * pair + 1));
    let found = cores(&weights, SearchLimits { answers: 5, tests: 100_000 }, holds);
    assert_eq!((found.items.len(), found.complete), (5, false));
    assert!(found.items.iter().all(|core| core.len() == 20));
    let mut questions = 0;
    let found = corrections(&weights, SearchLimits { answers: 1000, tests: 200 }, |kept| {
        questions += 1;
        holds(kept)
    });
    assert!(!found.complete && !found.items.is_empty());
    assert!(questions < 400, "{questions}");
    let eight = |kept: &BitSet| (0..8).all(|pair| kept.contains(2 * pair) || kept.contains(2 * pair + 1));
    let found = corrections(&[1; 16], SearchLimits::default(), eight);
    assert_eq!((found.items.len(), found.complete), (8, true));
}

#[test]
fn no_facts_at_all() {
    assert!(minimal_core(&[], |_| true).unwrap().is_empty());
    assert_eq!(minimal_core(&[], |_| false), None);
    assert_eq!(cores(&[], SearchLimits::default(), |_| true).items, [BitSet::none(0)]);
    assert_eq!(corrections(&[], SearchLimits::default(), |_| false).items, [BitSet::none(0)]);
    assert!(corrections(&[], SearchLimits::default(), |_| true).items.is_empty());
}
