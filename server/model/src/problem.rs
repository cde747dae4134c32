//! What could not be read as meant. The model states it; checks make findings of it.

use crate::names::{Name, Spot};

/// The kinds of trouble in writing, one for each check of that name.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ProblemKind {
    /// `syntax-error`
    YamlBroken,
    /// `key-unknown`
    KeyUnknown,
    /// `key-missing`
    KeyMissing,
    /// `wrong-value`
    ValueUnfit,
    /// `unit-of-measure-missing`
    UnitOfMeasureMissing,
    /// `too-large`
    TooLarge,
}

/// Something in an entry that could not be read as meant; the rest of the entry was.
#[derive(Clone, PartialEq, Debug)]
pub struct Problem {
    /// Which check reports it.
    pub kind: ProblemKind,
    /// Where.
    pub spot: Spot,
    /// The key that is missing there, where one is.
    pub missing: Option<Name>,
    /// What, why, and what to do.
    pub message: String,
    /// What may be written in its place, the likeliest first.
    pub instead: Vec<Name>,
}
