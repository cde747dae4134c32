//! The schedules and zones that stand behind a unit: found first, ruled once their course is known.

use crate::analysis::Analysis;
use crate::atom::Atom;
use crate::calls::Mode;
use crate::proof::constraint::Call;
use crate::proof::course::{Course, Kind};
use crate::proof::rules::{ByMode, ModeRules};
use crate::sensors::Sensors;
use crate::time::TimedSchedule;
use crate::variables;
use calendar::Value;
use logic::Var;
use model::{Found, Limits, Name, Quantity, Schedule, Zone};
use std::sync::Arc;

/// The schedules and zones, each once, before it is known in which states the schedules come together.
pub(crate) struct Followed<'j> {
    pub(crate) schedules: Schedules<'j>,
    callers: Vec<Caller<'j>>,
}

/// The schedules and zones, with what the zones' calls may do in every state that the schedules come to.
pub(crate) struct Ruled<'j> {
    pub(crate) schedules: Schedules<'j>,
    pub(crate) zones: Vec<Calling<'j>>,
    /// What the schedules say at each kind of moment.
    pub(crate) kinds: Vec<Box<[State]>>,
}

/// The schedules behind a unit, each once.
#[derive(Default)]
pub(crate) struct Schedules<'j> {
    pub(crate) all: Vec<FollowedSchedule<'j>>,
    /// When the unit's own zone is occupied.
    pub(crate) own: Hours,
}

/// What a schedule says at a time.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
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
#[derive(Clone, Copy, Default, PartialEq, Eq, Hash, Debug)]
pub(crate) enum Hours {
    /// Always: it has no schedule.
    #[default]
    Always,
    /// By the schedule of this number.
    Scheduled(usize),
    /// Its schedule cannot be found.
    Unknown,
}

impl Hours {
    /// The mode while the schedules are in these states; nothing if that cannot be told.
    pub(crate) fn mode(self, states: &[State]) -> Option<Mode> {
        let occupied = match self {
            Hours::Always => true,
            Hours::Scheduled(n) => states.get(n)?.is_on()?,
            Hours::Unknown => return None,
        };
        Some(if occupied { Mode::Occupied } else { Mode::Unoccupied })
    }
}

/// A zone that calls.
struct Caller<'j> {
    zone: Found<'j, Zone>,
    hours: Hours,
    sensors: Sensors,
    calls: Vec<Call>,
}

/// A zone that calls, with what its calls may do in each mode.
pub(crate) struct Calling<'j> {
    pub(crate) zone: Found<'j, Zone>,
    pub(crate) hours: Hours,
    pub(crate) calls: Vec<Call>,
    pub(crate) rules: ByMode<ModeRules>,
}

impl<'j> Followed<'j> {
    /// What stands behind some atoms, and behind a unit's own zone.
    pub(crate) fn of(analysis: &Analysis<'_, 'j>, atoms: &[Atom], own: Option<Found<'j, Zone>>) -> Self {
        let mut schedules = Schedules::default();
        let mut zones: Vec<(&Name, Vec<Call>)> = Vec::new();
        for (i, atom) in atoms.iter().enumerate() {
            let var = Var(i as u16);
            match atom {
                Atom::Schedule(name) => {
                    if let Some(n) = schedules.follow(analysis, name)
                        && let Some(schedule) = schedules.all.get_mut(n)
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
        let mut callers = Vec::with_capacity(zones.len());
        for (name, calls) in zones {
            if let Some(zone) = analysis.view.find(name) {
                let hours = schedules.follow_zone(analysis, zone);
                callers.push(Caller { zone, hours, sensors: Sensors::of(analysis.view, zone), calls });
            }
        }
        if let Some(zone) = own {
            schedules.own = schedules.follow_zone(analysis, zone);
        }
        Followed { schedules, callers }
    }

    /// The joint course of the schedules.
    pub(crate) fn course(&self, analysis: &Analysis<'_, '_>) -> Arc<Course> {
        Course::of(analysis, self.schedules.all.iter().map(|s| &s.timed))
    }

    /// What the zones' calls may do in the states that the schedules come to in their course.
    pub(crate) fn under(self, course: &Course) -> Ruled<'j> {
        let Followed { schedules, callers } = self;
        let kinds: Vec<Box<[State]>> = course.kinds.iter().map(|kind| schedules.states(kind)).collect();
        let ruled = |Caller { zone, hours, sensors, calls }| {
            let rules = ByMode::of(|mode| ModeRules::of(&schedules, (&sensors, zone), mode, &calls, &kinds));
            Calling { zone, hours, calls, rules }
        };
        let zones = callers.into_iter().map(ruled).collect();
        Ruled { schedules, zones, kinds }
    }
}

impl<'j> Schedules<'j> {
    /// What the schedules say at a kind of moment.
    pub(crate) fn states(&self, kind: &Kind) -> Box<[State]> {
        self.all.iter().zip(&kind.values).map(|(s, value)| s.state(*value)).collect()
    }

    /// The number of a schedule.
    pub(crate) fn number(&self, name: &Name) -> Option<usize> {
        self.all.iter().position(|s| s.name == *name)
    }

    /// A zone's limits of a mode while the schedules are in these states.
    pub(crate) fn limits(&self, zone: &Zone, mode: Mode, states: &[State]) -> Option<Limits> {
        let value = |limit: &model::FollowedLimit| {
            let n = self.number(&limit.schedule.value)?;
            self.all.get(n)?.quantity(*states.get(n)?)
        };
        Some(mode.limits(zone)?.with(value))
    }

    fn follow(&mut self, analysis: &Analysis<'_, 'j>, name: &Name) -> Option<usize> {
        if let Some(n) = self.number(name) {
            return Some(n);
        }
        let found = analysis.view.find::<Schedule>(name)?;
        let timed = analysis.schedule(found);
        let var = variables::of_schedule(self.all.len());
        self.all.push(FollowedSchedule { name: name.clone(), found, timed, var });
        Some(self.all.len() - 1)
    }

    /// Follows what a zone follows; gives the hours in which it is occupied.
    fn follow_zone(&mut self, analysis: &Analysis<'_, 'j>, zone: Found<'j, Zone>) -> Hours {
        for limit in Mode::ALL.into_iter().filter_map(|mode| mode.limits(zone.is)).flat_map(|l| &l.followed) {
            self.follow(analysis, &limit.schedule.value);
        }
        match &zone.is.schedule {
            None if zone.entry.facts.doubtful() => Hours::Unknown,
            None => Hours::Always,
            Some(name) => self.follow(analysis, &name.value).map_or(Hours::Unknown, Hours::Scheduled),
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
