//! What the thermostat asks for and what the units may do in each hour of a period.

use super::requirement::{HumidityCriterion, humidity_limit};
use crate::analysis::Analysis;
use crate::unit::UnitAnalysis;
use crate::verdict::Verdict;
use air::Celsius;
use air::drift::Conditions;
use model::{Found, Kind, LimitKey, Mode, ModeLimits, Name, Quantity, Service, Unit, Written, Zone};
use std::sync::Arc;

/// A kind of hour: everything is the same throughout.
#[derive(Clone, PartialEq, Debug)]
pub struct HourKind {
    pub mode: Mode,
    /// Whether some unit may dry the zone.
    pub may_dry: bool,
    /// What holds in it.
    pub conditions: Conditions,
    /// The requirements that hold in it, by their numbers.
    pub criteria: Vec<usize>,
}

/// The hours of the period from its start on.
pub struct Conditioning {
    /// The kinds there are.
    pub kinds: Vec<HourKind>,
    /// The kind of each hour.
    pub hours: Arc<[u8]>,
    /// Names of the units that can dry the zone.
    pub drying: Vec<Name>,
}

impl Conditioning {
    /// The kind of an hour.
    pub fn at(&self, hour: usize) -> Option<&HourKind> {
        self.kinds.get(usize::from(*self.hours.get(hour)?))
    }
}

/// What the zone is set to and its units may do from a moment on.
#[derive(Clone, Copy, PartialEq, Default)]
struct State {
    mode: Option<Mode>,
    /// The limits, by their number among those of the period.
    limits: Option<usize>,
    dries: bool,
    cools: bool,
}

/// The hours of a zone, and the units that serve it; nothing where no unit does, or something about one
/// is not known, or none can dry a zone of which nothing is required.
pub(super) fn conditioning<'j>(
    analysis: &Analysis<'_, 'j>,
    zone: Found<'j, Zone>,
    criteria: &[HumidityCriterion],
) -> Option<(Conditioning, Vec<UnitAnalysis<'j>>)> {
    let serving = analysis.view.users::<Unit>(Kind::Zone, &Name::new(zone.name()));
    let serving = serving.into_iter().filter(|u| u.is.zone.as_ref().is_some_and(|z| z.value == zone.name()));
    let units: Option<Vec<UnitAnalysis<'j>>> = serving.map(|unit| analysis.unit(unit)).collect();
    let units = units.filter(|units| !units.is_empty())?;
    let drying: Vec<Name> = units.iter().filter(|u| dries(u)).map(|u| Name::new(u.unit.name())).collect();
    if drying.is_empty() && !criteria.iter().any(|criterion| criterion.required) {
        return None;
    }
    let period = &analysis.over;
    let count = ((period.end() - period.start()) / 3600) as usize;
    let mut states = vec![State::default(); count];
    let mut settings: Vec<ModeLimits> = Vec::new();
    for unit in &units {
        let each: Vec<State> = unit.moments().iter().map(|m| state(unit, m, &mut settings)).collect();
        for (stretch, kind) in unit.course.intervals() {
            let Some(now) = each.get(kind) else { continue };
            for hour in states.get_mut(hours(period, stretch.from, stretch.to, count)).unwrap_or(&mut []) {
                hour.mode = hour.mode.or(now.mode);
                hour.limits = hour.limits.or(now.limits);
                hour.dries |= now.dries;
                hour.cools |= now.cools;
            }
        }
    }
    let mut kinds: Vec<HourKind> = Vec::new();
    let mut known: Vec<State> = Vec::new();
    let mut kind_of = Vec::with_capacity(count);
    for state in states {
        let mode = state.mode?;
        let number = known.iter().position(|known| *known == state).unwrap_or_else(|| {
            let limits = state.limits.and_then(|n| settings.get(n));
            kinds.push(hour_kind(zone.is, mode, limits, state, criteria));
            known.push(state);
            known.len() - 1
        });
        kind_of.push(u8::try_from(number).ok()?);
    }
    Some((Conditioning { kinds, hours: kind_of.into(), drying }, units))
}

fn dries(unit: &UnitAnalysis<'_>) -> bool {
    unit.service(Service::Dehumidification).is_some()
}

fn state(unit: &UnitAnalysis<'_>, moment: &crate::Moment, settings: &mut Vec<ModeLimits>) -> State {
    // A prediction counts on nothing that is not proven.
    let may = |service| {
        matches!(unit.verdict_at(Service::name(service), moment), Verdict::Conditional | Verdict::Always)
    };
    let limits = unit.limits(moment).map(|limits| {
        settings.iter().position(|known| *known == limits).unwrap_or_else(|| {
            settings.push(limits);
            settings.len() - 1
        })
    });
    State { mode: moment.mode, limits, dries: may(Service::Dehumidification), cools: may(Service::Cooling) }
}

/// The hours whose middle lies in a stretch of time.
fn hours(period: &calendar::Period, from: i64, to: i64, count: usize) -> std::ops::Range<usize> {
    let hour = |instant: i64| ((instant - period.start() + 1800).max(0) / 3600) as usize;
    let end = hour(to).min(count);
    hour(from).min(end)..end
}

fn hour_kind(
    zone: &Zone,
    mode: Mode,
    limits: Option<&ModeLimits>,
    state: State,
    criteria: &[HumidityCriterion],
) -> HourKind {
    let celsius = |q: Option<Written<Quantity>>| q.map(|q| Celsius(q.value.si()));
    let dry_above = limits.and_then(|l| l.value(LimitKey::DehumidifyAbove));
    let people = zone.space().people.as_ref().filter(|_| mode == Mode::Occupied);
    let conditions = Conditions {
        people: people.map_or(0.0, |people| people.value.max(0.0)),
        heat_below: limits.and_then(|l| celsius(l.value(LimitKey::HeatBelow))),
        cool_above: limits.filter(|_| state.cools).and_then(|l| celsius(l.value(LimitKey::CoolAbove))),
        dehumidify_above: dry_above.filter(|_| state.dries).map(|limit| humidity_limit(limit.value)),
        fan_runs: zone.thermostat.fan_continuous.is_some_and(|fan| fan.value),
    };
    let numbered = criteria.iter().enumerate();
    let criteria =
        numbered.filter(|(_, criterion)| criterion.modes.contains(&mode)).map(|(n, _)| n).collect();
    HourKind { mode, may_dry: state.dries, conditions, criteria }
}
