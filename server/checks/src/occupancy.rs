//! A unit's occupied input, as the checks about occupancy look at it.

use crate::context::Ctx;
use crate::finding::Finding;
use analysis::{Atom, Moment, Signal, UnitAnalysis};
use logic::Function;
use model::{Found, Name, Schedule};
use syntax::NodeId;

/// The name that unit types give the input.
pub(crate) const OCCUPIED: &str = "occupied";

/// The occupied input of a unit that has one, wired.
pub(crate) struct OccupiedInput<'a, 'j> {
    /// The unit.
    pub(crate) unit: &'a UnitAnalysis<'j>,
    /// What is wired to it: where its findings stand.
    pub(crate) at: NodeId,
    signal: &'a Signal,
    on: Function,
}

impl<'a, 'j> OccupiedInput<'a, 'j> {
    /// Nothing where the unit has no such input, or where other checks say that its path ends at
    /// nothing: no wire, a point that nothing drives.
    pub(crate) fn of(ctx: &'a Ctx<'j>) -> Option<Self> {
        let unit = ctx.unit()?;
        let signal = unit.signal(OCCUPIED).filter(|signal| !signal.hangs_free)?;
        let at = unit.unit.is.wiring(OCCUPIED)?.1.at;
        let on = Function::from_expr(&signal.expr);
        Some(OccupiedInput { unit, at, signal, on })
    }

    /// The schedules behind it.
    pub(crate) fn schedules(&self) -> impl Iterator<Item = &'a Name> {
        self.atoms().filter_map(|atom| if let Atom::Schedule(name) = atom { Some(name) } else { None })
    }

    /// Whether a thermostat's call is behind it.
    pub(crate) fn follows_a_call(&self) -> bool {
        self.atoms().any(|atom| matches!(atom, Atom::Call { .. }))
    }

    fn atoms(&self) -> impl Iterator<Item = &'a Atom> {
        let atoms = self.unit.wires.atoms();
        self.signal.expr.mentions().into_iter().filter_map(|var| atoms.get(usize::from(var.0)))
    }

    /// Whether an allowed state of a moment turns it on.
    pub(crate) fn can_be_on(&self, moment: &Moment) -> bool {
        moment.can_be_on(&self.on)
    }

    /// Whether an allowed state of a moment leaves it off.
    pub(crate) fn can_be_off(&self, moment: &Moment) -> bool {
        moment.can_be_on(&self.on.not())
    }

    /// Whether an output of the unit depends on it, as wired and set.
    pub(crate) fn is_needed(&self) -> bool {
        self.unit.has_effect(OCCUPIED)
    }

    /// Whether the unit's logic looks at it under the options chosen.
    pub(crate) fn is_looked_at(&self) -> bool {
        self.unit.looks_at(OCCUPIED)
    }

    /// The schedule of the unit's zone.
    pub(crate) fn zone_schedule(&self, ctx: &Ctx<'j>) -> Option<Found<'j, Schedule>> {
        let name = &self.unit.zone?.is.schedule.as_ref()?.value;
        ctx.view.find(name)
    }

    /// Adds the path from the input to its source.
    pub(crate) fn explain(&self, finding: &mut Finding) {
        for because in &self.signal.path {
            finding.because(because.place.clone(), because.text.as_str());
        }
    }
}
