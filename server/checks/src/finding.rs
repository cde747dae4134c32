//! What checks report.

use crate::check::{Check, Severity};
use crate::written::did_you_mean;
use analysis::Because;
use model::{Job, Kind, Name, Place, Spot};
use std::borrow::Cow;

/// Something wrong with a job, at a place in the entry it was found in.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The check that found it.
    pub check: &'static Check,
    /// How bad it is.
    pub severity: Severity,
    /// Where, in the entry that was looked at.
    pub spot: Spot,
    /// What is wrong, why, and what to do; without what is known only when it is [shown](Finding::shown).
    pub message: String,
    /// A name that nothing goes by, where the message is to end with the names near it.
    pub missing: Option<(Kind, Name)>,
    /// The written facts that force it, each at its place.
    pub because: Vec<Because>,
    /// Whether it marks something without use, which editors can show dimmed.
    pub unused: bool,
    /// What may be written in place of what it marks, the likeliest first.
    pub instead: Vec<String>,
}

impl Finding {
    pub(crate) fn new(check: &'static Check, spot: Spot, message: String) -> Self {
        let severity = check.severity;
        Finding {
            check,
            severity,
            spot,
            message,
            missing: None,
            because: Vec::new(),
            unused: false,
            instead: Vec::new(),
        }
    }

    /// Gives it a severity of its own.
    pub fn severity(&mut self, severity: Severity) -> &mut Self {
        self.severity = severity;
        self
    }

    /// Has its message end with the names near one that nothing goes by. They are looked up when it is shown, so
    /// that the outcome of a check depends on no name but those it asks for.
    pub fn missing(&mut self, kind: Kind, name: Name) -> &mut Self {
        self.missing = Some((kind, name));
        self
    }

    /// The message as people read it, with the names of the job as they are now.
    pub fn shown(&self, job: &Job) -> Cow<'_, str> {
        let Some((kind, name)) = &self.missing else { return Cow::Borrowed(&self.message) };
        let near = job.near(*kind, name);
        let advice = if near.is_empty() {
            format!("correct the name, or declare it under `{}:`", kind.section())
        } else {
            did_you_mean(near.iter().map(Name::as_str))
        };
        Cow::Owned(format!("{}; {advice}", self.message))
    }

    /// Adds a reason.
    pub fn because(&mut self, place: Place, text: impl Into<String>) -> &mut Self {
        let because = Because { place, text: text.into() };
        if !self.because.contains(&because) {
            self.because.push(because);
        }
        self
    }

    /// Says what may be written in place of what it marks, the likeliest first.
    pub fn instead(&mut self, texts: impl IntoIterator<Item = impl Into<String>>) -> &mut Self {
        self.instead = texts.into_iter().map(Into::into).collect();
        self
    }

    /// Gives back the room it does not need: it may be kept for long.
    pub(crate) fn shrink(&mut self) {
        self.message.shrink_to_fit();
        self.because.shrink_to_fit();
        self.because.iter_mut().for_each(|because| because.text.shrink_to_fit());
    }

    /// Marks it as being about something without use.
    pub fn unused(&mut self) -> &mut Self {
        self.unused = true;
        self
    }
}

/// Takes the findings of one check after another on one entry.
pub struct Sink {
    /// The check that runs.
    pub(crate) check: &'static Check,
    pub(crate) found: Vec<Finding>,
}

impl Sink {
    /// Reports a finding at a spot of the entry that is looked at.
    pub fn report(&mut self, spot: impl Into<Spot>, message: impl Into<String>) -> &mut Finding {
        let last = self.found.len();
        self.found.push(Finding::new(self.check, spot.into(), message.into()));
        &mut self.found[last]
    }
}
