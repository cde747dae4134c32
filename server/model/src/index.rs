//! What entries say to each other: names declared and used, objects and texts taken.

use crate::entry::{Entry, EntryId};
use crate::key::Key;
use crate::lower::Facts;
use crate::names::Name;
use hashbrown::HashTable;
use rayon::prelude::*;
use rustc_hash::FxBuildHasher;
use std::hash::BuildHasher;

/// The cross-file index: the hash of a key → entries with a key of that hash, unordered.
///
/// It holds no keys, which would take several times the room of the rest, and compares none to take an entry
/// in, which would look up the facts of another: whoever reads asks the facts of those it finds. So an entry
/// must have the facts that it was added with for as long as it is in.
#[derive(Clone, Default)]
pub(crate) struct Index {
    /// By some bits of the hash, so that a whole job can be taken in side by side.
    shards: [HashTable<Slot>; SHARDS],
}

#[derive(Clone)]
struct Slot {
    hash: u64,
    ids: Ids,
}

/// Most keys have one contributor or two.
#[derive(Clone)]
enum Ids {
    One(EntryId),
    Two([EntryId; 2]),
    #[allow(clippy::box_collection)] // a slot takes a third less
    Many(Box<Vec<EntryId>>),
}

const SHARDS: usize = 16;

/// What the entries of one file tell the index.
#[derive(Clone, Default)]
pub(crate) struct Told {
    /// Hashes of keys, each with the entry's number in its file, in the order of shards.
    hashes: Box<[(u64, u32)]>,
    /// Where each shard's begin.
    begins: [u32; SHARDS],
    /// The files that they name.
    pub(crate) imports: Vec<Name>,
}

fn hash(key: &Key) -> u64 {
    FxBuildHasher.hash_one(key)
}

/// Not the bits by which the tables themselves sort.
fn shard(hash: u64) -> usize {
    (hash >> 20) as usize % SHARDS
}

/// Whether facts contribute to a key: the same as to look for it among [`Facts::keys`].
fn contributes(facts: &Facts, key: &Key) -> bool {
    match key {
        Key::Define(kind, name) => facts.declares.as_ref().is_some_and(|(k, n)| k == kind && n == name),
        Key::Refer(kind, name) => facts.uses.iter().any(|u| u.kind == *kind && u.name == *name),
        Key::All(kind) => facts.listed_as() == Some(*kind),
        Key::Object(..) | Key::DeviceInstance(_) | Key::Text(_) => facts.claims().any(|own| own == *key),
        Key::Import(path) => facts.imports().contains(path),
        Key::Unread(..) => facts.unread().any(|own| own == *key),
    }
}

impl Index {
    /// The entries that contribute to a key.
    pub(crate) fn get<'a>(
        &'a self,
        entries: &'a [Option<Entry>],
        key: &'a Key,
    ) -> impl Iterator<Item = EntryId> + 'a {
        let facts = |id: EntryId| entries.get(id.0 as usize)?.as_ref().map(|entry| &entry.facts);
        self.of(key).iter().copied().filter(move |id| facts(*id).is_some_and(|facts| contributes(facts, key)))
    }

    /// Those entries and any whose key has the same hash.
    fn of(&self, key: &Key) -> &[EntryId] {
        let hash = hash(key);
        let table = self.shards.get(shard(hash));
        let slot = table.and_then(|table| table.find(hash, |slot| slot.hash == hash));
        slot.map_or(&[], |slot| slot.ids.all())
    }

    /// How many entries contribute to a key, or more if another key has the same hash.
    pub(crate) fn at_most(&self, key: &Key) -> usize {
        self.of(key).len()
    }

    /// Adds an entry to a key that it contributes to.
    pub(crate) fn add(&mut self, key: &Key, id: EntryId) {
        let hash = hash(key);
        if let Some(table) = self.shards.get_mut(shard(hash)) {
            insert(table, hash, id);
        }
    }

    /// Adds what files tell, each with the number of its first entry.
    pub(crate) fn add_all(&mut self, files: &[(u32, Told)]) {
        self.shards.par_iter_mut().enumerate().for_each(|(n, table)| {
            for (first, told) in files {
                for (hash, ordinal) in told.shard(n) {
                    insert(table, *hash, EntryId(first + ordinal));
                }
            }
        });
    }

    /// Takes an entry out of a key. All of its keys go before it may come back: two of one hash go as one.
    pub(crate) fn remove(&mut self, key: &Key, id: EntryId) {
        let hash = hash(key);
        let Some(table) = self.shards.get_mut(shard(hash)) else { return };
        if let Ok(mut slot) = table.find_entry(hash, |slot| slot.hash == hash)
            && slot.get_mut().ids.remove(id)
        {
            slot.remove();
        }
    }
}

impl Told {
    /// What entries tell, numbered from 0 on.
    pub(crate) fn of<'f>(entries: impl Iterator<Item = &'f Facts>) -> Told {
        let (mut all, mut imports, mut counts) = (Vec::new(), Vec::new(), [0; SHARDS]);
        for (ordinal, facts) in (0..).zip(entries) {
            for key in facts.keys() {
                let hash = hash(&key);
                if let Some(count) = counts.get_mut(shard(hash)) {
                    *count += 1;
                }
                all.push((hash, ordinal));
                if let Key::Import(path) = key {
                    imports.push(path);
                }
            }
        }
        let mut begins = [0; SHARDS];
        for (n, count) in (1..).zip(counts.iter().take(SHARDS - 1)) {
            begins[n] = begins[n - 1] + count;
        }
        let (mut hashes, mut next) = (vec![(0, 0); all.len()], begins);
        for told in all {
            if let Some(at) = next.get_mut(shard(told.0)) {
                if let Some(slot) = hashes.get_mut(*at as usize) {
                    *slot = told;
                }
                *at += 1;
            }
        }
        Told { hashes: hashes.into(), begins, imports }
    }

    fn shard(&self, n: usize) -> &[(u64, u32)] {
        let begin = |n: usize| self.begins.get(n).map_or(self.hashes.len(), |begin| *begin as usize);
        self.hashes.get(begin(n)..begin(n + 1)).unwrap_or(&[])
    }
}

fn insert(table: &mut HashTable<Slot>, hash: u64, id: EntryId) {
    match table.find_mut(hash, |slot| slot.hash == hash) {
        Some(slot) => slot.ids.add(id),
        None => {
            table.insert_unique(hash, Slot { hash, ids: Ids::One(id) }, |slot| slot.hash);
        }
    }
}

impl Ids {
    fn all(&self) -> &[EntryId] {
        match self {
            Ids::One(id) => std::slice::from_ref(id),
            Ids::Two(ids) => ids,
            Ids::Many(ids) => ids,
        }
    }

    fn add(&mut self, id: EntryId) {
        // An entry adds its keys in one go, so a name it uses twice finds itself last.
        if self.all().last() == Some(&id) {
            return;
        }
        match self {
            Ids::One(first) => *self = Ids::Two([*first, id]),
            Ids::Two([first, second]) => *self = Ids::Many(Box::new(vec![*first, *second, id])),
            Ids::Many(ids) => ids.push(id),
        }
    }

    /// Takes out an entry; whether none is left.
    fn remove(&mut self, id: EntryId) -> bool {
        match self {
            Ids::One(only) => return *only == id,
            Ids::Two([first, second]) if *first == id => *self = Ids::One(*second),
            Ids::Two([first, second]) if *second == id => *self = Ids::One(*first),
            Ids::Two(_) => {}
            Ids::Many(ids) => {
                if let Some(i) = ids.iter().rposition(|other| *other == id) {
                    ids.swap_remove(i);
                }
                return ids.is_empty();
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{Job, Kind, Prepared, Touched};
    use syntax::File;

    #[test]
    fn a_key_of_the_same_hash_is_told_apart() {
        let text = "points:\n  A: {description: Fan}\n  B: {description: Pump}\n";
        let mut job = Job::new();
        let file = job.open("a.yaml".into(), Prepared::new(File::new(text)), &mut Touched::default());
        let ids = job.file(file).unwrap().entries().to_vec();
        let key = Key::Define(Kind::Point, Name::new("A"));
        // What happens where a key of B has this hash.
        job.index.add(&key, ids[2]);
        assert_eq!(job.contributors(&key).as_slice(), [ids[1]]);
        assert_eq!((job.count(&key, 9), job.at_most(&key)), (1, 2));
        job.index.remove(&key, ids[1]);
        assert_eq!((job.count(&key, 9), job.at_most(&key)), (0, 1));
    }
}
