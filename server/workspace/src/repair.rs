//! Repairs that are proven: each was applied in memory, and all that it could change was checked
//! again, before it is offered.

mod deviation;
mod together;

pub use together::{Chosen, edits as edits_of};

use crate::Workspace;
use analysis::Verdicts;
use checks::{Finding, Outcome, PartEdit, Proposal, Severity};
use model::{EntryId, FileId, Job, Spot, Touched};
use rustc_hash::{FxHashMap, FxHashSet};
use std::ops::Range;
use std::sync::atomic::{AtomicBool, Ordering};
use syntax::Edit;

/// So many proposals for a finding are tried.
const MOST_TRIED: usize = 12;

/// So many repairs of a finding are offered.
const MOST_OFFERED: usize = 4;

/// Bytes of a file, and what stands there afterwards.
pub type FileEdit = (FileId, Range<u32>, String);

/// A change of text after which a finding is gone and no other has come.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Repair {
    /// What it does, as an order: `Split the window at midnight`.
    pub title: String,
    /// What it does to the hours of services, in words; nothing if they stay.
    pub effect: Option<String>,
    /// Bytes of files, and what stands there afterwards; no two overlap. In the order of files and
    /// bytes.
    pub edits: Vec<FileEdit>,
    /// Whether it changes no meaning but the fault, so that it may be applied without a question.
    pub safe: bool,
}

/// Proves repairs on a copy of a job, made when the first is tried.
pub struct Repairer<'w> {
    workspace: &'w Workspace,
    scratch: Option<Job>,
}

impl Workspace {
    /// Repairs of a finding of an entry, the least change first; none while findings are stale.
    pub fn repairs(&self, id: EntryId, finding: &Finding) -> Vec<Repair> {
        self.repairer().repairs(id, finding, &AtomicBool::new(false))
    }

    /// Proves repairs of several findings with one copy of the job.
    pub fn repairer(&self) -> Repairer<'_> {
        Repairer { workspace: self, scratch: None }
    }
}

impl Repairer<'_> {
    /// Repairs of a finding of an entry, the least change first, as far as they are proven before
    /// `stop` is set; none while findings are stale.
    pub fn repairs(&mut self, id: EntryId, finding: &Finding, stop: &AtomicBool) -> Vec<Repair> {
        let mut proven = Vec::new();
        // What reads what is known of current findings only.
        if self.workspace.is_stale() || finding.check.repairs.is_empty() {
            return proven;
        }
        let proposals = checks::propose(self.workspace.job(), self.workspace.memo(), id, finding);
        for proposal in proposals.into_iter().take(MOST_TRIED) {
            if proven.len() == MOST_OFFERED || stop.load(Ordering::Relaxed) {
                break;
            }
            proven.extend(self.prove(id, finding, proposal, stop));
        }
        proven
    }

    fn prove(
        &mut self,
        id: EntryId,
        finding: &Finding,
        proposal: Proposal,
        stop: &AtomicBool,
    ) -> Option<Repair> {
        let edits = self.in_files(&proposal.edits)?;
        let effect = self.attempt(&[(id, finding)], &edits, stop)?;
        // What changes the hours of a service is for somebody to decide.
        let safe = proposal.safe && effect.is_none();
        Some(Repair { title: proposal.title, effect, edits, safe })
    }

    /// The effect of edits that are in order, in words, if findings are gone with them and no other has
    /// come.
    #[allow(clippy::option_option)] // refused, or proven with an effect or without one
    fn attempt(
        &mut self,
        findings: &[(EntryId, &Finding)],
        edits: &[FileEdit],
        stop: &AtomicBool,
    ) -> Option<Option<String>> {
        let workspace = self.workspace;
        let job = self.scratch.get_or_insert_with(|| workspace.job().clone());
        let (touched, undo) = apply(job, edits);
        let effect = Trial { workspace, job, findings, touched: &touched, stop }.outcome();
        revert(job, undo);
        let as_before = |file: &FileId| {
            let entries = |job: &Job| job.file(*file).map(|f| f.entries().to_vec());
            entries(job) == entries(workspace.job())
        };
        if !edits.iter().all(|(file, ..)| as_before(file)) {
            self.scratch = None;
        }
        effect
    }

    /// Edits of entries as edits of files, in order; nothing if two overlap or one has no place.
    fn in_files(&self, edits: &[PartEdit]) -> Option<Vec<FileEdit>> {
        let place = |edit: &PartEdit| {
            let (file, range) = self.workspace.span(edit.entry, &Spot::Bytes(edit.range.clone()))?;
            Some((file, range, edit.new.clone()))
        };
        let mut placed: Vec<_> = edits.iter().map(place).collect::<Option<_>>()?;
        placed.sort_by_key(|(file, range, _)| (*file, range.start, range.end));
        in_turn(&placed).then_some(placed)
    }
}

/// Whether no two of some edits, ordered by file and bytes, overlap.
fn in_turn(edits: &[FileEdit]) -> bool {
    edits.windows(2).all(|pair| match pair {
        [(a, first, _), (b, second, _)] => a != b || first.end <= second.start,
        _ => true,
    })
}

/// Applies edits that are in order, from the last to the first, so that none moves another; what
/// takes them back, in the order of its use from the end.
fn apply(job: &mut Job, edits: &[FileEdit]) -> (Touched, Vec<(FileId, Edit)>) {
    let (mut touched, mut undo) = (Touched::default(), Vec::new());
    for (file, range, new) in edits.iter().rev() {
        let Some(old) = job.file(*file).map(|f| f.file().text().slice(range.clone())) else { continue };
        job.edit(*file, &Edit { range: range.clone(), new: new.clone() }, &mut touched);
        undo.push((*file, Edit { range: range.start..range.start + new.len() as u32, new: old }));
    }
    (touched, undo)
}

fn revert(job: &mut Job, undo: Vec<(FileId, Edit)>) {
    for (file, edit) in undo.into_iter().rev() {
        job.edit(file, &edit, &mut Touched::default());
    }
}

/// Edits applied to a copy of the job.
struct Trial<'t> {
    workspace: &'t Workspace,
    job: &'t Job,
    /// What must be gone.
    findings: &'t [(EntryId, &'t Finding)],
    touched: &'t Touched,
    stop: &'t AtomicBool,
}

impl Trial<'_> {
    /// The effect in words, if the findings are gone and no other has come.
    #[allow(clippy::option_option)] // refused, or proven with an effect or without one
    fn outcome(&self) -> Option<Option<String>> {
        let mut affected: FxHashSet<EntryId> = self.workspace.readers(&self.touched.keys);
        affected.extend(&self.touched.entries);
        let own = |id: &EntryId| {
            let file = self.job.entry(*id).and_then(|entry| self.job.file(entry.file));
            file.is_some_and(|file| !file.library)
        };
        let mut affected: Vec<EntryId> = affected.into_iter().filter(own).collect();
        // The findings' own entries first: most that fail, fail there.
        affected.sort_unstable_by_key(|id| (!self.is_about(*id), *id));
        let untouched =
            |(id, _): &(EntryId, &Finding)| !affected.contains(id) && self.job.entry(*id).is_some();
        if self.findings.iter().any(untouched) {
            return None;
        }
        let mut effects = Vec::new();
        for id in affected {
            if self.stop.load(Ordering::Relaxed) {
                return None;
            }
            let after = checks::run(self.job, self.workspace.memo(), id);
            let before = self.workspace.outcome(id).filter(|_| !self.touched.removed.contains(&id));
            if !self.passes(id, before, &after) {
                return None;
            }
            let verdicts = before.and_then(|b| b.verdicts.as_ref()).zip(after.verdicts.as_ref());
            effects.extend(verdicts.map(|(before, after)| self.effect(id, before, after)));
        }
        let effects: Vec<String> = effects.into_iter().flatten().take(2).collect();
        Some((!effects.is_empty()).then(|| effects.join(", ")))
    }

    fn is_about(&self, id: EntryId) -> bool {
        self.findings.iter().any(|(about, _)| *about == id)
    }

    fn passes(&self, id: EntryId, before: Option<&Outcome>, after: &Outcome) -> bool {
        let mut counts: FxHashMap<(&str, Severity, String), i64> = FxHashMap::default();
        let findings = |outcome: Option<&Outcome>| outcome.map_or(&[][..], |o| &o.findings).to_vec();
        let key = |f: &Finding| (f.check.id, f.severity, without_numbers(&f.message));
        for finding in findings(before) {
            *counts.entry(key(&finding)).or_default() -= 1;
        }
        for finding in findings(Some(after)) {
            *counts.entry(key(&finding)).or_default() += 1;
        }
        let none_came = counts.values().all(|n| *n <= 0);
        // Each that must be gone is taken off what is gone.
        let mut own = self.findings.iter().filter(|(about, _)| *about == id);
        none_came
            && own.all(|(_, finding)| {
                counts.get_mut(&key(finding)).is_some_and(|n| {
                    *n += 1;
                    *n <= 0
                })
            })
    }

    /// How the hours of an entry's services differ.
    fn effect(&self, id: EntryId, before: &Verdicts, after: &Verdicts) -> Vec<String> {
        let weeks = after.period_hours / 168.0;
        let name = self.job.entry(id).and_then(|entry| entry.part.key()).unwrap_or_default();
        let at = if self.is_about(id) { String::new() } else { format!(" at {name}") };
        let changed = after.services.iter().filter_map(|service| {
            let was = before.services.iter().find(|s| s.service == service.service)?;
            let more = (service.hours - was.hours) / weeks;
            let verb = if more > 0.0 { "adds" } else { "takes away" };
            (more.abs() >= 0.05)
                .then(|| format!("{verb} {} h a week of {}{at}", figure(more.abs()), service.service))
        });
        changed.collect()
    }
}

/// Hours to the whole, or to a tenth below ten.
fn figure(hours: f64) -> String {
    if hours < 9.95 {
        let text = format!("{hours:.1}");
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    } else {
        format!("{hours:.0}")
    }
}

/// A message without its figures: a finding whose figures change is still the same finding.
fn without_numbers(message: &str) -> String {
    message.chars().filter(|c| !c.is_ascii_digit() && *c != '.').collect()
}
