//! The schedules and zones that stand behind a unit.

use crate::atom::Atom;
use crate::calls::Mode;
use crate::memo::Memo;
use crate::proof::constraint::{Call, laws};
use crate::proof::course::Kind;
use crate::proof::setting::ModeRules;
use crate::sensors::Sensors;
use crate::time::{TimedSchedule, timed};
use crate::variables;
use calendar::Value;
use logic::{Function, Var};
use model::{Found, Name, Quantity, Schedule, View, Zone};
use std::sync::Arc;

/// The schedules and zones, each once.
#[derive(Default)]
pub(crate) struct Followed<'j> {
    pub(crate) schedules: Vec<FollowedSchedule<'j>>,
    pub(crate) zones: Vec<Calling<'j>>,
    /// When the unit's own zone is occupied.
    pub(crate) own: Hours,
}

/// What a schedule says at a time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum State {
    /// Occupied or on, or not.
    Switch(bool),
    /// Of its quantities the one of this number.
    Quantity(Value),
    /// Something that turns nothing on or off, or cannot be told.
    Unknown,
}

impl State {
    /// Whether it turns a relay on; nothing where that cannot be told.
    pub(crate) fn is_on(self) -> Option<bool> {
        if let State::Switch(on) = self { Some(on) } else { None }
    }
}

/// A schedule that decides something.
pub(crate) struct FollowedSchedule<'j> {
    pub(crate) name: Name,
    pub(crate) found: Found<'j, Schedule>,
    pub(crate) timed: Arc<TimedSchedule>,
    /// Its atom, or the variable that stands in for one.
    pub(crate) var: Var,
}

/// When a zone is occupied.
#[derive(Clone, Copy, Default)]
pub(crate) enum Hours {
    /// Always: it has no schedule.
    #[default]
    Always,
    /// By the schedule of this number.
    Scheduled(usize),
    /// Its schedule cannot be found.
    Unknown,
}

/// A zone that calls, with what its calls may do in each mode.
pub(crate) struct Calling<'j> {
    pub(crate) zone: Found<'j, Zone>,
    pub(crate) hours: Hours,
    pub(crate) laws: Function,
    sensors: Sensors,
    pub(crate) calls: Vec<Call>,
    /// Occupied, then unoccupied; nothing before [`Followed::settle`].
    pub(crate) modes: Vec<ModeRules>,
}

impl<'j> Followed<'j> {
    /// What stands behind some atoms, and behind a unit's own zone.
    pub(crate) fn of(view: &View<'j>, memo: &Memo, atoms: &[Atom], own: Option<Found<'j, Zone>>) -> Self {
        let mut followed = Followed::default();
        let mut zones: Vec<(&Name, Vec<Call>)> = Vec::new();
        for (i, atom) in atoms.iter().enumerate() {
            let var = Var(i as u16);
            match atom {
                Atom::Schedule(name) => {
                    if let Some(n) = followed.schedule(view, memo, name)
                        && let Some(schedule) = followed.schedules.get_mut(n)
                    {
                        schedule.var = var;
                    }
                }
                Atom::Call { zone, call } => match zones.iter_mut().find(|(z, _)| *z == zone) {
                    Some((_, calls)) => calls.push((call, var)),
                    None => zones.push((zone, vec![(call, var)])),
                },
                Atom::Contact(_) | Atom::Operator(_) | Atom::Unknown(_) => {}
            }
        }
        for (name, calls) in zones {
            if let Some(zone) = view.find(name) {
                let hours = followed.zone(view, memo, zone);
                let (laws, sensors) = (laws(&calls), Sensors::of(view, zone));
                followed.zones.push(Calling { zone, hours, laws, sensors, calls, modes: Vec::new() });
            }
        }
        if let Some(zone) = own {
            followed.own = followed.zone(view, memo, zone);
        }
        followed
    }

    /// Works out what the zones' calls may do in each of these combinations of values.
    pub(crate) fn settle(&mut self, kinds: &[Kind]) {
        let kinds: Vec<Vec<State>> = kinds.iter().map(|kind| self.states(kind)).collect();
        let modes = |calling: &Calling<'_>| {
            let zone = (&calling.sensors, calling.zone);
            let of = |mode| ModeRules::of(self, zone, mode, &calling.calls, &kinds);
            Mode::ALL.into_iter().map(of).collect()
        };
        let settled: Vec<Vec<ModeRules>> = self.zones.iter().map(modes).collect();
        for (calling, modes) in self.zones.iter_mut().zip(settled) {
            calling.modes = modes;
        }
    }

    /// What the schedules say at a kind of moment.
    pub(crate) fn states(&self, kind: &Kind) -> Vec<State> {
        self.schedules.iter().zip(&kind.values).map(|(s, value)| s.state(*value)).collect()
    }

    /// The schedules' courses.
    pub(crate) fn timed(&self) -> Vec<Arc<TimedSchedule>> {
        self.schedules.iter().map(|s| s.timed.clone()).collect()
    }

    /// The number of a schedule.
    pub(crate) fn number(&self, name: &Name) -> Option<usize> {
        self.schedules.iter().position(|s| s.name == *name)
    }

    fn schedule(&mut self, view: &View<'j>, memo: &Memo, name: &Name) -> Option<usize> {
        if let Some(n) = self.number(name) {
            return Some(n);
        }
        let found = view.find::<Schedule>(name)?;
        let timed = timed(view, memo, found)?;
        let var = variables::of_schedule(self.schedules.len());
        self.schedules.push(FollowedSchedule { name: name.clone(), found, timed, var });
        Some(self.schedules.len() - 1)
    }

    /// Follows what a zone follows; gives the hours in which it is occupied.
    fn zone(&mut self, view: &View<'j>, memo: &Memo, zone: Found<'j, Zone>) -> Hours {
        for limit in Mode::ALL.into_iter().filter_map(|mode| mode.limits(zone.is)).flat_map(|l| &l.followed) {
            self.schedule(view, memo, &limit.schedule.value);
        }
        match &zone.is.schedule {
            None if zone.entry.facts.doubtful() => Hours::Unknown,
            None => Hours::Always,
            Some(name) => self.schedule(view, memo, &name.value).map_or(Hours::Unknown, Hours::Scheduled),
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
