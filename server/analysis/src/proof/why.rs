//! Why something holds of a unit: a smallest useful set of the written facts that force it.
//!
//! A fact that is left open may be anything: an option any of its choices, a terminal or a point
//! on or off, a schedule occupied or not, a line of the logic on or off; a limit that is left open
//! rules nothing out. A set of facts is enough when what is claimed holds with all others open; in
//! the sets given here every fact is necessary.

use crate::proof::circuit::Open;
use crate::proof::question::{Asked, Question};
use crate::proof::solved::{Core, Moment};
use crate::reasons::Reason;
use crate::unit::UnitAnalysis;
use logic::{BitSet, minimal_core};

/// Something that can be claimed of a unit.
#[derive(Clone, Copy, Debug)]
pub enum Claim<'n> {
    /// A service never runs.
    ServiceNever(&'n str),
    /// An output is never on.
    OutputNever(&'n str),
    /// An output is never off.
    OutputAlways(&'n str),
    /// An input is never on.
    InputNever(&'n str),
    /// No output changes with an input.
    InputWithoutEffect(&'n str),
    /// No output changes when one choice of an option is made instead of another, by their numbers.
    ChoicesAlike(&'n str, usize, usize),
}

impl UnitAnalysis<'_> {
    /// Whether a claim is proven for all moments that `at` picks.
    pub fn holds(&self, claim: Claim<'_>, at: impl Fn(&Moment) -> bool) -> bool {
        self.asked(claim).is_some_and(|asked| self.question(asked, &self.picked(at)).holds(&|_| false))
    }

    /// The smallest useful set of facts that force a claim at the moments that `at` picks, in the
    /// order option, wiring, source, schedule, limit, logic; nothing if it does not hold.
    pub fn why(&self, claim: Claim<'_>, at: impl Fn(&Moment) -> bool) -> Option<Vec<Reason>> {
        let key = (self.asked(claim)?, self.picked(at));
        let core = self.solved.cores.of(&key, || self.core(&self.question(key.0, &key.1)))?;
        Some(core.iter().map(|f| Reason { kind: self.kind(*f), because: self.because(*f) }).collect())
    }

    fn core(&self, question: &Question<'_>) -> Core {
        let facts = question.facts();
        let weights: Vec<u32> = facts.iter().map(|f| self.kind(*f).weight()).collect();
        let enough = |kept: &BitSet| {
            let open: Open<'_> =
                &|fact| facts.iter().position(|f| *f == fact).is_some_and(|i| !kept.contains(i));
            question.holds(open)
        };
        let core = minimal_core(&weights, enough)?;
        Some(core.iter().filter_map(|i| facts.get(i).copied()).collect())
    }

    /// The moments that `at` picks, one of each state of the schedules.
    fn picked(&self, at: impl Fn(&Moment) -> bool) -> Vec<usize> {
        let mut picked: Vec<&Moment> = Vec::new();
        for moment in self.moments().iter().filter(|m| at(m)) {
            if !picked.iter().any(|known| known.states == moment.states) {
                picked.push(moment);
            }
        }
        picked.into_iter().map(|moment| moment.number).collect()
    }

    fn asked(&self, claim: Claim<'_>) -> Option<Asked> {
        Some(match claim {
            Claim::ServiceNever(service) => Asked::Never(self.logic.service_var(service)?),
            Claim::OutputNever(output) => Asked::Never(self.logic.var_of(output)?),
            Claim::OutputAlways(output) => Asked::Always(self.logic.var_of(output)?),
            Claim::InputNever(input) => Asked::Never(self.logic.input(input)?),
            Claim::InputWithoutEffect(input) => Asked::WithoutEffect(self.logic.input(input)?),
            Claim::ChoicesAlike(option, a, b) => {
                let option = self.unit_type.is.options.iter().position(|o| o.name.value == option)?;
                self.chosen.get(option)?;
                Asked::Alike(option, a, b)
            }
        })
    }

    fn question<'q>(&'q self, asked: Asked, moments: &[usize]) -> Question<'q> {
        let states = moments.iter().filter_map(|n| Some(self.moments().get(*n)?.states.as_slice()));
        Question::new(self, asked, states.collect())
    }
}
