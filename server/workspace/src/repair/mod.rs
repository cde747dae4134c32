//! Repairs that are proven: each was applied in memory, and all that it could change was checked
//! again, before it is offered.

mod deviation;
mod effect;
mod orders;
mod patch;
mod together;
mod trial;

pub use together::{Chosen, edits as edits_of};

use crate::Workspace;
use crate::workspace::settle_imports;
use checks::{Finding, FindingKey, PartEdit, Proposal};
use model::{EntryId, FileId, Job, Name, Spot, Touched};
use orders::{Order, orders, then_shows};
use patch::Patches;
use rustc_hash::FxHashSet;
use std::collections::BTreeMap;
use std::ops::Range;
use syntax::Edit;
use trial::{Trial, TrialResult};

/// So many repairs of a finding are offered.
const MOST_OFFERED: usize = 4;

/// So many changes a repair may consist of: the first, and those that make good what it brings.
const MOST_STEPS: usize = 4;

/// So many proposals for a finding are tried.
const MOST_TRIED: usize = 16;

/// So many attempts to make good what a proposal brings are made for a finding.
const MOST_FOLLOWED: usize = 24;

/// A change that makes good what another brings costs this part of what it costs on its own.
const CONSEQUENCE: u32 = 4;

/// What a finding that shows after a repair adds to its cost: of two repairs that cost alike, the one after which
/// nothing is left comes first.
const SHOWN: u32 = 5;

/// Whether to stop: asked between entries, of which a proof may look at many.
pub type Stop<'s> = &'s dyn Fn() -> bool;

/// Bytes of a file, and what stands there afterwards.
pub type FileEdit = (FileId, Range<u32>, String);

/// A change of text after which a finding is gone and no other has come.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Repair {
    /// What it does, as an order: `Split the window at midnight`.
    pub title: String,
    /// The change that clears the finding, as an order, without those that make good what it brings.
    pub intent: String,
    /// How many changes it consists of: the first, and those that make good what it brings.
    pub steps: usize,
    /// What it does to the hours of services, in words; nothing if they stay.
    pub effect: Option<String>,
    /// The findings that show once it is applied: the fault had held them back. Its title names them.
    pub shows: Vec<FindingKey>,
    /// Bytes of files, and what stands there afterwards; no two overlap. In the order of files and
    /// bytes.
    pub edits: Vec<FileEdit>,
    /// Whether it changes no meaning but the fault, so that it may be applied without a question.
    pub safe: bool,
}

impl Repair {
    /// What it is for, in one line: ``Move `cool-above` to 81 °F, with 1 change that follows``. The changes that follow
    /// are in the edits.
    pub fn summary(&self) -> String {
        let mut words = self.intent.clone();
        match self.steps {
            0 | 1 => {}
            2 => words += ", with 1 change that follows",
            steps => words += &format!(", with {} changes that follow", steps - 1),
        }
        then_shows(&self.shows).map_or(words.clone(), |shown| format!("{words}. {shown}"))
    }
}

/// Proves repairs on a copy of a job, made when the first is tried.
pub struct Repairer<'w> {
    workspace: &'w Workspace,
    scratch: Option<Job>,
}

/// What is open while repairs of a finding are looked for.
enum Candidate {
    /// To be tried.
    Untried(Attempt),
    /// Proven, and offered when nothing cheaper is left to try.
    Proven(Repair),
}

/// Changes that are tried together.
#[derive(Clone, Default)]
struct Attempt {
    orders: Vec<Order>,
    edits: Patches,
    cost: u32,
    safe: bool,
}

impl Workspace {
    /// Repairs of a finding of an entry, the least change first; none while findings are stale.
    pub fn repairs(&self, id: EntryId, finding: &Finding) -> Vec<Repair> {
        self.repairer().repairs(id, finding, &|| false)
    }

    /// Proves repairs of several findings with one copy of the job.
    pub fn repairer(&self) -> Repairer<'_> {
        Repairer { workspace: self, scratch: None }
    }
}

impl Repairer<'_> {
    /// Repairs of a finding of an entry, the least change first, as far as they are proven before
    /// it is to `stop`; none while findings are stale.
    pub fn repairs(&mut self, id: EntryId, finding: &Finding, stop: Stop<'_>) -> Vec<Repair> {
        let attempts = self.attempts(id, finding);
        self.proven(id, finding, attempts, MOST_OFFERED, stop)
    }

    /// The repair of least change, if that is safe.
    fn safe(&mut self, id: EntryId, finding: &Finding, stop: Stop<'_>) -> Option<Repair> {
        let attempts = self.attempts(id, finding);
        if !attempts.iter().any(|attempt| attempt.safe) {
            return None;
        }
        let first = self.proven(id, finding, attempts, 1, stop).into_iter().next();
        first.filter(|repair| repair.safe)
    }

    /// What is proposed for a finding; nothing while findings are stale, since only of current ones it is known
    /// what else they bring.
    fn attempts(&self, id: EntryId, finding: &Finding) -> Vec<Attempt> {
        if self.workspace.is_stale() || finding.check.repairs.is_empty() {
            return Vec::new();
        }
        let job = self.workspace.job();
        let proposals = checks::propose(job, self.workspace.memo(), id, finding);
        let first = Attempt { safe: true, ..Attempt::default() };
        let attempts = proposals.into_iter().filter_map(|proposal| first.with(job, &proposal));
        attempts.take(MOST_TRIED).collect()
    }

    /// At most so many repairs, the least change first.
    ///
    /// The cheapest attempt is tried next. One that clears the finding and brings others is taken
    /// further by what would repair those.
    fn proven(
        &mut self,
        id: EntryId,
        finding: &Finding,
        attempts: Vec<Attempt>,
        most: usize,
        stop: Stop<'_>,
    ) -> Vec<Repair> {
        let mut proven: Vec<Repair> = Vec::new();
        // By cost, and then in the order in which they were thought of.
        let untried = attempts.into_iter().enumerate().map(|(n, a)| ((a.cost, n), Candidate::Untried(a)));
        let mut open: BTreeMap<(u32, usize), Candidate> = untried.collect();
        let (mut numbered, mut followed, mut seen) = (open.len(), 0, FxHashSet::default());
        while let Some((_, next)) = open.pop_first() {
            if proven.len() == most || stop() {
                break;
            }
            let attempt = match next {
                Candidate::Proven(repair) => {
                    proven.push(repair);
                    continue;
                }
                Candidate::Untried(attempt) => attempt,
            };
            let edits = attempt.edits.clone().whole();
            let needless = |known: &Repair| known.edits.iter().all(|edit| edits.contains(edit));
            if proven.iter().any(needless) || !seen.insert(edits) {
                continue;
            }
            if attempt.orders.len() > 1 {
                followed += 1;
                if followed > MOST_FOLLOWED {
                    continue;
                }
            }
            match self.tried(id, finding, &attempt, stop) {
                AttemptResult::Refused => {}
                AttemptResult::Proven(effect, shows) if shows.is_empty() => {
                    proven.push(attempt.into_repair(effect, shows));
                }
                AttemptResult::Proven(effect, shows) => {
                    numbered += 1;
                    let cost = attempt.cost + SHOWN * shows.len() as u32;
                    open.insert((cost, numbered), Candidate::Proven(attempt.into_repair(effect, shows)));
                }
                AttemptResult::Open(longer) => {
                    for attempt in longer {
                        numbered += 1;
                        open.insert((attempt.cost, numbered), Candidate::Untried(attempt));
                    }
                }
            }
        }
        proven
    }

    fn tried(&mut self, id: EntryId, finding: &Finding, attempt: &Attempt, stop: Stop<'_>) -> AttemptResult {
        let more = MOST_STEPS.saturating_sub(attempt.orders.len());
        let memo = self.workspace.memo();
        self.on_a_copy(attempt.edits.steps(), |workspace, job, touched| {
            let findings = &[(id, finding)];
            match (Trial { workspace, job, findings, touched, stop }).verdict(more) {
                TrialResult::Refused => AttemptResult::Refused,
                TrialResult::Proven { effect, shows } => AttemptResult::Proven(effect, shows),
                TrialResult::Brings(at, brought) => {
                    let proposals = checks::propose(job, memo, at, &brought);
                    AttemptResult::Open(proposals.into_iter().filter_map(|p| attempt.with(job, &p)).collect())
                }
            }
        })
    }

    /// What the checks say of findings that must be gone, with edits applied.
    fn verdict(
        &mut self,
        findings: &[(EntryId, &Finding)],
        edits: &[(FileId, Edit)],
        stop: Stop<'_>,
    ) -> TrialResult {
        self.on_a_copy(edits, |workspace, job, touched| {
            Trial { workspace, job, findings, touched, stop }.verdict(0)
        })
    }

    /// Looks at the copy of the job with edits applied, each to the text as those before it leave it,
    /// and takes them back.
    fn on_a_copy<R>(
        &mut self,
        edits: &[(FileId, Edit)],
        look: impl FnOnce(&Workspace, &Job, &Touched) -> R,
    ) -> R {
        let workspace = self.workspace;
        let job = self.scratch.get_or_insert_with(|| workspace.job().clone());
        let (mut touched, undo) = apply(job, edits);
        // What an edit names newly counts as it is: a repair that points at no file mends nothing.
        let read = |path: &Name| workspace.import(path);
        settle_imports(job, &mut touched, read);
        let seen = look(workspace, job, &touched);
        let mut touched = revert(job, undo);
        settle_imports(job, &mut touched, read);
        let as_before = |file: FileId| {
            let entries = |job: &Job| job.file(file).map(|f| f.entries().to_vec());
            entries(job) == entries(workspace.job())
        };
        if !edits.iter().all(|(file, _)| as_before(*file)) {
            self.scratch = None;
        }
        seen
    }
}

/// What came of an attempt.
enum AttemptResult {
    Refused,
    /// It holds, with this effect, and these findings show.
    Proven(Option<String>, Vec<FindingKey>),
    /// The finding is gone and others came; these may make that good.
    Open(Vec<Attempt>),
}

impl Attempt {
    /// The same followed by a proposal for the job as it leaves it; nothing if an edit has no place, or
    /// takes back what one before it wrote, or if it decides anew what one before it decided.
    fn with(&self, job: &Job, proposal: &Proposal) -> Option<Attempt> {
        if self.orders.iter().any(|order| order.is_contrary_to(proposal)) {
            return None;
        }
        let place = |edit: &PartEdit| {
            let (file, range) = job.span(edit.entry, &Spot::Bytes(edit.range.clone()))?;
            Some((file, Edit { range, new: edit.new.clone() }))
        };
        let mut placed: Vec<_> = proposal.edits.iter().map(place).collect::<Option<_>>()?;
        // From the last to the first, so that none moves another.
        placed.sort_by_key(|(file, edit)| std::cmp::Reverse((*file, edit.range.start, edit.range.end)));
        let mut longer = self.clone();
        for (file, edit) in placed {
            longer.edits.add(file, edit)?;
        }
        longer.orders.push(Order::of(job, proposal));
        // What only makes good what an earlier change brings is hardly a change of intent of its own.
        longer.cost += if self.orders.is_empty() { proposal.cost } else { proposal.cost / CONSEQUENCE };
        longer.safe &= proposal.safe;
        Some(longer)
    }

    fn into_repair(self, effect: Option<String>, shows: Vec<FindingKey>) -> Repair {
        // What changes the hours of a service is for somebody to decide.
        let safe = self.safe && effect.is_none();
        let orders = orders(&self.orders);
        let title = then_shows(&shows).map_or(orders.clone(), |shown| format!("{orders}. {shown}"));
        let intent = self.orders.first().map_or_else(String::new, |order| order.title().to_owned());
        let steps = self.orders.len();
        Repair { title, intent, steps, effect, shows, edits: self.edits.whole(), safe }
    }
}

/// Applies edits; what takes them back, in the order of its use from the end.
fn apply(job: &mut Job, edits: &[(FileId, Edit)]) -> (Touched, Vec<(FileId, Edit)>) {
    let (mut touched, mut undo) = (Touched::default(), Vec::new());
    for (file, edit) in edits {
        let Some(old) = job.file(*file).map(|f| f.file().text().slice(edit.range.clone())) else { continue };
        job.edit(*file, edit, &mut touched);
        let start = edit.range.start;
        undo.push((*file, Edit { range: start..start + edit.new.len() as u32, new: old }));
    }
    (touched, undo)
}

fn revert(job: &mut Job, undo: Vec<(FileId, Edit)>) -> Touched {
    let mut touched = Touched::default();
    for (file, edit) in undo.into_iter().rev() {
        job.edit(file, &edit, &mut touched);
    }
    touched
}
