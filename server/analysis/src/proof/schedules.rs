//! The schedules behind a unit, with their courses.

use crate::analysis::Analysis;
use crate::proof::course::MomentKind;
use crate::proof::state::{OccupiedHours, State};
use crate::time::TimedSchedule;
use crate::variables;
use calendar::Value;
use logic::Var;
use model::{Found, Mode, ModeLimits, Name, Quantity, Schedule, Zone};
use std::sync::Arc;

/// The schedules behind a unit, each once.
#[derive(Default)]
pub(crate) struct Schedules<'j> {
    pub(crate) all: Vec<FollowedSchedule<'j>>,
    /// When the unit's own zone is occupied.
    pub(crate) own: OccupiedHours,
}

/// A schedule that decides something.
pub(crate) struct FollowedSchedule<'j> {
    pub(crate) name: Name,
    pub(crate) found: Found<'j, Schedule>,
    pub(crate) timed: Arc<TimedSchedule>,
    /// Its atom, or the variable that stands in for one.
    pub(crate) var: Var,
}

impl<'j> Schedules<'j> {
    /// What the schedules say at a kind of moment.
    pub(crate) fn states(&self, kind: &MomentKind) -> Box<[State]> {
        self.all.iter().zip(&kind.values).map(|(s, value)| s.state(*value)).collect()
    }

    /// The number of a schedule.
    pub(crate) fn number(&self, name: &Name) -> Option<usize> {
        self.all.iter().position(|s| s.name == *name)
    }

    /// A zone's limits of a mode while the schedules are in these states.
    pub(crate) fn limits(&self, zone: &Zone, mode: Mode, states: &[State]) -> Option<ModeLimits> {
        let value = |limit: &model::FollowedLimit| {
            let n = self.number(&limit.schedule.value)?;
            self.all.get(n)?.quantity(*states.get(n)?)
        };
        Some(zone.limits(mode)?.with(value))
    }

    pub(crate) fn follow(&mut self, analysis: &Analysis<'_, 'j>, name: &Name) -> Option<usize> {
        if let Some(n) = self.number(name) {
            return Some(n);
        }
        let found = analysis.view.find::<Schedule>(name)?;
        let timed = analysis.schedule(found);
        let var = variables::of_schedule(self.all.len())?;
        self.all.push(FollowedSchedule { name: name.clone(), found, timed, var });
        Some(self.all.len() - 1)
    }

    /// Follows what a zone follows; gives the hours in which it is occupied.
    pub(crate) fn follow_zone(
        &mut self,
        analysis: &Analysis<'_, 'j>,
        zone: Found<'j, Zone>,
    ) -> OccupiedHours {
        for limit in zone.is.each_limits().flat_map(|l| &l.followed) {
            self.follow(analysis, &limit.schedule.value);
        }
        match &zone.is.schedule {
            None if zone.entry.facts.doubtful() => OccupiedHours::Unknown,
            None => OccupiedHours::Always,
            Some(name) => {
                self.follow(analysis, &name.value).map_or(OccupiedHours::Unknown, OccupiedHours::Scheduled)
            }
        }
    }
}

impl FollowedSchedule<'_> {
    /// What its value of this number says; nothing certain if the schedule could not be read as meant.
    pub(crate) fn state(&self, value: Value) -> State {
        let schedule = self.found.is;
        let windows = schedule.week.iter().flat_map(|d| &d.windows);
        let mut windows = windows.chain(schedule.exceptions.iter().flat_map(|e| &e.windows));
        if self.found.entry.facts.doubtful() || windows.any(|w| w.start >= w.end) {
            return State::Unknown;
        }
        match schedule.states.get(usize::from(value)) {
            Some(state) if state.quantity.is_some() => State::Quantity(value),
            Some(state) if state.is_switch() => State::Switch(state.is_on()),
            _ => State::Unknown,
        }
    }

    /// The quantity that a state is.
    pub(crate) fn quantity(&self, state: State) -> Option<Quantity> {
        match state {
            State::Quantity(value) => self.found.is.states.get(usize::from(value))?.quantity,
            State::Switch(_) | State::Unknown => None,
        }
    }
}
