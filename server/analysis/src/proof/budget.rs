//! How much work the proofs of one unit may take.
//!
//! Each question has a share of its own, which goes by the size of the unit alone. So the answer to a question
//! depends neither on what was asked before it nor on which of the units of one shape asked first.

use crate::bounds::UnitBounds;
use logic::Bounds;

/// The shares of a unit's questions.
#[derive(Clone, Copy)]
pub(crate) struct Budget {
    bounds: Bounds,
    /// Lines of logic and points, and inputs.
    size: u64,
    /// How many questions there may be: about inputs, outputs and services.
    questions: u64,
    moments: u64,
}

/// Lines up to which a unit has no more steps than any other.
const ORDINARY: u64 = 1 << 14;

impl Budget {
    pub(crate) fn of(bounds: UnitBounds, size: usize, questions: usize, moments: usize) -> Self {
        let size = size as u64;
        // To go through a long chain of points once is no proof that is too large.
        let steps = bounds.0.steps.saturating_mul(1 + size / ORDINARY);
        let bounds = bounds.0.steps(steps);
        Budget { bounds, size, questions: 8 + questions as u64, moments: moments.max(1) as u64 }
    }

    /// Does what is done once a unit.
    pub(crate) fn once<T>(&self, work: impl FnOnce() -> T) -> T {
        self.bounds.within(work)
    }

    /// Does what is done for all inputs together, each of which may take most of the logic.
    pub(crate) fn all_inputs<T>(&self, work: impl FnOnce() -> T) -> T {
        self.bounds.steps(self.bounds.steps.saturating_mul(4)).within(work)
    }

    /// Does what is done only when somebody asks for it, and is worth waiting for: a chart.
    pub(crate) fn chart<T>(&self, work: impl FnOnce() -> T) -> T {
        self.bounds.steps(self.bounds.steps.saturating_mul(32)).within(work)
    }

    /// Does what is done for each input, output or service over all moments.
    pub(crate) fn each<T>(&self, work: impl FnOnce() -> T) -> T {
        self.share(8, self.questions, 16, work)
    }

    /// Does what is done for each of them at each moment.
    pub(crate) fn at_a_moment<T>(&self, work: impl FnOnce() -> T) -> T {
        self.share(8, self.questions.saturating_mul(self.moments), 2, work)
    }

    /// Does what takes the whole circuit many times: to find the facts behind a claim.
    pub(crate) fn claim<T>(&self, work: impl FnOnce() -> T) -> T {
        self.share(32, self.questions, 64, work)
    }

    /// A part of all steps, but so many for each line in any case; no more than there are.
    fn share<T>(&self, of: u64, parts: u64, lines: u64, work: impl FnOnce() -> T) -> T {
        let all = self.bounds.steps;
        let steps = (all.saturating_mul(of) / parts).max(self.size.saturating_mul(lines)).min(all);
        self.bounds.steps(steps).within(work)
    }
}
