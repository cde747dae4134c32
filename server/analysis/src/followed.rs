//! The schedules and zones that stand behind a unit.

use crate::calls::{CallRule, Mode, rules_with};
use crate::constraint::{Call, Constraint, constraints, laws};
use crate::memo::Memo;
use crate::sensors::Sensors;
use crate::time::{TimedSchedule, timed};
use crate::variables;
use crate::wires::Atom;
use logic::{Function, Var};
use model::{Found, Name, Schedule, View, Zone};
use std::sync::Arc;

/// The schedules and zones, each once.
#[derive(Default)]
pub(crate) struct Followed<'j> {
    pub(crate) schedules: Vec<FollowedSchedule<'j>>,
    pub(crate) zones: Vec<Calling<'j>>,
    /// When the unit's own zone is occupied.
    pub(crate) own: Hours,
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
    /// Occupied, then unoccupied.
    pub(crate) modes: [ModeRules; 2],
}

pub(crate) struct ModeRules {
    pub(crate) mode: Mode,
    pub(crate) rules: Vec<CallRule>,
    pub(crate) constraints: Vec<Constraint>,
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
                let hours = followed.hours(view, memo, zone);
                followed.zones.push(Calling::of(view, zone, hours, &calls));
            }
        }
        if let Some(zone) = own {
            followed.own = followed.hours(view, memo, zone);
        }
        followed
    }

    fn schedule(&mut self, view: &View<'j>, memo: &Memo, name: &Name) -> Option<usize> {
        if let Some(n) = self.schedules.iter().position(|s| s.name == *name) {
            return Some(n);
        }
        let found = view.find::<Schedule>(name)?;
        let timed = timed(view, memo, found)?;
        let var = variables::of_schedule(self.schedules.len());
        self.schedules.push(FollowedSchedule { name: name.clone(), found, timed, var });
        Some(self.schedules.len() - 1)
    }

    fn hours(&mut self, view: &View<'j>, memo: &Memo, zone: Found<'j, Zone>) -> Hours {
        match &zone.is.schedule {
            None if zone.entry.facts.doubtful() => Hours::Unknown,
            None => Hours::Always,
            Some(name) => self.schedule(view, memo, &name.value).map_or(Hours::Unknown, Hours::Scheduled),
        }
    }
}

impl FollowedSchedule<'_> {
    /// Whether its value of this number turns a relay on; nothing where that cannot be told: the
    /// value is none of a switch, or the schedule could not be read as meant.
    pub(crate) fn is_on(&self, value: u16) -> Option<bool> {
        let schedule = self.found.is;
        let windows = schedule.week.iter().flat_map(|d| &d.windows);
        let mut windows = windows.chain(schedule.exceptions.iter().flat_map(|e| &e.windows));
        if self.found.entry.facts.doubtful() || windows.any(|w| w.start >= w.end) {
            return None;
        }
        let state = schedule.states.get(usize::from(value))?;
        state.is_switch().then(|| state.is_on())
    }
}

impl<'j> Calling<'j> {
    fn of(view: &View<'j>, zone: Found<'j, Zone>, hours: Hours, calls: &[Call]) -> Self {
        let sensors = Sensors::of(view, zone);
        let doubtful = zone.entry.facts.doubtful();
        let modes = Mode::ALL.map(|mode| {
            let rules = rules_with(&sensors, zone.is, mode);
            let constraints = constraints(&rules, calls, doubtful);
            ModeRules { mode, rules, constraints }
        });
        Calling { zone, hours, laws: laws(calls), modes }
    }
}
