//! The job with some facts of a unit supposed to be otherwise. It lies over the job and writes nothing.

use crate::Workspace;
use analysis::Analysis;
use checks::{Supposed, supposed};
use model::{Job, Spot, Touched, View};
use syntax::Edit;

/// A copy of a job in which facts are otherwise.
pub struct Overlay<'w> {
    workspace: &'w Workspace,
    job: Job,
}

impl Workspace {
    /// The job with facts of a unit otherwise.
    ///
    /// # Errors
    /// Which of them cannot be so, in plain words.
    pub fn supposing(&self, unit: &str, facts: &[Supposed]) -> Result<Overlay<'_>, String> {
        let mut job = self.job().clone();
        for fact in facts {
            let edit = supposed(&job, unit, fact).and_then(|edit| {
                let (file, range) = job.span(edit.entry, &Spot::Bytes(edit.range))?;
                Some((file, Edit { range, new: edit.new }))
            });
            let Some((file, edit)) = edit else {
                let (name, what) = match fact {
                    Supposed::Option { name, choice } => (name, choice.as_str()),
                    Supposed::Input { name, on } => (name, if *on { "tied on" } else { "tied off" }),
                };
                return Err(format!("`{name}` of `{unit}` cannot be supposed to be {what}"));
            };
            job.edit(file, &edit, &mut Touched::default());
        }
        Ok(Overlay { workspace: self, job })
    }
}

impl Overlay<'_> {
    /// The job as it would be.
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// Looks at it over its review period; nothing where there is no such.
    pub fn look<R>(&self, at: impl FnOnce(&Analysis<'_, '_>) -> R) -> Option<R> {
        let view = View::new(&self.job);
        Some(at(&Analysis::of_review(&view, self.workspace.memo())?))
    }
}
