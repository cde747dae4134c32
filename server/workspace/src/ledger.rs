//! What the checks found about each entry, who depends on what, and what is stale.

use checks::Outcome;
use model::{EntryId, Job, Key, Touched};
use rustc_hash::{FxHashMap, FxHashSet};

/// Outcomes by entry, and the readers of every key.
#[derive(Default)]
pub(crate) struct Ledger {
    outcomes: Vec<Option<Outcome>>,
    readers: FxHashMap<Key, Vec<EntryId>>,
    stale: FxHashSet<EntryId>,
}

impl Ledger {
    /// Marks everything that a change of facts may have changed the findings of.
    pub(crate) fn touch(&mut self, job: &Job, touched: &Touched) {
        for id in &touched.removed {
            self.put(*id, None);
            self.stale.remove(id);
        }
        for key in &touched.keys {
            self.stale.extend(self.readers.get(key).into_iter().flatten().filter(|id| job.entry(**id).is_some()));
        }
        let own = touched.entries.iter().filter(|id| {
            job.entry(**id).and_then(|e| job.file(e.file)).is_some_and(|f| !f.library)
        });
        self.stale.extend(own);
    }

    /// Entries whose outcome has to be worked out again, in order.
    pub(crate) fn stale(&self) -> Vec<EntryId> {
        let mut stale: Vec<EntryId> = self.stale.iter().copied().collect();
        stale.sort_unstable();
        stale
    }

    pub(crate) fn is_stale(&self) -> bool {
        !self.stale.is_empty()
    }

    /// Takes a new outcome in.
    pub(crate) fn settle(&mut self, id: EntryId, outcome: Outcome) {
        self.stale.remove(&id);
        for key in &outcome.reads {
            self.readers.entry(key.clone()).or_default().push(id);
        }
        self.put(id, Some(outcome));
    }

    fn put(&mut self, id: EntryId, outcome: Option<Outcome>) {
        let i = id.0 as usize;
        if self.outcomes.len() <= i {
            self.outcomes.resize_with(i + 1, || None);
        }
        let Some(slot) = self.outcomes.get_mut(i) else { return };
        if let Some(old) = std::mem::replace(slot, outcome) {
            let new: &FxHashSet<Key> = match slot {
                Some(new) => &new.reads,
                None => &FxHashSet::default(),
            };
            for key in old.reads.iter() {
                let Some(readers) = self.readers.get_mut(key) else { continue };
                // `settle` has just added the entry once more where it still reads the key.
                if let Some(at) = readers.iter().position(|reader| *reader == id) {
                    readers.swap_remove(at);
                }
                if readers.is_empty() && !new.contains(key) {
                    self.readers.remove(key);
                }
            }
        }
    }

    /// The outcome of an entry.
    pub(crate) fn outcome(&self, id: EntryId) -> Option<&Outcome> {
        self.outcomes.get(id.0 as usize)?.as_ref()
    }

    /// Every outcome with its entry.
    pub(crate) fn outcomes(&self) -> impl Iterator<Item = (EntryId, &Outcome)> {
        let numbered = self.outcomes.iter().enumerate();
        numbered.filter_map(|(i, outcome)| Some((EntryId(i as u32), outcome.as_ref()?)))
    }
}
