//! What can be claimed of a unit, and the written facts that force it.

use crate::proof::circuit::Fact;
use crate::proof::moment::Moment;
use crate::proof::question::Asked;
use crate::reasons::Reason;
use crate::unit::UnitAnalysis;
use logic::Answer;

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
    /// Whether a claim holds at all moments that `at` picks.
    pub fn holds(&self, claim: Claim<'_>, at: impl Fn(&Moment) -> bool) -> Answer {
        let Some(asked) = self.asked(claim) else { return Answer::No };
        self.heard(self.solved.holds(asked, &self.picked(at)))
    }

    /// The smallest useful set of facts that force a claim at the moments that `at` picks, in the
    /// order option, wiring, source, schedule, limit, logic; nothing if it is not proven to hold.
    pub fn why(&self, claim: Claim<'_>, at: impl Fn(&Moment) -> bool) -> Option<Vec<Reason>> {
        let core = self.solved.core(self.asked(claim)?, self.picked(at));
        // Checks leave a finding to others by its reasons, which must not be more than there are.
        let _ = self.heard(core.is_smallest);
        let reason = |fact: &Fact| Reason { kind: self.kind(*fact), because: self.because(*fact) };
        self.heard(core.holds).is_yes().then(|| core.facts.iter().map(reason).collect())
    }

    /// The moments that `at` picks, one of each state of the schedules.
    fn picked(&self, at: impl Fn(&Moment) -> bool) -> Vec<usize> {
        let mut picked: Vec<&Moment> = Vec::new();
        for moment in self.moments().iter().filter(|m| at(m)) {
            if !picked.iter().any(|known| self.solved.states(known) == self.solved.states(moment)) {
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
                self.solved.shape().chosen.get(option)?;
                Asked::Alike(option, a, b)
            }
        })
    }
}
