//! What entries say to each other: names declared and used, objects and texts taken.

use crate::bacnet::Object;
use crate::job::{Entry, EntryId};
use crate::lower::{Facts, Item};
use crate::names::{Kind, Name};
use hashbrown::HashTable;
use rayon::prelude::*;
use rustc_hash::FxBuildHasher;
use std::array;
use std::hash::BuildHasher;

/// Something that entries of different files have in common. Whoever reads a key of the index
/// depends on every entry that contributes to it.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Key {
    /// Entries that declare this name.
    Define(Kind, Name),
    /// Entries that use this name.
    Refer(Kind, Name),
    /// All entries of a kind.
    All(Kind),
    /// Points that take this object of this device.
    Object(Name, Object),
    /// Devices with this instance.
    DeviceInstance(u64),
    /// Points with this text.
    Text(Name),
    /// Entries that name this file of the job (a calendar, weather), and the file itself.
    Import(Name),
}

/// The cross-file index: key → entries that contribute to it, unordered.
///
/// It holds no keys, which would take several times the room of the rest: a key is what its hash and the
/// facts of any of its contributors say. So an entry must have the facts that it was added with for as
/// long as it is in.
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

/// A key that an entry contributes to: the entry's `nth`.
struct Told {
    hash: u64,
    id: EntryId,
    nth: u32,
}

const SHARDS: usize = 16;

/// So many entries are looked at in one go.
const CHUNK: usize = 4096;

fn hash(key: &Key) -> u64 {
    FxBuildHasher.hash_one(key)
}

/// Not the bits by which the tables themselves sort.
fn shard(hash: u64) -> usize {
    (hash >> 20) as usize % SHARDS
}

fn facts(entries: &[Option<Entry>], id: EntryId) -> Option<&Facts> {
    entries.get(id.0 as usize)?.as_ref().map(|entry| &*entry.facts)
}

/// Whether facts contribute to a key: the same as to look for it among [`Facts::keys`].
fn contributes(facts: &Facts, key: &Key) -> bool {
    match key {
        Key::Define(kind, name) => facts.declares.as_ref().is_some_and(|(k, n)| k == kind && n == name),
        Key::Refer(kind, name) => facts.uses.iter().any(|u| u.kind == *kind && u.name == *name),
        Key::All(Kind::Requirement) => matches!(facts.item, Item::Requirement(_)),
        Key::All(kind) => facts.declares.as_ref().is_some_and(|(k, _)| k == kind),
        Key::Object(..) | Key::DeviceInstance(_) | Key::Text(_) => facts.claims().any(|own| own == *key),
        Key::Import(path) => facts.imports().contains(path),
    }
}

impl Index {
    pub(crate) fn get(&self, entries: &[Option<Entry>], key: &Key) -> &[EntryId] {
        let hash = hash(key);
        let table = self.shards.get(shard(hash));
        let slot = table.and_then(|table| table.find(hash, |slot| slot.is(hash, key, entries)));
        slot.map_or(&[], |slot| slot.ids.all())
    }

    /// Adds an entry, which is in `entries`, to a key that it contributes to.
    pub(crate) fn add(&mut self, entries: &[Option<Entry>], key: &Key, id: EntryId) {
        let hash = hash(key);
        if let Some(table) = self.shards.get_mut(shard(hash)) {
            insert(table, hash, id, |slot| slot.is(hash, key, entries));
        }
    }

    /// Adds all entries from `first` on, and returns the files that they name.
    pub(crate) fn add_from(&mut self, entries: &[Option<Entry>], first: usize) -> Vec<Name> {
        let new = entries.get(first..).unwrap_or(&[]).par_chunks(CHUNK).enumerate();
        let told: Vec<_> = new.map(|(n, chunk)| tell(chunk, first + n * CHUNK)).collect();
        self.shards.par_iter_mut().enumerate().for_each(|(n, table)| {
            for Told { hash, id, nth } in told.iter().filter_map(|(shards, _)| shards.get(n)).flatten() {
                // Needed only where another entry may have contributed before.
                let mut key = None;
                insert(table, *hash, *id, |slot| {
                    let told = || facts(entries, *id).and_then(|facts| facts.keys().nth(*nth as usize));
                    slot.hash == *hash
                        && key
                            .get_or_insert_with(told)
                            .as_ref()
                            .is_some_and(|key| slot.is(*hash, key, entries))
                });
            }
        });
        told.into_iter().flat_map(|(_, imports)| imports).collect()
    }

    /// Takes an entry, which still is in `entries`, out of a key.
    pub(crate) fn remove(&mut self, entries: &[Option<Entry>], key: &Key, id: EntryId) {
        let hash = hash(key);
        let Some(table) = self.shards.get_mut(shard(hash)) else { return };
        if let Ok(mut slot) = table.find_entry(hash, |slot| slot.is(hash, key, entries))
            && slot.get_mut().ids.remove(id)
        {
            slot.remove();
        }
    }
}

fn insert(table: &mut HashTable<Slot>, hash: u64, id: EntryId, same: impl FnMut(&Slot) -> bool) {
    match table.find_mut(hash, same) {
        Some(slot) => slot.ids.add(id),
        None => {
            table.insert_unique(hash, Slot { hash, ids: Ids::One(id) }, |slot| slot.hash);
        }
    }
}

/// The keys of some entries numbered from `first` on, by shard, and the files that they name.
fn tell(entries: &[Option<Entry>], first: usize) -> ([Vec<Told>; SHARDS], Vec<Name>) {
    let (mut shards, mut imports) = (array::from_fn(|_| Vec::new()), Vec::new());
    for (id, entry) in (first..).zip(entries) {
        let keys = entry.iter().flat_map(|entry| entry.facts.keys());
        for (nth, key) in (0..).zip(keys) {
            let hash = hash(&key);
            if let Some(shard) = shards.get_mut(shard(hash)) {
                shard.push(Told { hash, id: EntryId(id as u32), nth });
            }
            if let Key::Import(path) = key {
                imports.push(path);
            }
        }
    }
    (shards, imports)
}

impl Slot {
    fn is(&self, hash: u64, key: &Key, entries: &[Option<Entry>]) -> bool {
        let contributor = || self.ids.all().first().and_then(|id| facts(entries, *id));
        self.hash == hash && contributor().is_some_and(|facts| contributes(facts, key))
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
