//! Files read beforehand, so that many can be read side by side.

use crate::index::Told;
use crate::lower::Facts;
use std::sync::Arc;
use syntax::{File, Part};

/// A file with the facts of its entries, ready to be added to a job.
#[derive(Clone)]
pub struct Prepared {
    pub(crate) file: File,
    pub(crate) entries: Vec<PreparedEntry>,
    /// For the index, where it was worked out beforehand.
    pub(crate) told: Option<Told>,
}

#[derive(Clone)]
pub(crate) struct PreparedEntry {
    pub(crate) part: Arc<Part>,
    /// Read when they are needed, where an edit may have left the entry alone.
    pub(crate) facts: Option<Arc<Facts>>,
}

impl PreparedEntry {
    pub(crate) fn facts(&mut self) -> &Arc<Facts> {
        self.facts.get_or_insert_with(|| Arc::new(Facts::of(&self.part)))
    }
}

impl Prepared {
    /// Reads the facts of a file. Depends on nothing else, so files can be prepared side by side.
    pub fn new(file: File) -> Prepared {
        let entry =
            |part: &Arc<Part>| PreparedEntry { part: part.clone(), facts: Some(Arc::new(Facts::of(part))) };
        let entries = file.pieces().iter().map(|piece| entry(&piece.part)).collect();
        Prepared { file, entries, told: None }
    }

    /// Works out what the index needs too, while the facts are at hand: for [`Job::open_all`](crate::Job::open_all), which takes
    /// longer otherwise.
    #[must_use]
    pub fn told(mut self) -> Prepared {
        self.told = Some(self.tell());
        self
    }

    pub(crate) fn tell(&mut self) -> Told {
        Told::of(self.entries.iter_mut().map(|entry| &**entry.facts()))
    }
}
