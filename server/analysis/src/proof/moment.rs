//! A kind of moment of a unit, and what was asked about it.

use crate::proof::budget::Budget;
use crate::proof::recall::Recall;
use logic::{Answer, Cube, Function};
use model::Mode;

/// A kind of moment: everything that time decides is the same throughout.
pub struct Moment {
    /// Its number among the kinds of moments.
    pub(crate) number: usize,
    /// The mode of the unit's own zone; nothing if its schedule is not known.
    pub mode: Option<Mode>,
    /// Which schedules are on.
    pub scheduled: Cube,
    /// The states the free atoms may take.
    pub allowed: Function,
    budget: Budget,
    possible: Recall<Function, Answer>,
    /// The fewest circumstances under which a function is on.
    pub(crate) fewest: Recall<Function, Option<Cube>>,
}

impl Moment {
    pub(crate) fn new(number: usize, mode: Option<Mode>, states: (Cube, Function), budget: Budget) -> Moment {
        let (scheduled, allowed) = states;
        let (possible, fewest) = (Recall::default(), Recall::default());
        Moment { number, mode, scheduled, allowed, budget, possible, fewest }
    }

    /// Whether an allowed state turns a function of the atoms on. Asked through
    /// [`UnitAnalysis`](crate::UnitAnalysis), which remembers what was not proven.
    pub(crate) fn can_be_on(&self, function: &Function) -> Answer {
        self.possible.of(function, || self.budget.at_a_moment(|| self.turns_on(function)))
    }

    /// The same within the bounds in force.
    pub(crate) fn turns_on(&self, function: &Function) -> Answer {
        self.allowed.and(&function.restrict_all(&self.scheduled)).can_be_on()
    }
}
