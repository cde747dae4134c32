//! Entries as they come, change and go.

use super::{Job, Touched};
use crate::entry::{Entry, EntryId, FileId};
use crate::lower::Facts;
use crate::prepared::PreparedEntry;
use std::ops::Range;
use std::sync::Arc;
use std::sync::OnceLock;
use syntax::Part;

impl Job {
    /// Puts `entries` in place of those numbered `range` in a file, keeping the numbers of those
    /// that go by the same name.
    pub(super) fn replace(
        &mut self,
        file: FileId,
        range: Range<usize>,
        entries: Vec<PreparedEntry>,
        touched: &mut Touched,
    ) {
        let Some(Some(slot)) = self.files.get_mut(file.0 as usize) else { return };
        let mut ids = std::mem::take(&mut slot.ids);
        let range = range.start.min(ids.len())..range.end.min(ids.len());
        let same_count = range.len() == entries.len();
        let mut old: std::collections::VecDeque<EntryId> =
            ids.get(range.clone()).unwrap_or(&[]).iter().copied().collect();
        let mut new_ids = Vec::with_capacity(entries.len());
        for entry in entries {
            let part = &entry.part;
            // Entries keep their order but for the few that come and go, so the next old entry of
            // this name is nearly always the first.
            let known = old.iter().take(8).position(|id| {
                self.entry(*id).is_some_and(|e| {
                    e.part.section() == part.section()
                        && e.part.key() == part.key()
                        && e.part.role() == part.role()
                })
            });
            let id = match known {
                Some(i) => {
                    for gone in old.drain(..i) {
                        self.forget(gone, touched);
                    }
                    old.pop_front()
                }
                None if same_count && !old.is_empty() && part.key().is_none() => old.pop_front(),
                None => None,
            };
            new_ids.push(self.put(id, file, entry, touched));
        }
        for gone in old {
            self.forget(gone, touched);
        }
        let renumbered = range.start..if same_count { range.end } else { usize::MAX };
        ids.splice(range, new_ids);
        let numbered = ids.iter().enumerate().take(renumbered.end).skip(renumbered.start);
        for (ordinal, id) in numbered {
            if let Some(Some(entry)) = self.entries.get_mut(id.0 as usize) {
                entry.ordinal = ordinal as u32;
            }
        }
        if let Some(Some(slot)) = self.files.get_mut(file.0 as usize) {
            slot.ids = ids;
        }
    }

    fn put(
        &mut self,
        id: Option<EntryId>,
        file: FileId,
        prepared: PreparedEntry,
        touched: &mut Touched,
    ) -> EntryId {
        let PreparedEntry { part, facts } = prepared;
        let facts = |part: &Part| facts.unwrap_or_else(|| Arc::new(Facts::of(part)));
        if let Some(id) = id
            && let Some(Some(entry)) = self.entries.get_mut(id.0 as usize)
        {
            if Arc::ptr_eq(&entry.part, &part) {
                return id;
            }
            let new = facts(&part);
            let alike = syntax::alike(&entry.part, &part);
            entry.part = part;
            if new != entry.facts {
                touched.entries.push(id);
                self.unlink(id, touched);
                if let Some(Some(entry)) = self.entries.get_mut(id.0 as usize) {
                    entry.facts = new;
                }
                self.link(id, touched);
            } else if !alike {
                // A check may look at what the facts leave out, like a key whose value is unreadable.
                touched.entries.push(id);
            }
            return id;
        }
        let facts = facts(&part);
        let entry = Some(Entry { file, part, facts, ordinal: 0 });
        let id = match self.free.pop() {
            Some(id) => {
                if let Some(slot) = self.entries.get_mut(id.0 as usize) {
                    *slot = entry;
                }
                id
            }
            None => {
                self.entries.push(entry);
                EntryId(self.entries.len() as u32 - 1)
            }
        };
        touched.entries.push(id);
        self.link(id, touched);
        id
    }

    /// Takes an entry, which still has its facts, out of the index.
    fn unlink(&mut self, id: EntryId, touched: &mut Touched) {
        let Some(facts) = self.entry(id).map(|entry| entry.facts.clone()) else { return };
        if let (Some(halves), Some((kind, name))) = (self.halves.get_mut(), &facts.declares) {
            halves.remove(*kind, name, id);
        }
        self.circles = OnceLock::new();
        for key in facts.keys() {
            self.index.remove(&key, id);
            touched.keys.insert(key);
        }
    }

    /// Puts an entry into the index.
    fn link(&mut self, id: EntryId, touched: &mut Touched) {
        let Some(facts) = self.entry(id).map(|entry| entry.facts.clone()) else { return };
        if let (Some(halves), Some((kind, name))) = (self.halves.get_mut(), &facts.declares) {
            halves.add(*kind, name, id);
        }
        self.circles = OnceLock::new();
        for key in facts.keys() {
            self.index.add(&key, id);
            touched.keys.insert(key);
        }
    }

    fn forget(&mut self, id: EntryId, touched: &mut Touched) {
        if self.entry(id).is_none() {
            return;
        }
        self.unlink(id, touched);
        if let Some(slot) = self.entries.get_mut(id.0 as usize) {
            *slot = None;
        }
        touched.removed.push(id);
        self.free.push(id);
    }
}
