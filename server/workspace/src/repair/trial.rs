//! A job with an attempt applied to it, held against the job as it was.

use super::Stop;
use super::effect::{effects_at, in_words};
use crate::Workspace;
use checks::{Finding, FindingKey, HeldBack, held_back};
use model::{EntryId, Item, Job, Place, Touched};
use rustc_hash::FxHashSet;

/// Edits applied to a copy of the job.
pub(super) struct Trial<'t> {
    pub(super) workspace: &'t Workspace,
    pub(super) job: &'t Job,
    /// What must be gone.
    pub(super) findings: &'t [(EntryId, &'t Finding)],
    pub(super) touched: &'t Touched,
    pub(super) stop: Stop<'t>,
}

/// What the checks say of it.
pub(super) enum TrialResult {
    /// A finding is still there, or too much has come.
    Refused,
    /// The findings are gone and no other has come but what they had held back.
    Proven {
        /// What that does to the hours of services.
        effect: Option<String>,
        /// What they had held back.
        shows: Vec<FindingKey>,
    },
    /// The findings are gone, and another has come at an entry; or one stands for quite other reasons.
    Brings(EntryId, Box<Finding>),
}

/// A finding that was not there before, or was not as bad.
struct Came {
    at: EntryId,
    finding: Finding,
    /// What may hold findings back at its entry, in the job as it was; nothing where none can be.
    held: Option<HeldBack>,
}

/// What became of the findings of an entry.
#[derive(Default)]
struct FindingChange<'f> {
    gone: Vec<&'f Finding>,
    came: Vec<&'f Finding>,
}

impl Trial<'_> {
    /// Checks all that the edits could reach; findings that they bring are put up with while there are at
    /// most `more`.
    pub(super) fn verdict(&self, more: usize) -> TrialResult {
        let affected = self.affected();
        let reached = |id: EntryId| affected.contains(&id) || self.job.entry(id).is_none();
        if !self.findings.iter().all(|(id, _)| reached(*id)) {
            return TrialResult::Refused;
        }
        let (mut effects, mut came, mut gone, mut brought) = (Vec::new(), Vec::new(), Vec::new(), 0);
        for id in affected {
            if (self.stop)() {
                return TrialResult::Refused;
            }
            let after = crate::run::run(self.job, self.workspace.memo(), id);
            let before = self.workspace.outcome(id).filter(|_| !self.touched.removed.contains(&id));
            let was = before.map_or(&[][..], |outcome| &outcome.findings);
            let change = FindingChange::between(was, &after.findings);
            if let Some(standing) = self.still_there(id, &change, &after.findings) {
                if more == 0 || !self.stands_otherwise(id, standing) {
                    return TrialResult::Refused;
                }
                brought += 1;
                came.push(Came { at: id, finding: standing.clone(), held: None });
            }
            gone.extend(change.gone.iter().map(|finding| (id, finding.check)));
            let held = if change.came.is_empty() { None } else { self.held_back(id) };
            for finding in change.came {
                let held = held
                    .as_ref()
                    .filter(|held| held.may_be(finding) || self.is_blind(held, id, finding))
                    .cloned();
                brought += usize::from(held.is_none());
                came.push(Came { at: id, finding: finding.clone(), held });
            }
            if brought > more {
                return TrialResult::Refused;
            }
            if let Some((before, after)) =
                before.and_then(|b| b.verdicts.as_ref()).zip(after.verdicts.as_ref())
            {
                effects.extend(effects_at(self.job, id, before, after));
            }
        }
        let was_held = |came: &Came| {
            let by_one_gone =
                |held: &HeldBack| gone.iter().any(|(at, by)| held.is_by(&came.finding, by, *at));
            came.held
                .as_ref()
                .is_some_and(|held| self.is_blind(held, came.at, &came.finding) || by_one_gone(held))
        };
        let (shown, mut brought): (Vec<Came>, Vec<Came>) = came.into_iter().partition(was_held);
        if brought.len() > more {
            return TrialResult::Refused;
        }
        if !brought.is_empty() {
            let first = brought.swap_remove(0);
            return TrialResult::Brings(first.at, Box::new(first.finding));
        }
        let mut shows: Vec<FindingKey> =
            shown.iter().filter_map(|came| Some(came.finding.key(self.job.entry(came.at)?))).collect();
        shows.sort_unstable();
        TrialResult::Proven { effect: in_words(&effects, |id| self.is_about(id)), shows }
    }

    fn is_about(&self, id: EntryId) -> bool {
        self.findings.iter().any(|(about, _)| *about == id)
    }

    /// The first finding of an entry that must be gone and is not.
    fn still_there<'f>(
        &self,
        id: EntryId,
        change: &FindingChange<'_>,
        after: &'f [Finding],
    ) -> Option<&'f Finding> {
        let mut left: Vec<&Finding> = change.gone.clone();
        for (_, finding) in self.findings.iter().filter(|(about, _)| *about == id) {
            match left.iter().position(|gone| gone.is(finding)) {
                Some(at) => drop(left.swap_remove(at)),
                None => return after.iter().find(|standing| standing.is(finding)),
            }
        }
        None
    }

    /// Whether a finding that must be gone stands for reasons that have nothing in common with what it was for: what
    /// was changed was one fault of two.
    fn stands_otherwise(&self, id: EntryId, standing: &Finding) -> bool {
        let was = self.findings.iter().find(|(about, finding)| *about == id && standing.is(finding));
        let Some((_, was)) = was else { return false };
        let written = |job: &Job, finding: &Finding| -> Vec<(EntryId, checks::About)> {
            let places = finding.because.iter().map(|because| &because.place);
            places.filter_map(|place| path(job, place)).collect()
        };
        let (before, after) = (written(self.workspace.job(), was), written(self.job, standing));
        !before.is_empty() && !after.is_empty() && !after.iter().any(|place| before.contains(place))
    }

    /// What is held back at an entry of the job as it was; nothing at one that it did not have.
    fn held_back(&self, id: EntryId) -> Option<HeldBack> {
        let job = self.workspace.job();
        job.entry(id).map(|_| held_back(job, self.workspace.memo(), id))
    }

    /// Whether what must be gone left unread what the entry looks at. What is still not read as meant where it stood
    /// is no better than it was.
    fn is_blind(&self, held: &HeldBack, id: EntryId, came: &Finding) -> bool {
        let still_unread = |at: EntryId, was: &Finding| {
            let (before, after) = (around(self.workspace.job(), at, was), around(self.job, id, came));
            // What cannot be read at all could be before.
            let still = came.spot.node().is_none() || before.is_some() && before == after;
            came.check.finds_unread() && at == id && still
        };
        let blinds =
            |(at, was): &(EntryId, &Finding)| held.is_blind_by(was.check, *at) && !still_unread(*at, was);
        self.findings.iter().any(blinds)
    }

    /// The entries whose findings may differ, those of the findings first: most that fail, fail there.
    fn affected(&self) -> Vec<EntryId> {
        let mut affected: FxHashSet<EntryId> = self.workspace.readers(self.touched);
        affected.extend(&self.touched.entries);
        let own = |id: &EntryId| {
            let file = self.job.entry(*id).and_then(|entry| self.job.file(entry.file));
            file.is_some_and(|file| !file.library)
        };
        let mut affected: Vec<EntryId> = affected.into_iter().filter(own).collect();
        affected.sort_unstable_by_key(|id| (!self.is_about(*id), *id));
        affected
    }
}

/// Where a fact of the job's own is written, by keys; what a type says is no fault of the job.
fn path(job: &Job, place: &Place) -> Option<(EntryId, checks::About)> {
    let entry = job.entry(place.entry).filter(|entry| !matches!(entry.facts.item, Item::UnitType(_)))?;
    Some((place.entry, checks::About::spot(&entry.part, &place.spot)))
}

/// The keys around the pair or item that a finding marks.
fn around(job: &Job, id: EntryId, finding: &Finding) -> Option<checks::About> {
    let (entry, node) = (job.entry(id)?, finding.spot.node()?);
    Some(checks::About::path(&entry.part, entry.part.parent(node)?))
}

impl<'f> FindingChange<'f> {
    /// What has gone of an entry's findings, and what has come to them: a finding that is worse than it was has come.
    fn between(was: &'f [Finding], is: &'f [Finding]) -> FindingChange<'f> {
        let mut change = FindingChange { gone: was.iter().collect(), came: Vec::new() };
        for finding in is {
            match change.gone.iter().position(|before| before.is(finding)) {
                Some(at) => {
                    let before = change.gone.swap_remove(at);
                    if finding.severity > before.severity {
                        change.came.push(finding);
                    }
                }
                None => change.came.push(finding),
            }
        }
        change
    }
}
