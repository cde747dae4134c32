//! What many entries, and many jobs, have in common, worked out once.
//!
//! An answer is kept by all that it was made from, so nothing is ever invalidated: other facts are another key. What
//! is asked, and what its answer is, says the module that asks ([`MemoKey`]); the memory knows none of them.

use crate::bounds::UnitBounds;
use parking_lot::RwLock;
use rustc_hash::{FxHashMap, FxHashSet};
use std::any::{Any, TypeId};
use std::hash::Hash;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

/// A question whose answer is kept. It must hold all that decides the answer.
pub(crate) trait MemoKey: Eq + Hash + Send + Sync + 'static {
    /// The answer, cheap to copy.
    type Answer: Clone + Send + Sync + 'static;

    /// So many answers are kept at the most.
    const MOST: usize;

    /// What the question rests on: once nobody else holds one of these, it cannot be asked again.
    fn rests_on(&self, _part: &mut dyn FnMut(KeyPart)) {}
}

/// Something that a question rests on.
pub(crate) struct KeyPart {
    /// Its address, and by how many it is held.
    pub(crate) holders: (usize, usize),
    /// How often a question and its answer hold it.
    pub(crate) held: usize,
}

/// The shared results; safe to use from many threads, and by many jobs at once.
pub struct Memo {
    /// One for each kind of question, in the order in which each was first asked.
    shelves: [OnceLock<(TypeId, Box<dyn Shelf>)>; KINDS],
    most: usize,
    bounds: UnitBounds,
}

/// Room for so many kinds of questions. Those of further ones are answered anew each time.
const KINDS: usize = 16;

impl Default for Memo {
    fn default() -> Self {
        Memo::of_at_most(usize::MAX)
    }
}

impl Memo {
    /// A memory that keeps no more than so many answers of each kind. What it answers is the same.
    pub fn of_at_most(most: usize) -> Memo {
        Memo { shelves: [const { OnceLock::new() }; KINDS], most, bounds: UnitBounds::default() }
    }

    /// A memory of proofs within other bounds than the usual ones.
    pub fn bounded(bounds: UnitBounds) -> Memo {
        Memo { bounds, ..Memo::default() }
    }

    /// What the proofs of one unit, or of one unit type, may take.
    pub fn bounds(&self) -> UnitBounds {
        self.bounds
    }

    /// The answer to a question. It is worked out without a lock held: twice at the worst, and then all go by the
    /// first.
    pub(crate) fn of<K: MemoKey>(&self, question: K, answer: impl FnOnce(&K) -> K::Answer) -> K::Answer {
        let Some(cache) = self.cache::<K>() else { return answer(&question) };
        if let Some(known) = cache.get(&question) {
            return known;
        }
        let found = answer(&question);
        cache.keep(question, found)
    }

    fn cache<K: MemoKey>(&self) -> Option<&Cache<K>> {
        let id = TypeId::of::<K>();
        let make = || (id, Box::new(Cache::<K>::of_at_most(self.most)) as Box<dyn Shelf>);
        // Another thread may take an empty slot first, for this kind or another.
        let (_, shelf) = self.shelves.iter().map(|slot| slot.get_or_init(make)).find(|(of, _)| *of == id)?;
        let shelf: &dyn Any = &**shelf;
        shelf.downcast_ref()
    }

    /// Drops what came from facts that no entry states any more. Cheap; called between edits.
    pub fn sweep(&self) {
        // What one answer lets go of may be what another rests on.
        for _ in 0..KINDS {
            let shelves = self.shelves.iter().filter_map(OnceLock::get);
            if !shelves.fold(false, |some, (_, shelf)| shelf.sweep() || some) {
                break;
            }
        }
    }
}

trait Shelf: Any + Send + Sync {
    /// Drops what cannot be asked again; whether there was some.
    fn sweep(&self) -> bool;
}

/// Answers to questions of one kind. When it is full, the one that was asked for longest ago makes room.
struct Cache<K: MemoKey> {
    kept: RwLock<FxHashMap<K, Kept<K::Answer>>>,
    most: usize,
    /// Counts what is asked.
    clock: AtomicU64,
}

struct Kept<A> {
    answer: A,
    /// When it was last asked for.
    asked: AtomicU64,
}

impl<K: MemoKey> Cache<K> {
    fn of_at_most(most: usize) -> Self {
        Cache { kept: RwLock::default(), most: most.min(K::MOST).max(1), clock: AtomicU64::new(0) }
    }

    fn now(&self) -> u64 {
        self.clock.fetch_add(1, Ordering::Relaxed)
    }

    fn get(&self, question: &K) -> Option<K::Answer> {
        let kept = self.kept.read();
        let known = kept.get(question)?;
        known.asked.store(self.now(), Ordering::Relaxed);
        Some(known.answer.clone())
    }

    fn keep(&self, question: K, answer: K::Answer) -> K::Answer {
        let mut kept = self.kept.write();
        if let Some(first) = kept.get(&question) {
            return first.answer.clone();
        }
        if kept.len() >= self.most {
            let asked = |known: &Kept<K::Answer>| known.asked.load(Ordering::Relaxed);
            let longest_ago = kept.values().map(asked).min();
            kept.retain(|_, known| Some(asked(known)) != longest_ago);
        }
        kept.insert(question, Kept { answer: answer.clone(), asked: AtomicU64::new(self.now()) });
        answer
    }
}

impl<K: MemoKey> Shelf for Cache<K> {
    fn sweep(&self) -> bool {
        let mut kept = self.kept.write();
        let mut parts: FxHashMap<usize, (usize, usize)> = FxHashMap::default();
        for question in kept.keys() {
            question.rests_on(&mut |part| {
                let (address, holders) = part.holders;
                parts.entry(address).or_insert((holders, 0)).1 += part.held;
            });
        }
        let gone: FxHashSet<usize> = parts
            .into_iter()
            .filter(|(_, (holders, held))| holders <= held)
            .map(|(address, _)| address)
            .collect();
        if gone.is_empty() {
            return false;
        }
        kept.retain(|question, _| {
            let mut current = true;
            question.rests_on(&mut |part| current &= !gone.contains(&part.holders.0));
            current
        });
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::same::Same;
    use std::cell::Cell;
    use std::sync::Arc;

    #[derive(PartialEq, Eq, Hash)]
    struct Double(u64);

    impl MemoKey for Double {
        type Answer = u64;
        const MOST: usize = 3;
    }

    #[test]
    fn a_full_memory_gives_up_what_was_asked_for_longest_ago() {
        let (memo, made) = (Memo::default(), Cell::new(0));
        let ask = |n| {
            made.set(0);
            let answer = memo.of(Double(n), |Double(n)| {
                made.set(1);
                2 * n
            });
            assert_eq!(answer, 2 * n);
            made.get() == 1
        };
        assert_eq!([1, 2, 3].map(ask), [true; 3]);
        assert!(!ask(1));
        // The fourth takes the place of the second, and of no other.
        assert_eq!([4, 1, 3, 4].map(ask), [true, false, false, false]);
        assert!(ask(2));
        assert_eq!([3, 4, 2].map(ask), [false; 3]);
    }

    #[derive(PartialEq, Eq, Hash)]
    struct Length(Same<str>);

    impl MemoKey for Length {
        type Answer = Arc<usize>;
        const MOST: usize = 9;

        fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
            part(KeyPart { holders: self.0.holders(), held: 1 });
        }
    }

    #[derive(PartialEq, Eq, Hash)]
    struct Half(Same<usize>);

    impl MemoKey for Half {
        type Answer = usize;
        const MOST: usize = 9;

        fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
            part(KeyPart { holders: self.0.holders(), held: 1 });
        }
    }

    #[test]
    fn what_nobody_else_holds_is_swept_with_all_that_rests_on_it() {
        let memo = Memo::default();
        let kept = || {
            let lengths = memo.cache::<Length>().map_or(0, |cache| cache.kept.read().len());
            (lengths, memo.cache::<Half>().map_or(0, |cache| cache.kept.read().len()))
        };
        let texts: [Arc<str>; 2] = ["four".into(), "twelve words".into()];
        // MemoKey first, so that it is swept first.
        memo.of(Half(Same::of(&Arc::new(2))), |half| **half.0 / 2);
        for text in &texts {
            let length = memo.of(Length(Same::of(text)), |text| Arc::new(text.0.len()));
            memo.of(Half(Same::of(&length)), |half| **half.0 / 2);
        }
        assert_eq!(kept(), (2, 3));
        memo.sweep();
        assert_eq!(kept(), (2, 2));
        let [four, twelve] = texts;
        drop(four);
        memo.sweep();
        assert_eq!(kept(), (1, 1));
        drop(twelve);
        memo.sweep();
        assert_eq!(kept(), (0, 0));
    }
}
