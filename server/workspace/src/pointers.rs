//! Which files the reasons of findings point into: when lines move there, the findings are resolved anew.

use checks::Outcome;
use model::{EntryId, FileId, Job};
use rustc_hash::{FxHashMap, FxHashSet};
use std::collections::hash_map::Entry;

/// What points from one file into another.
#[derive(Default)]
pub(crate) struct Pointers {
    /// For each file, the others with reasons that point into it, and how many of their entries do.
    into: FxHashMap<FileId, FxHashMap<FileId, u32>>,
    /// For each entry whose reasons point into other files: its own file, and those.
    by: FxHashMap<EntryId, (FileId, Box<[FileId]>)>,
}

impl Pointers {
    /// Notes where the reasons of an entry point, of which nothing is noted yet.
    pub(crate) fn add(&mut self, job: &Job, id: EntryId, outcome: &Outcome) {
        let Some(from) = job.entry(id).map(|entry| entry.file) else { return };
        let reasons = outcome.findings.iter().flat_map(|finding| &finding.because);
        let files = reasons.filter_map(|because| Some(job.entry(because.place.entry)?.file));
        let others: FxHashSet<FileId> = files.filter(|file| *file != from).collect();
        if others.is_empty() {
            return;
        }
        for file in &others {
            *self.into.entry(*file).or_default().entry(from).or_default() += 1;
        }
        self.by.insert(id, (from, others.into_iter().collect()));
    }

    /// Forgets an entry's reasons.
    pub(crate) fn remove(&mut self, id: EntryId) {
        let Some((from, others)) = self.by.remove(&id) else { return };
        for file in others {
            let Entry::Occupied(mut pointing) = self.into.entry(file) else { continue };
            if let Entry::Occupied(mut count) = pointing.get_mut().entry(from) {
                *count.get_mut() -= 1;
                if *count.get() == 0 {
                    count.remove();
                }
            }
            if pointing.get().is_empty() {
                pointing.remove();
            }
        }
    }

    /// The other files with reasons that point into a file.
    pub(crate) fn pointing_into(&self, file: FileId) -> impl Iterator<Item = FileId> {
        self.into.get(&file).into_iter().flat_map(|from| from.keys().copied())
    }
}
