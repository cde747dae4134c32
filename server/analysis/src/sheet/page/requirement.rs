//! What the owner requires of a unit's zone, and whether it is met.

use super::Locate;
use crate::analysis::Analysis;
use crate::drying::drying_units;
use crate::unit::UnitAnalysis;
use crate::verdict::{Gap, common, shared};
use model::{Demand, Found, Hours, Kind, Name, Requirement, Service, Written};
use serde::Serialize;

/// A requirement, and whether it is met.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct RequirementLine<P> {
    /// What is asked: `always`, `gap at most 12 h`.
    pub words: String,
    /// Whether the units of the zone meet it together; nothing where that is not proven.
    pub met: Option<bool>,
    /// Where it is written.
    pub at: Option<P>,
}

/// What is required of a zone's dehumidification.
pub(super) struct Requirements<'j> {
    all: Vec<State<'j>>,
    /// Stretches of time that break some requirement, in order.
    broken: Vec<Gap>,
}

struct State<'j> {
    requirement: Found<'j, Requirement>,
    demand: Written<Demand>,
    met: Option<bool>,
}

impl<'j> Requirements<'j> {
    /// Those that ask for a service of the unit's zone; what is met is held against all units of the zone.
    pub(super) fn of(over: &Analysis<'_, 'j>, unit: &UnitAnalysis<'j>, service: &str) -> Requirements<'j> {
        let mut of = Requirements { all: Vec::new(), broken: Vec::new() };
        let Some(zone) = unit.zone else { return of };
        if Service::of(service) != Some(Service::Dehumidification) {
            return of;
        }
        let asked = over.view.users::<Requirement>(Kind::Zone, &Name::new(zone.name()));
        let asked: Vec<_> = asked.into_iter().filter_map(|r| Some((r, r.is.dehumidification?))).collect();
        if asked.is_empty() {
            return of;
        }
        let units = drying_units(over.view, zone);
        let each: Vec<Option<Vec<Gap>>> =
            units.into_iter().map(|other| over.unit(other)?.gaps(Service::Dehumidification)).collect();
        let proven = each.iter().all(Option::is_some);
        let gaps = shared(each.into_iter().flatten());
        for (requirement, demand) in asked {
            let broken: Option<Vec<Gap>> = gaps.as_ref().map(|gaps| {
                let counted = within(unit, gaps, requirement.is.hours);
                counted.into_iter().filter(|gap| breaks(&demand.value, gap)).collect()
            });
            let met = match &broken {
                Some(broken) if broken.is_empty() => Some(true),
                // A unit that is not proven to run may close the gap.
                Some(_) if proven => Some(false),
                _ => None,
            };
            if met == Some(false) {
                of.broken.extend(broken.unwrap_or_default());
            }
            of.all.push(State { requirement, demand, met });
        }
        of.broken.sort_by_key(|gap| (gap.from, gap.to));
        of
    }

    /// The requirements in words.
    pub(super) fn stated<P>(&self, locate: Locate<'_, P>) -> Vec<RequirementLine<P>> {
        let stated = self.all.iter().map(|state| RequirementLine {
            words: words(&state.demand.value, state.requirement.is.hours),
            met: state.met,
            at: locate(&state.requirement.place(state.demand.at)),
        });
        stated.collect()
    }

    /// Whether one is broken at some time of a stretch.
    pub(super) fn broken_in(&self, from: i64, to: i64) -> bool {
        self.broken.iter().any(|gap| gap.from < to && from < gap.to)
    }

    /// What of a stretch breaks one.
    pub(super) fn broken(&self, from: i64, to: i64) -> Vec<Gap> {
        let mut parts: Vec<Gap> = Vec::new();
        for gap in common(&self.broken, &[Gap { from, to }]) {
            match parts.last_mut() {
                Some(last) if gap.from <= last.to => last.to = last.to.max(gap.to),
                _ => parts.push(gap),
            }
        }
        parts
    }
}

fn breaks(demand: &Demand, gap: &Gap) -> bool {
    match demand {
        Demand::Always => true,
        Demand::GapAtMost(most) => gap.hours() > most.si(),
    }
}

fn words(demand: &Demand, hours: Hours) -> String {
    let asked = match demand {
        Demand::Always => "always".to_owned(),
        Demand::GapAtMost(most) => format!("gap at most {most}"),
    };
    match hours.modes() {
        [only] => format!("{asked} while {}", only.name()),
        _ => asked,
    }
}

/// The parts of gaps in the hours that a requirement holds in.
fn within(unit: &UnitAnalysis<'_>, gaps: &[Gap], hours: Hours) -> Vec<Gap> {
    if hours == Hours::All {
        return gaps.to_vec();
    }
    let counted: Vec<Gap> =
        unit.course().filter(|(_, moment)| hours.hold_in(moment.mode)).map(|(gap, _)| gap).collect();
    common(gaps, &counted)
}
