//! Safe repairs that are proven as a whole, to be applied at once.

use super::trial::TrialResult;
use super::{FileEdit, Repair, Repairer, Stop};
use checks::Finding;
use model::{EntryId, FileId};
use syntax::Edit;

/// A repair chosen for a finding.
pub struct Chosen<'w> {
    /// The entry of the finding.
    pub entry: EntryId,
    pub finding: &'w Finding,
    pub repair: Repair,
}

impl<'w> Repairer<'w> {
    /// The safe repairs of the findings of some files that may be applied together: the first of each
    /// finding, unless its bytes are another's already or the whole would not pass. None once it is to `stop`.
    pub fn together(&mut self, files: &[FileId], stop: Stop<'_>) -> Vec<Chosen<'w>> {
        let workspace = self.workspace;
        let mut chosen: Vec<Chosen<'w>> = Vec::new();
        for (entry, finding) in files.iter().flat_map(|file| workspace.findings(*file)) {
            let safe = self.safe(entry, finding, stop);
            if let Some(repair) = safe.filter(|repair| !chosen.iter().any(|c| meet(&c.repair, repair))) {
                chosen.push(Chosen { entry, finding, repair });
            }
        }
        if chosen.len() > 1 && !self.pass(&chosen, stop) {
            // Two that are right alone are wrong together: the earlier one stays.
            let mut kept = Vec::new();
            for one in chosen {
                kept.push(one);
                if !self.pass(&kept, stop) {
                    kept.pop();
                }
            }
            chosen = kept;
        }
        if stop() { Vec::new() } else { chosen }
    }

    fn pass(&mut self, chosen: &[Chosen<'w>], stop: Stop<'_>) -> bool {
        let edits = edits(chosen);
        let findings: Vec<_> = chosen.iter().map(|one| (one.entry, one.finding)).collect();
        // What changes the hours of a service is for somebody to decide.
        in_turn(&edits)
            && matches!(
                self.verdict(&findings, &from_the_last(edits), stop),
                TrialResult::Proven { effect: None, .. }
            )
    }
}

/// The edits of all that is chosen, in the order of files and bytes.
pub fn edits(chosen: &[Chosen<'_>]) -> Vec<FileEdit> {
    let mut edits: Vec<FileEdit> = chosen.iter().flat_map(|one| one.repair.edits.clone()).collect();
    edits.sort_by_key(|(file, range, _)| (*file, range.start, range.end));
    edits
}

/// Edits in order as steps: from the last to the first, so that none moves another.
fn from_the_last(edits: Vec<FileEdit>) -> Vec<(FileId, Edit)> {
    edits.into_iter().rev().map(|(file, range, new)| (file, Edit { range, new })).collect()
}

/// Whether no two of some edits, ordered by file and bytes, overlap.
fn in_turn(edits: &[FileEdit]) -> bool {
    edits.windows(2).all(|pair| match pair {
        [(a, first, _), (b, second, _)] => a != b || first.end <= second.start,
        _ => true,
    })
}

/// Whether two repairs write over the same bytes, or are one. What both insert at one place may be right
/// together, and is proven or refused like the rest.
fn meet(one: &Repair, other: &Repair) -> bool {
    let overlap = |a: &FileEdit, b: &FileEdit| a.0 == b.0 && a.1.start.max(b.1.start) < a.1.end.min(b.1.end);
    one.edits == other.edits || one.edits.iter().any(|a| other.edits.iter().any(|b| overlap(a, b)))
}
