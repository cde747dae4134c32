//! Finds the names near a mistyped one without looking at all of them.
//!
//! One slip of the pen leaves the first or the last half of a name intact. So every name is filed
//! under both its halves, and only names that share a half with the mistyped one are compared.

use crate::job::EntryId;
use crate::names::Kind;
use rustc_hash::{FxHashMap, FxHasher};
use smallvec::SmallVec;
use std::hash::{Hash, Hasher};

/// Half a name, as a number.
type Half = u32;

#[derive(Clone, Default)]
pub(crate) struct Halves {
    filed: FxHashMap<(Kind, Half), SmallVec<[EntryId; 2]>>,
}

/// A half that more names share than this tells nothing of them: `-STATUS` in a long point list.
const COMMON: usize = 256;

/// Lengths may differ by this many letters.
const LONGER: usize = 3;

impl Halves {
    pub(crate) fn add(&mut self, kind: Kind, name: &str, id: EntryId) {
        for half in halves(name) {
            self.filed.entry((kind, half)).or_default().push(id);
        }
    }

    pub(crate) fn remove(&mut self, kind: Kind, name: &str, id: EntryId) {
        for half in halves(name) {
            if let Some(ids) = self.filed.get_mut(&(kind, half)) {
                if let Some(at) = ids.iter().rposition(|other| *other == id) {
                    ids.swap_remove(at);
                }
                if ids.is_empty() {
                    self.filed.remove(&(kind, half));
                }
            }
        }
    }

    /// Entries of `kind` whose name may be near `name`.
    pub(crate) fn near(&self, kind: Kind, name: &str) -> Vec<EntryId> {
        let letters: Vec<char> = folded(name).collect();
        let mut found = Vec::new();
        for length in letters.len().saturating_sub(LONGER)..=letters.len() + LONGER {
            let half = length.div_ceil(2).min(letters.len());
            let (first, last) = (letters.get(..half), letters.get(letters.len() - half..));
            for (end, letters) in [first, last].into_iter().enumerate() {
                let key = number(end, letters.unwrap_or(&[]).iter().copied());
                let ids = self.filed.get(&(kind, key)).filter(|ids| ids.len() <= COMMON);
                found.extend(ids.into_iter().flatten());
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

fn folded(name: &str) -> impl Iterator<Item = char> {
    name.chars().flat_map(char::to_lowercase)
}

/// The first and the last half of a name; the middle letter of an odd one is in both.
fn halves(name: &str) -> [Half; 2] {
    let length = folded(name).count();
    let half = length.div_ceil(2);
    [number(0, folded(name).take(half)), number(1, folded(name).skip(length - half))]
}

fn number(end: usize, letters: impl Iterator<Item = char>) -> Half {
    let mut hasher = FxHasher::default();
    end.hash(&mut hasher);
    letters.for_each(|c| c.hash(&mut hasher));
    hasher.finish() as Half
}
