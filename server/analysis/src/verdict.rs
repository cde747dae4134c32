//! Verdicts: proofs over all allowed states and the whole period.

use model::Name;

/// Whether a service can run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// No allowed state turns it on.
    Never,
    /// It runs when called for, unless something blocks it.
    Unless,
    /// Every call for it is honoured.
    Always,
}

impl Verdict {
    /// `never`, `unless` or `always`.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Never => "never",
            Verdict::Unless => "unless",
            Verdict::Always => "always",
        }
    }
}

/// A stretch of time in which a service cannot run, in Unix seconds, half-open.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Gap {
    /// First moment.
    pub from: i64,
    /// First moment after it.
    pub to: i64,
}

impl Gap {
    /// Its length in hours.
    pub fn hours(&self) -> f64 {
        (self.to - self.from) as f64 / 3600.0
    }
}

/// The longest of some gaps, the first of equals.
pub(crate) fn longest(gaps: &[Gap]) -> Option<Gap> {
    gaps.iter().copied().reduce(
        |longest, gap| {
            if gap.to - gap.from > longest.to - longest.from { gap } else { longest }
        },
    )
}

/// The verdict on one service over the review period.
#[derive(Clone, PartialEq, Debug)]
pub struct ServiceVerdict {
    /// The service.
    pub service: Name,
    /// Never: at no moment. Always: at every moment, whatever else is called. Unless: the rest.
    pub verdict: Verdict,
    /// Hours of the period in which it can run.
    pub hours: f64,
    /// Number of gaps.
    pub gaps: usize,
    /// The longest gap, the earliest of equals.
    pub longest_gap: Option<Gap>,
    /// The smallest sets of circumstances that block it, each in words.
    pub unless: Vec<String>,
    /// Whether there are more such sets than `unless` lists.
    pub cut_short: bool,
}

/// The verdicts on a unit's services, in the order its type lists them.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Verdicts {
    /// One for each service.
    pub services: Vec<ServiceVerdict>,
    /// Hours of the review period.
    pub period_hours: f64,
}
