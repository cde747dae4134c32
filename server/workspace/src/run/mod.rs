//! The one place where the checks are run.

use analysis::Memo;
use checks::Outcome;
use model::{EntryId, Job, Key};
use rustc_hash::FxHashSet;

/// What the checks find about an entry.
pub(crate) fn run(job: &Job, memo: &Memo, id: EntryId) -> Outcome {
    in_words(checks::run(job, memo, id))
}

/// What the checks find about an entry, and what they read to find it.
pub(crate) fn run_noting(job: &Job, memo: &Memo, id: EntryId) -> (Outcome, FxHashSet<Key>) {
    let (outcome, reads) = checks::run_noting(job, memo, id);
    (in_words(outcome), reads)
}

#[cfg(not(test))]
fn in_words(outcome: Outcome) -> Outcome {
    outcome
}

#[cfg(test)]
use tests::in_words;

/// Everything that is decided is decided by facts: with other words each time a check speaks, all is as before.
#[cfg(test)]
mod tests;
