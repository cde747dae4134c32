//! Why something holds of a unit: a smallest useful set of the written facts that force it.
//!
//! A fact that is left open may be anything: an option any of its choices, a terminal or a point
//! on or off, a schedule occupied or not, a line of the logic on or off; a limit that is left open
//! rules nothing out. A set of facts is enough when what is claimed holds with all others open; in
//! the sets given here every fact is necessary.

use crate::circuit::Open;
use crate::followed::State;
use crate::question::Question;
use crate::reasons::{Reason, ReasonKind};
use crate::unit::{Moment, UnitAnalysis};
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
        self.question(claim, &at).is_some_and(|question| question.holds(&|_| false))
    }

    /// The smallest useful set of facts that force a claim at the moments that `at` picks, in the
    /// order option, wiring, source, schedule, limit, logic; nothing if it does not hold.
    pub fn why(&self, claim: Claim<'_>, at: impl Fn(&Moment) -> bool) -> Option<Vec<Reason>> {
        let question = self.question(claim, &at)?;
        let facts = question.facts();
        let kinds: Vec<ReasonKind> = facts.iter().map(|f| self.kind(*f)).collect();
        let weights: Vec<u32> = kinds.iter().map(|k| k.weight()).collect();
        let enough = |kept: &BitSet| {
            let open: Open<'_> =
                &|fact| facts.iter().position(|f| *f == fact).is_some_and(|i| !kept.contains(i));
            question.holds(open)
        };
        let core = minimal_core(&weights, enough)?;
        let reason = |i: usize| Some(Reason { kind: *kinds.get(i)?, because: self.because(*facts.get(i)?) });
        Some(core.iter().filter_map(reason).collect())
    }

    fn question<'q>(&'q self, claim: Claim<'q>, at: &dyn Fn(&Moment) -> bool) -> Option<Question<'q>> {
        let looked_at = match claim {
            Claim::ServiceNever(service) => vec![self.logic.service_var(service)?],
            Claim::OutputNever(output) | Claim::OutputAlways(output) => {
                vec![self.logic.var_of(output)?]
            }
            Claim::InputNever(input) => vec![self.logic.input(input)?],
            Claim::InputWithoutEffect(_) | Claim::ChoicesAlike(..) => self.logic.output_vars.clone(),
        };
        let free = match claim {
            Claim::InputWithoutEffect(input) => Some(self.logic.input(input)?),
            _ => None,
        };
        let choices = match claim {
            Claim::ChoicesAlike(option, a, b) => {
                let n = self.unit_type.is.options.iter().position(|o| o.name.value == option)?;
                let with = |choice| {
                    let mut chosen = self.chosen.clone();
                    *chosen.get_mut(n)? = Some(choice);
                    Some(chosen)
                };
                Some((n, [with(a)?, with(b)?]))
            }
            _ => None,
        };
        let mut states: Vec<&[State]> = Vec::new();
        for moment in self.moments.iter().filter(|m| at(m)) {
            if !states.contains(&moment.states.as_slice()) {
                states.push(&moment.states);
            }
        }
        Some(Question { analysis: self, claim, looked_at, free, choices, states })
    }
}
