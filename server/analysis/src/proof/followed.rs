//! The schedules and zones that stand behind a unit: found first, ruled once their course is known.

use crate::analysis::Analysis;
use crate::atom::Atom;
use crate::logic_of_type::TypeLogic;
use crate::proof::constraint::CallVar;
use crate::proof::course::Course;
use crate::proof::rules::ModeRules;
use crate::proof::schedules::Schedules;
use crate::proof::shape::{PointShape, Shape, ZoneShape};
use crate::proof::state::{ByMode, OccupiedHours, State};
use crate::same::Same;
use crate::sensors::Sensors;
use crate::signal::Signal;
use crate::variables;
use crate::wires::FollowedPoint;
use model::{Found, Name, Zone};
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

/// A zone that calls.
struct Caller<'j> {
    zone: Found<'j, Zone>,
    hours: OccupiedHours,
    sensors: Sensors,
    calls: Vec<CallVar>,
}

/// A zone that calls, with what its calls may do in each mode.
pub(crate) struct Calling<'j> {
    pub(crate) zone: Found<'j, Zone>,
    pub(crate) hours: OccupiedHours,
    pub(crate) calls: Vec<CallVar>,
    pub(crate) rules: ByMode<ModeRules>,
}

impl<'j> Followed<'j> {
    /// What stands behind some atoms, and behind a unit's own zone.
    pub(crate) fn of(analysis: &Analysis<'_, 'j>, atoms: &[Atom], own: Option<Found<'j, Zone>>) -> Self {
        let mut schedules = Schedules::default();
        let mut zones: Vec<(&Name, Vec<CallVar>)> = Vec::new();
        for (i, atom) in atoms.iter().enumerate() {
            let Some(var) = variables::own(i) else { break };
            match atom {
                Atom::Schedule(name) => {
                    if let Some(n) = schedules.follow(analysis, name)
                        && let Some(schedule) = schedules.all.get_mut(n)
                    {
                        schedule.var = var;
                    }
                }
                Atom::Call { zone, call } => match zones.iter_mut().find(|(z, _)| *z == zone) {
                    Some((_, calls)) => calls.push((*call, var)),
                    None => zones.push((zone, vec![(*call, var)])),
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

impl Ruled<'_> {
    /// The shape of a unit of this type, with these choices, signals and points.
    pub(crate) fn shape(
        &self,
        logic: &Arc<TypeLogic>,
        chosen: Box<[Option<usize>]>,
        signals: &[Signal],
        points: &[FollowedPoint],
    ) -> Shape {
        let Ruled { schedules, zones, kinds } = self;
        let point =
            |line: &FollowedPoint| PointShape { near: line.near.clone(), is_written: line.because.is_some() };
        let zones = zones.iter().map(|zone| ZoneShape {
            hours: zone.hours,
            calls: zone.calls.clone().into(),
            rules: ByMode::of(|mode| zone.rules.get(mode).shape(schedules, &zone.calls)),
        });
        Shape {
            logic: Same::of(logic),
            chosen,
            feeds: signals.iter().map(|signal| signal.feed.clone()).collect(),
            points: points.iter().map(point).collect(),
            schedules: schedules.all.iter().map(|schedule| schedule.var).collect(),
            own: schedules.own,
            kinds: kinds.clone().into(),
            zones: zones.collect(),
        }
    }
}
