//! Finds the names near a mistyped one without looking at all of them.
//!
//! One slip of the pen leaves the first or the last half of a name intact. So every name is filed
//! under both its halves, and only names that share a half with the mistyped one are compared.

use crate::entry::{Entry, EntryId};
use crate::kind::Kind;
use rustc_hash::FxHasher;
use smallvec::SmallVec;
use std::hash::Hasher;
use std::thread;

/// Half a name of some kind, and an entry of that kind with this half, in one number: quick to sort.
type Filed = u64;

/// Names by their halves, sorted: a list, since names are mistyped and changed far more seldom than
/// there are names.
#[derive(Clone, Default)]
pub(crate) struct Halves {
    filed: Vec<Filed>,
}

/// A half that more names share than this tells nothing of them: `-STATUS` in a long point list.
const COMMON: usize = 256;

/// Lengths may differ by this many letters.
const LONGER: usize = 3;

impl Halves {
    /// The halves of the names that entries declare.
    ///
    /// Works on threads of its own: those of a pool may all be waiting for this very list.
    pub(crate) fn of(entries: &[Option<Entry>]) -> Halves {
        let threads = thread::available_parallelism().map_or(1, usize::from);
        let size = entries.len().div_ceil(threads).max(1);
        let mut filed = thread::scope(|scope| {
            let chunks = || (0..).step_by(size).zip(entries.chunks(size));
            let spawn =
                |(first, entries)| thread::Builder::new().spawn_scoped(scope, move || sorted(first, entries));
            let parts: Vec<_> = chunks().map(spawn).collect();
            // Where the system gives no thread, this one does its part.
            let done = parts.into_iter().map(|part| part.ok()?.join().ok());
            let done = done
                .zip(chunks())
                .map(|(part, (first, entries))| part.unwrap_or_else(|| sorted(first, entries)));
            done.collect::<Vec<_>>().concat()
        });
        // One run after the other, which only a stable sort makes use of.
        #[allow(clippy::stable_sort_primitive)]
        filed.sort();
        Halves { filed }
    }

    /// Files a name.
    pub(crate) fn add(&mut self, kind: Kind, name: &str, id: EntryId) {
        for half in halves(name) {
            let filed = filed(kind, half, id);
            let at = self.filed.partition_point(|other| *other < filed);
            self.filed.insert(at, filed);
        }
    }

    /// Takes a name out.
    pub(crate) fn remove(&mut self, kind: Kind, name: &str, id: EntryId) {
        for half in halves(name) {
            if let Ok(at) = self.filed.binary_search(&filed(kind, half, id)) {
                self.filed.remove(at);
            }
        }
    }

    /// What is filed under a half; no more of it than tells whether that is too much.
    fn under(&self, kind: Kind, half: u32) -> &[Filed] {
        let from = self.filed.partition_point(|other| *other < filed(kind, half, EntryId(0)));
        let last = filed(kind, half, EntryId(u32::MAX));
        let from = self.filed.get(from..).unwrap_or(&[]);
        let count = from.iter().take(COMMON + 1).take_while(|other| **other <= last).count();
        from.get(..count).unwrap_or(&[])
    }

    /// Entries of `kind` whose name may be near `name`.
    pub(crate) fn near(&self, kind: Kind, name: &str) -> Vec<EntryId> {
        let name = Folded::of(name);
        let count = name.letters();
        let mut found = Vec::new();
        for length in count.saturating_sub(LONGER)..=count + LONGER {
            let half = length.div_ceil(2).min(count);
            for half in [number(false, name.first(half)), number(true, name.last(half))] {
                let same = self.under(kind, half);
                if same.len() <= COMMON {
                    found.extend(same.iter().map(|filed| EntryId(*filed as u32)));
                }
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// The halves of some entries' names, sorted; the entries are numbered from `first` on.
fn sorted(first: u32, entries: &[Option<Entry>]) -> Vec<Filed> {
    let named = |entry: &Option<Entry>| {
        let (kind, name) = entry.as_ref()?.facts.declares.as_ref()?;
        Some((*kind, halves(name)))
    };
    let named = (first..).zip(entries).filter_map(|(id, entry)| Some((EntryId(id), named(entry)?)));
    let mut filed: Vec<_> =
        named.flat_map(|(id, (kind, halves))| halves.map(|half| filed(kind, half, id))).collect();
    filed.sort_unstable();
    filed
}

/// Kind, half and entry in this order from the highest bit. Of the half 28 bits find room; where two halves share
/// them, a name is looked at in vain.
fn filed(kind: Kind, half: u32, id: EntryId) -> Filed {
    (kind as u64) << 60 | u64::from(half & 0x0fff_ffff) << 32 | u64::from(id.0)
}

/// A name in lower case.
struct Folded {
    bytes: SmallVec<[u8; 64]>,
    ascii: bool,
}

impl Folded {
    fn of(name: &str) -> Folded {
        let ascii = name.is_ascii();
        let bytes = if ascii {
            name.bytes().map(|b| b.to_ascii_lowercase()).collect()
        } else {
            name.to_lowercase().bytes().collect()
        };
        Folded { bytes, ascii }
    }

    /// The bytes at which letters begin.
    fn begins(&self) -> impl Iterator<Item = usize> + '_ {
        let begins = self.bytes.iter().enumerate().filter(|(_, b)| **b & 0xc0 != 0x80);
        begins.map(|(at, _)| at)
    }

    fn letters(&self) -> usize {
        if self.ascii { self.bytes.len() } else { self.begins().count() }
    }

    /// The byte at which the `n`th letter begins.
    fn begin(&self, n: usize) -> usize {
        if self.ascii { n } else { self.begins().nth(n).unwrap_or(self.bytes.len()) }
    }

    /// The first `n` letters.
    fn first(&self, n: usize) -> &[u8] {
        self.bytes.get(..self.begin(n)).unwrap_or(&self.bytes)
    }

    /// The last `n` letters.
    fn last(&self, n: usize) -> &[u8] {
        self.bytes.get(self.begin(self.letters().saturating_sub(n))..).unwrap_or(&self.bytes)
    }
}

/// The first and the last half of a name; the middle letter of an odd one is in both.
fn halves(name: &str) -> [u32; 2] {
    let name = Folded::of(name);
    let half = name.letters().div_ceil(2);
    [number(false, name.first(half)), number(true, name.last(half))]
}

fn number(last: bool, half: &[u8]) -> u32 {
    let mut hasher = FxHasher::default();
    hasher.write_u8(u8::from(last));
    hasher.write(half);
    hasher.finish() as u32
}
