//! What checks report.

use crate::check::{Check, Severity};
use analysis::Because;
use model::{Place, Spot};

/// Something wrong with a job, at a place in the entry it was found in.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The check that found it.
    pub check: &'static Check,
    /// How bad it is.
    pub severity: Severity,
    /// Where, in the entry that was looked at.
    pub spot: Spot,
    /// What is wrong, why, and what to do.
    pub message: String,
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
        Finding { check, severity, spot, message, because: Vec::new(), unused: false, instead: Vec::new() }
    }

    /// Gives it a severity of its own.
    pub fn severity(&mut self, severity: Severity) -> &mut Self {
        self.severity = severity;
        self
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
