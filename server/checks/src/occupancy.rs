//! A unit's occupied input, as the checks about occupancy look at it.

use crate::check::{FindingBuilder, Sink};
use crate::context::Ctx;
use analysis::{Atom, Moment, Reach, Signal, UnitAnalysis};
use logic::Answer;
use model::{Found, Mode, Name, Schedule};
use std::sync::Arc;
use syntax::NodeId;

/// The occupied input of a unit that has one, wired.
pub(crate) struct OccupiedInput<'a, 'j> {
    pub(crate) unit: &'a UnitAnalysis<'j>,
    /// What is wired to it: where its findings stand.
    pub(crate) at: NodeId,
    /// What it can be at each kind of moment.
    pub(crate) reach: Arc<[Reach]>,
    signal: &'a Signal,
}

impl<'a, 'j> OccupiedInput<'a, 'j> {
    /// Nothing where the unit has no such input, or where other checks say that its path ends at
    /// nothing: no wire, a point that nothing drives.
    pub(crate) fn of(ctx: &'a Ctx<'j>, out: &mut Sink) -> Option<Self> {
        let unit = ctx.unit()?;
        let signal = unit.signal(Mode::OCCUPIED_INPUT)?;
        if signal.hangs_free {
            out.held_back(None, "input-not-wired", ctx.id);
            signal.path.iter().for_each(|b| out.held_back(None, "point-undriven", b.place.entry));
            return None;
        }
        let at = unit.unit.is.wiring(Mode::OCCUPIED_INPUT)?.1.at;
        Some(OccupiedInput { unit, at, reach: unit.reach(Mode::OCCUPIED_INPUT)?, signal })
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
        self.signal.atoms(&self.unit.wires).into_iter()
    }

    /// The kinds of moments, each with what the input can be.
    pub(crate) fn moments(&self) -> impl Iterator<Item = (&'a Moment, Reach)> {
        self.unit.moments().iter().zip(self.reach.iter().copied())
    }

    /// Whether an output of the unit depends on it, as wired and set.
    pub(crate) fn is_needed(&self) -> Answer {
        self.unit.has_effect(Mode::OCCUPIED_INPUT)
    }

    /// Whether the unit's logic looks at it under the options chosen.
    pub(crate) fn is_looked_at(&self) -> Answer {
        self.unit.looks_at(Mode::OCCUPIED_INPUT)
    }

    /// The schedule of the unit's zone.
    pub(crate) fn zone_schedule(&self, ctx: &Ctx<'j>) -> Option<Found<'j, Schedule>> {
        let name = &self.unit.zone?.is.schedule.as_ref()?.value;
        ctx.view.find(name)
    }

    /// Adds the path from the input to its source.
    pub(crate) fn explain(&self, finding: &mut FindingBuilder) {
        for because in &self.signal.path {
            finding.because(because.place.clone(), because.text.as_str());
        }
    }
}
