//! What entries say to each other: names declared and used, objects and texts taken.

use crate::bacnet::Object;
use crate::job::EntryId;
use crate::names::{Kind, Name};
use rustc_hash::FxHashMap;
use smallvec::SmallVec;

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
#[derive(Clone, Default)]
pub(crate) struct Index {
    slots: FxHashMap<Key, SmallVec<[EntryId; 2]>>,
}

impl Index {
    pub(crate) fn get(&self, key: &Key) -> &[EntryId] {
        self.slots.get(key).map_or(&[], |ids| ids)
    }

    pub(crate) fn add(&mut self, key: Key, id: EntryId) {
        let ids = self.slots.entry(key).or_default();
        // An entry adds its keys in one go, so a name it uses twice finds itself last.
        if ids.last() != Some(&id) {
            ids.push(id);
        }
    }

    pub(crate) fn remove(&mut self, key: &Key, id: EntryId) {
        if let Some(ids) = self.slots.get_mut(key) {
            if let Some(i) = ids.iter().rposition(|other| *other == id) {
                ids.swap_remove(i);
            }
            if ids.is_empty() {
                self.slots.remove(key);
            }
        }
    }
}
