//! Findings without end: of one check in one file so many are kept, and the others counted.

use checks::{Check, Finding, Outcome};
use model::{EntryId, FileId, Job};
use rustc_hash::FxHashMap;

/// So many findings of one check in one file are kept. Nobody reads as many, and each takes memory.
const MOST: usize = 10_000;

/// How many findings of each check each file has, as entries come in order.
#[derive(Default)]
pub(crate) struct Repeats {
    counts: FxHashMap<(FileId, &'static str), Count>,
}

struct Count {
    kept: usize,
    /// The finding that stands for all behind it, once there are more than are kept.
    more: Option<More>,
}

struct More {
    entry: EntryId,
    finding: Finding,
    count: usize,
}

impl Repeats {
    /// Takes out of an outcome what is more than is kept.
    pub(crate) fn cut(&mut self, job: &Job, id: EntryId, outcome: &mut Outcome) {
        let Some(file) = job.entry(id).map(|entry| entry.file) else { return };
        outcome.findings.retain(|finding| self.keeps(file, id, finding));
    }

    fn keeps(&mut self, file: FileId, entry: EntryId, finding: &Finding) -> bool {
        let key = (file, finding.check.id);
        let count = self.counts.entry(key).or_insert(Count { kept: 0, more: None });
        if count.kept < MOST {
            count.kept += 1;
            return true;
        }
        match &mut count.more {
            Some(more) => {
                more.count += 1;
                more.finding.severity = more.finding.severity.max(finding.severity);
            }
            None => count.more = Some(More { entry, finding: standing_for(finding), count: 1 }),
        }
        false
    }

    /// The findings that stand for those that were taken out, each with the entry of the first of them.
    pub(crate) fn told(self) -> Vec<(EntryId, Finding)> {
        let more = self.counts.into_values().filter_map(|count| count.more);
        let mut told: Vec<(EntryId, Finding)> = more
            .map(|More { entry, mut finding, count }| {
                finding.message = words(finding.check, count);
                (entry, finding)
            })
            .collect();
        told.sort_by_key(|(entry, finding)| (*entry, finding.check.id));
        told
    }
}

fn standing_for(finding: &Finding) -> Finding {
    let mut one = finding.clone();
    one.because.clear();
    one.instead.clear();
    one.missing = None;
    one
}

fn words(check: &Check, count: usize) -> String {
    format!(
        "{count} more findings of `{}` from here on in this file are not listed. Correct those above first.",
        check.id
    )
}
