//! Sets of facts, each fact known by its place in the caller's list.

use std::cmp::Ordering;

/// A set of small numbers. Sets order by their members, compared one by one.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct BitSet {
    words: Box<[u64]>,
}

impl BitSet {
    /// No fact of `count`.
    pub fn none(count: usize) -> Self {
        Self { words: vec![0; count.div_ceil(64)].into() }
    }

    /// All facts of `count`.
    pub fn all(count: usize) -> Self {
        let mut set = Self::none(count);
        for fact in 0..count {
            set.insert(fact);
        }
        set
    }

    /// Whether the fact is in the set.
    pub fn contains(&self, fact: usize) -> bool {
        let word = self.words.get(fact / 64);
        word.is_some_and(|word| word >> (fact % 64) & 1 == 1)
    }

    /// Adds a fact; one beyond the count the set was made for is left out.
    pub fn insert(&mut self, fact: usize) {
        if let Some(word) = self.words.get_mut(fact / 64) {
            *word |= 1 << (fact % 64);
        }
    }

    /// Takes a fact out.
    pub fn remove(&mut self, fact: usize) {
        if let Some(word) = self.words.get_mut(fact / 64) {
            *word &= !(1 << (fact % 64));
        }
    }

    /// The facts, ascending.
    pub fn iter(&self) -> impl Iterator<Item = usize> {
        (self.words.iter().enumerate()).flat_map(|(at, word)| {
            (0..64).filter(move |bit| word >> bit & 1 == 1).map(move |bit| at * 64 + bit)
        })
    }

    /// How many facts it holds.
    pub fn len(&self) -> usize {
        self.words.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// Whether it holds none.
    pub fn is_empty(&self) -> bool {
        self.words.iter().all(|word| *word == 0)
    }

    /// Whether every fact of this set is in the other.
    pub fn is_subset(&self, other: &Self) -> bool {
        self.words.iter().zip(&other.words).all(|(a, b)| a & !b == 0)
    }

    /// Whether no fact is in both.
    pub fn is_disjoint(&self, other: &Self) -> bool {
        self.words.iter().zip(&other.words).all(|(a, b)| a & b == 0)
    }

    /// The facts of this set that are not in the other.
    #[must_use]
    pub fn without(&self, other: &Self) -> Self {
        let pairs = self.words.iter().zip(&other.words);
        Self { words: pairs.map(|(a, b)| a & !b).collect() }
    }
}

impl Ord for BitSet {
    fn cmp(&self, other: &Self) -> Ordering {
        self.iter().cmp(other.iter()).then(self.words.len().cmp(&other.words.len()))
    }
}

impl PartialOrd for BitSet {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
