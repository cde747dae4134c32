//! Finds the names near a mistyped one without looking at all of them.
//!
//! One slip of the pen leaves the first or the last half of a name intact. So every name is filed
//! under both its halves, and only names that share a half with the mistyped one are compared.

use crate::job::EntryId;
use crate::names::Kind;
use rustc_hash::FxHasher;
use std::hash::{Hash, Hasher};

/// Half a name, as a number.
type Half = u32;

/// Names by their halves, sorted: a list, since names are mistyped and changed far more seldom than
/// there are names.
#[derive(Clone, Default)]
pub(crate) struct Halves {
    filed: Vec<(Kind, Half, EntryId)>,
}

/// A half that more names share than this tells nothing of them: `-STATUS` in a long point list.
const COMMON: usize = 256;

/// Lengths may differ by this many letters.
const LONGER: usize = 3;

impl Halves {
    /// The halves of these names.
    pub(crate) fn of<'n>(names: impl Iterator<Item = (Kind, &'n str, EntryId)>) -> Halves {
        let both = |(kind, name, id)| halves(name).map(|half| (kind, half, id));
        let mut filed: Vec<_> = names.flat_map(both).collect();
        filed.sort_unstable();
        filed.shrink_to_fit();
        Halves { filed }
    }

    pub(crate) fn add(&mut self, kind: Kind, name: &str, id: EntryId) {
        for half in halves(name) {
            let filed = (kind, half, id);
            let at = self.filed.partition_point(|other| *other < filed);
            self.filed.insert(at, filed);
        }
    }

    pub(crate) fn remove(&mut self, kind: Kind, name: &str, id: EntryId) {
        for half in halves(name) {
            if let Ok(at) = self.filed.binary_search(&(kind, half, id)) {
                self.filed.remove(at);
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
                let half = number(end, letters.unwrap_or(&[]).iter().copied());
                let from = self.filed.partition_point(|(k, h, _)| (*k, *h) < (kind, half));
                let filed = self.filed.get(from..).unwrap_or(&[]).iter();
                let same = filed.take_while(|(k, h, _)| (*k, *h) == (kind, half)).map(|(.., id)| *id);
                let before = found.len();
                found.extend(same.take(COMMON + 1));
                if found.len() - before > COMMON {
                    found.truncate(before);
                }
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
    if name.is_ascii() {
        let half = name.len().div_ceil(2);
        let ends = [name.get(..half), name.get(name.len() - half..)];
        let [first, last] = ends.map(|part| part.unwrap_or("").bytes());
        let lower = |b: u8| char::from(b.to_ascii_lowercase());
        return [number(0, first.map(lower)), number(1, last.map(lower))];
    }
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
