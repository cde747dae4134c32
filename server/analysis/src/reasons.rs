//! Written facts that force a finding.

use model::{Call, Place};

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

/// A fact that is necessary for a claim.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Reason {
    /// What kind of fact it is.
    pub kind: ReasonKind,
    /// Where it is written, and what it says there.
    pub because: Vec<Because>,
}

/// Kinds of facts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ReasonKind {
    /// The choice made for an option.
    Option,
    /// The point that is wired to an input.
    Wiring,
    /// That an input is tied on or off, or to another.
    Tie,
    /// That nothing is wired to an input.
    NotWired,
    /// What drives a point.
    Source,
    /// That nothing drives a point.
    Undriven,
    /// When a schedule is occupied, or that a zone follows it.
    Schedule,
    /// That a mode sets no limit, so that this call is not made.
    NoLimit(Call),
    /// That no sensor can report what would begin this call.
    BeyondSensor(Call),
    /// That two limits keep calls apart.
    LimitsApart,
    /// A line of the type's logic.
    Logic,
}

impl ReasonKind {
    /// Whether a check of its own reports the fact, so that what follows from it alone need not
    /// be repeated.
    pub fn reported_itself(self) -> bool {
        matches!(self, ReasonKind::NotWired | ReasonKind::Undriven | ReasonKind::BeyondSensor(_))
    }

    /// How soon a reader should look at it, the lowest first: what is missing before what is wrong,
    /// and what is changed with a pen before what is changed with a screwdriver.
    pub fn rank(self) -> u8 {
        match self {
            ReasonKind::Undriven => 0,
            ReasonKind::NotWired => 1,
            ReasonKind::Schedule => 2,
            ReasonKind::NoLimit(_) => 3,
            ReasonKind::BeyondSensor(_) => 4,
            ReasonKind::Source => 5,
            ReasonKind::Wiring | ReasonKind::Tie => 6,
            ReasonKind::Option => 7,
            ReasonKind::LimitsApart => 8,
            ReasonKind::Logic => 9,
        }
    }
}
