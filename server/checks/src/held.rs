//! What a fault holds back: findings that show only when it is gone, and that no repair of it brings.
//!
//! A check that does not look where another reports says so through its [`Sink`](crate::Sink); what could not be read
//! as meant holds back whatever looks at it.

use crate::check::{Check, Finding, HeldBackNote};
use crate::run::run_asking;
use analysis::Memo;
use model::{EntryId, Job, Key};
use rustc_hash::FxHashSet;

/// Checks that find something written which was not taken as meant: nobody can tell what would be found, were it right.
const UNREAD: &[&str] = &[
    "syntax-error",
    "key-unknown",
    "key-missing",
    "wrong-value",
    "unit-of-measure-missing",
    "too-large",
    "name-unknown",
    "terminal-unknown",
    "import-unreadable",
    "import-outside-job",
    // It holds at no hour, and those that are meant are not known.
    "window-ends-before-start",
];

impl Check {
    /// Whether it finds what was written and not taken as meant.
    pub fn finds_unread(&self) -> bool {
        UNREAD.contains(&self.id)
    }
}

/// What faults of a job hold back at one entry of it.
#[derive(Clone, Debug)]
pub struct HeldBack {
    notes: Vec<HeldBackNote>,
    /// The entries that its checks look at, itself among them.
    looks_at: FxHashSet<EntryId>,
}

/// What faults hold back at an entry.
pub fn held_back(job: &Job, memo: &Memo, id: EntryId) -> HeldBack {
    let (notes, reads) = run_asking(job, memo, id);
    let mut looks_at: FxHashSet<EntryId> = FxHashSet::from_iter([id]);
    for key in reads {
        if matches!(key, Key::Define(..) | Key::Refer(..) | Key::Unread(..)) {
            looks_at.extend(job.contributors(&key));
        }
    }
    HeldBack { notes, looks_at }
}

impl HeldBack {
    /// What the checks said.
    pub fn notes(&self) -> &[HeldBackNote] {
        &self.notes
    }

    /// Whether a finding of the entry may have been held back by some fault.
    pub fn may_be(&self, finding: &Finding) -> bool {
        self.notes.iter().any(|note| note.is_about(finding))
    }

    /// Whether a finding of the entry was held back by a fault of a check at an entry.
    pub fn is_by(&self, finding: &Finding, by: &Check, at: EntryId) -> bool {
        self.notes.iter().any(|note| note.is_about(finding) && note.by == by.id && note.at == at)
    }

    /// Whether a fault of a check at an entry, by what it leaves unread, holds back whatever may be found here.
    pub fn is_blind_by(&self, by: &Check, at: EntryId) -> bool {
        by.finds_unread() && self.looks_at.contains(&at)
    }
}

#[cfg(test)]
mod tests {
    use super::UNREAD;

    #[test]
    fn unread_names_checks() {
        assert!(UNREAD.iter().all(|id| crate::find(id).is_some()));
    }
}
