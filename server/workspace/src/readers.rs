//! Which entries read which keys of the index, each key held once.

use hashbrown::HashTable;
use model::{EntryId, Key};
use rustc_hash::{FxBuildHasher, FxHashSet};
use smallvec::SmallVec;
use std::hash::BuildHasher;

/// The readers of every key that has any.
#[derive(Default)]
pub(crate) struct Readers {
    slots: Vec<Slot>,
    free: Vec<u32>,
    numbers: HashTable<u32>,
}

struct Slot {
    key: Key,
    readers: SmallVec<[EntryId; 2]>,
}

/// The numbers of the keys that one entry read.
pub(crate) type Reads = Box<[u32]>;

fn hash(key: &Key) -> u64 {
    FxBuildHasher.hash_one(key)
}

impl Readers {
    /// Notes that `id` read `keys`.
    pub(crate) fn add(&mut self, id: EntryId, keys: FxHashSet<Key>) -> Reads {
        let numbers = keys.into_iter().map(|key| {
            let number = self.number(key);
            if let Some(slot) = self.slots.get_mut(number as usize) {
                slot.readers.push(id);
            }
            number
        });
        numbers.collect()
    }

    /// Forgets that `id` read what it read.
    pub(crate) fn remove(&mut self, id: EntryId, reads: &Reads) {
        for number in reads {
            let Some(slot) = self.slots.get_mut(*number as usize) else { continue };
            if let Some(at) = slot.readers.iter().position(|reader| *reader == id) {
                slot.readers.swap_remove(at);
            }
            if slot.readers.is_empty() {
                let hash = hash(&slot.key);
                if let Ok(known) = self.numbers.find_entry(hash, |n| n == number) {
                    known.remove();
                    self.free.push(*number);
                }
            }
        }
    }

    /// The entries that read `key`.
    pub(crate) fn of(&self, key: &Key) -> &[EntryId] {
        let slot = self.find(key).and_then(|number| self.slots.get(number as usize));
        slot.map_or(&[], |slot| &slot.readers)
    }

    fn find(&self, key: &Key) -> Option<u32> {
        let same = |n: &u32| self.slots.get(*n as usize).is_some_and(|slot| slot.key == *key);
        self.numbers.find(hash(key), same).copied()
    }

    fn number(&mut self, key: Key) -> u32 {
        if let Some(number) = self.find(&key) {
            return number;
        }
        let hash = hash(&key);
        let slot = Slot { key, readers: SmallVec::new() };
        let number = match self.free.pop() {
            Some(number) => {
                if let Some(old) = self.slots.get_mut(number as usize) {
                    *old = slot;
                }
                number
            }
            None => {
                self.slots.push(slot);
                self.slots.len() as u32 - 1
            }
        };
        let slots = &self.slots;
        let rehash = |n: &u32| slots.get(*n as usize).map_or(0, |slot| self::hash(&slot.key));
        self.numbers.insert_unique(hash, number, rehash);
        number
    }
}
