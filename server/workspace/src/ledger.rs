//! What the checks found about each entry, and which entries they have to look at again.

use crate::pointers::Pointers;
use crate::readers::{Readers, Reads};
use checks::Outcome;
use fixedbitset::FixedBitSet;
use model::{EntryId, FileId, Job, Key, Touched};
use rustc_hash::FxHashSet;

/// Outcomes by entry, and what is stale.
#[derive(Default)]
pub(crate) struct Ledger {
    settled: Vec<Option<Settled>>,
    readers: Readers,
    pointers: Pointers,
    stale: Stale,
}

/// An entry that was looked at. Most have nothing to say.
struct Settled {
    outcome: Option<Box<Outcome>>,
    reads: Reads,
}

/// Entries to look at again.
#[derive(Default)]
struct Stale {
    numbers: FixedBitSet,
    count: usize,
}

impl Stale {
    fn insert(&mut self, id: EntryId) {
        let id = id.0 as usize;
        // By doubling: each growth is a copy.
        if id >= self.numbers.len() {
            self.numbers.grow((id + 1).next_power_of_two());
        }
        self.count += usize::from(!self.numbers.put(id));
    }

    fn remove(&mut self, id: EntryId) {
        if self.numbers.contains(id.0 as usize) {
            self.numbers.remove(id.0 as usize);
            self.count -= 1;
        }
    }
}

impl Ledger {
    /// Marks everything that a change of facts may have changed the findings of.
    pub(crate) fn touch(&mut self, job: &Job, touched: &Touched) {
        for id in &touched.removed {
            self.forget(*id);
            self.stale.remove(*id);
        }
        for id in self.readers(touched).into_iter().filter(|id| job.entry(*id).is_some()) {
            self.stale.insert(id);
        }
        let own = touched
            .entries
            .iter()
            .filter(|id| job.entry(**id).and_then(|e| job.file(e.file)).is_some_and(|f| !f.library));
        own.for_each(|id| self.stale.insert(*id));
    }

    /// Marks every entry of the job's own files, of which nothing was found out yet.
    pub(crate) fn touch_all(&mut self, job: &Job) {
        let own = job.files().filter(|(_, file)| !file.library);
        own.flat_map(|(_, file)| file.entries()).for_each(|id| self.stale.insert(*id));
    }

    /// Entries to look at again, in order.
    pub(crate) fn stale(&self) -> Vec<EntryId> {
        self.stale.numbers.ones().map(|id| EntryId(id as u32)).collect()
    }

    pub(crate) fn count_stale(&self) -> usize {
        self.stale.count
    }

    pub(crate) fn is_stale(&self) -> bool {
        self.stale.count > 0
    }

    /// Takes in what was found about an entry, and what was read to find it.
    pub(crate) fn settle(&mut self, job: &Job, id: EntryId, outcome: Outcome, reads: FxHashSet<Key>) {
        self.stale.remove(id);
        self.forget(id);
        self.pointers.add(job, id, &outcome);
        let reads = self.readers.add(id, reads);
        let outcome = (!outcome.is_empty()).then(|| Box::new(outcome));
        self.put(id, Settled { outcome, reads });
    }

    /// Takes in all that was found about a job that nothing will change; of other entries there is nothing to
    /// say.
    pub(crate) fn settle_for_good(&mut self, found: Vec<(EntryId, Box<Outcome>)>) {
        for id in std::mem::take(&mut self.stale).numbers.ones() {
            self.forget(EntryId(id as u32));
        }
        for (id, outcome) in found {
            self.put(id, Settled { outcome: Some(outcome), reads: Box::default() });
        }
    }

    fn put(&mut self, id: EntryId, settled: Settled) {
        let i = id.0 as usize;
        if self.settled.len() <= i {
            self.settled.resize_with(i + 1, || None);
        }
        if let Some(slot) = self.settled.get_mut(i) {
            *slot = Some(settled);
        }
    }

    fn forget(&mut self, id: EntryId) {
        if let Some(old) = self.settled.get_mut(id.0 as usize).and_then(Option::take) {
            self.readers.remove(id, &old.reads);
            self.pointers.remove(id);
        }
    }

    /// What was found about an entry, if anything was.
    pub(crate) fn outcome(&self, id: EntryId) -> Option<&Outcome> {
        self.settled.get(id.0 as usize)?.as_ref()?.outcome.as_deref()
    }

    /// Entries that read what was touched when they were last looked at.
    pub(crate) fn readers(&self, touched: &Touched) -> FxHashSet<EntryId> {
        touched.keys.iter().flat_map(|key| self.readers.of(key)).copied().collect()
    }

    /// The other files with findings whose reasons point into a file.
    pub(crate) fn pointing_into(&self, file: FileId) -> impl Iterator<Item = FileId> {
        self.pointers.pointing_into(file)
    }
}
