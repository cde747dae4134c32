//! Written facts that force a finding.

use model::Place;

/// One reason of a finding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Because {
    /// Where the fact is written.
    pub place: Place,
    /// What it says there.
    pub text: String,
}

impl Because {
    /// The fact `text`, written at `place`.
    pub fn new(place: Place, text: impl Into<String>) -> Self {
        Because { place, text: text.into() }
    }
}
