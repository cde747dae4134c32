//! A job with an attempt applied to it, held against the job as it was.

use super::Stop;
use super::effect::{effects_at, in_words};
use crate::Workspace;
use checks::{Finding, Severity};
use model::{EntryId, Job, Touched};
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
pub(super) enum Verdict {
    /// A finding is still there, or too much has come.
    Refused,
    /// The findings are gone and no other has come; what that does to the hours of services.
    Proven(Option<String>),
    /// The findings are gone, and another has come at an entry.
    Brings(EntryId, Box<Finding>),
}

impl Trial<'_> {
    /// Checks all that the edits could reach; findings that came are put up with while there are at
    /// most `more`.
    pub(super) fn verdict(&self, more: usize) -> Verdict {
        let affected = self.affected();
        let reached = |id: EntryId| affected.contains(&id) || self.job.entry(id).is_none();
        if !self.findings.iter().all(|(id, _)| reached(*id)) {
            return Verdict::Refused;
        }
        let (mut effects, mut came) = (Vec::new(), Vec::new());
        for id in affected {
            if (self.stop)() {
                return Verdict::Refused;
            }
            let after = checks::run(self.job, self.workspace.memo(), id);
            let before = self.workspace.outcome(id).filter(|_| !self.touched.removed.contains(&id));
            let was = before.map_or(&[][..], |outcome| &outcome.findings);
            let Some(others) = self.without_own(id, surplus(was, &after.findings).map(told).collect()) else {
                return Verdict::Refused;
            };
            let edited = self.touched.entries.contains(&id);
            for finding in surplus(&after.findings, was) {
                // A fault that stood elsewhere before, now told in other words, is not this repair's to make good.
                let old = !edited && others.iter().any(|(check, ..)| *check == finding.check.id);
                if old || came.len() == more {
                    return Verdict::Refused;
                }
                came.push((id, finding.clone()));
            }
            if let Some((before, after)) =
                before.and_then(|b| b.verdicts.as_ref()).zip(after.verdicts.as_ref())
            {
                effects.extend(effects_at(self.job, id, before, after));
            }
        }
        match came.into_iter().next() {
            Some((at, brought)) => Verdict::Brings(at, Box::new(brought)),
            None => Verdict::Proven(in_words(&effects, |id| self.is_about(id))),
        }
    }

    fn is_about(&self, id: EntryId) -> bool {
        self.findings.iter().any(|(about, _)| *about == id)
    }

    /// What is gone of an entry beside what must be; nothing if something that must be gone is not.
    fn without_own(&self, id: EntryId, mut gone: Vec<Told>) -> Option<Vec<Told>> {
        for (_, finding) in self.findings.iter().filter(|(about, _)| *about == id) {
            let at = gone.iter().position(|gone| *gone == told(finding))?;
            gone.swap_remove(at);
        }
        Some(gone)
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

/// Those of `these` findings that `those` have no match for.
fn surplus<'f>(these: &'f [Finding], those: &[Finding]) -> impl Iterator<Item = &'f Finding> {
    let mut left: Vec<_> = those.iter().map(told).collect();
    these.iter().filter(move |finding| match left.iter().position(|other| *other == told(finding)) {
        Some(at) => {
            left.swap_remove(at);
            false
        }
        None => true,
    })
}

/// A finding but for its figures: one whose figures change is still the same finding.
type Told = (&'static str, Severity, String);

fn told(finding: &Finding) -> Told {
    (finding.check.id, finding.severity, without_figures(&finding.message))
}

/// Words without the digits of figures, dates and times; those of a name, which begins with a letter, stay.
fn without_figures(message: &str) -> String {
    let (mut inside, mut is_name) = (false, false);
    let figures = |c: char| c.is_ascii_digit() || c == '.';
    let keep = |c: &char| {
        let goes_on = c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ':');
        if !inside && goes_on {
            is_name = c.is_alphabetic();
        }
        inside = goes_on;
        (goes_on && is_name) || !figures(*c)
    };
    message.chars().filter(keep).collect()
}

#[cfg(test)]
mod tests {
    use super::without_figures;

    #[test]
    fn figures_go_and_names_stay() {
        let told = without_figures("`AC-1` has 63.5 h from Fri 2027-05-28 17:00; `cool-1` is at 75 °F");
        assert_eq!(told, "`AC-1` has  h from Fri -- :; `cool-1` is at  °F");
        assert_ne!(without_figures("nothing drives AC1-OCC"), without_figures("nothing drives AC2-OCC"));
    }
}
