//! Why something holds of a unit: a smallest useful set of the written facts that force it.
//!
//! A fact that is left open may be anything: an option any of its choices, a terminal or a point
//! on or off, a schedule occupied or not, a line of the logic on or off; a limit that is left open
//! rules nothing out. A set of facts is enough when what is claimed holds with all others open; in
//! the sets given here every fact is necessary.

use crate::proof::circuit::{Fact, Open};
use crate::proof::question::Question;
use logic::{BitSet, minimal_core};

impl Question<'_> {
    /// The smallest useful set of facts that force the claim, in the order they are told; nothing if it does not hold.
    pub(crate) fn core(&self) -> Option<Vec<Fact>> {
        let facts = self.facts();
        let weights: Vec<u32> = facts.iter().map(|fact| fact.weight()).collect();
        let enough = |kept: &BitSet| {
            let open: Open<'_> =
                &|fact| facts.iter().position(|f| *f == fact).is_some_and(|i| !kept.contains(i));
            self.holds(open)
        };
        let core = minimal_core(&weights, enough)?;
        Some(core.iter().filter_map(|i| facts.get(i).copied()).collect())
    }
}
