//! Dehumidification of a unit: whether it is wanted, what is required of it, why it cannot run.

use crate::context::Ctx;
use crate::finding::Finding;
use analysis::{CallRule, Mode, Reason, ReasonKind, Setting, UnitAnalysis, call_rules};
use model::{Call, Demand, Found, Kind, Limits, Name, Point, Requirement, Service, Source, Unit, View, Zone};

/// Gives a finding its reasons.
pub(crate) fn explain(finding: &mut Finding, reasons: &[Reason]) {
    for because in reasons.iter().flat_map(|r| &r.because) {
        finding.because(because.place.clone(), &because.text);
    }
}

/// Whether a unit that can dehumidify is meant to. One whose call is left off on purpose is not,
/// unless its zone wants to be dried, by a limit or a requirement, and no other unit takes the call.
pub(crate) fn is_wanted(ctx: &Ctx<'_>, unit: &UnitAnalysis<'_>) -> bool {
    if unit.service(Service::Dehumidification).is_none() {
        return false;
    }
    if !unit.left_out_on_purpose(Call::Dehumidify.name()) {
        return true;
    }
    let Some(zone) = unit.zone else { return false };
    let limited = Mode::ALL.iter().any(|m| zone.is.limits(*m).is_some_and(Limits::dries));
    let name = Name::new(zone.name());
    let wanted = limited || !requirements(&ctx.view, &name).is_empty();
    let others = ctx.view.users::<Unit>(Kind::Zone, &name);
    let takes_call = |u: &Found<'_, Unit>| {
        u.id != ctx.id
            && matches!(u.is.wiring(Call::Dehumidify.name()), Some((_, w)) if matches!(w.value, model::Wiring::Point(_)))
    };
    wanted && !others.iter().any(takes_call)
}

/// What the Owner's Project Requirements ask of a zone's dehumidification.
pub(crate) fn requirements<'j>(
    view: &View<'j>,
    zone: &Name,
) -> Vec<(Found<'j, Requirement>, model::Written<Demand>)> {
    let all = view.users::<Requirement>(Kind::Zone, zone);
    all.into_iter().filter_map(|r| Some((r, r.is.dehumidification?))).collect()
}

/// Why a zone's dehumidify call is never made, though a point carries it.
pub(crate) enum CallFault {
    /// A mode's limit cannot be passed on its sensor.
    Beyond(Mode, Box<CallRule>),
    /// These modes set no limit, and need one.
    NoLimit(Vec<Mode>),
}

/// What keeps a zone's dehumidify call from being made.
pub(crate) fn call_faults(ctx: &Ctx<'_>, zone: Found<'_, Zone>) -> Vec<CallFault> {
    let view = &ctx.view;
    let name = Name::new(zone.name());
    if !is_carried(view, &name) {
        return Vec::new();
    }
    let (settings, mut faults, mut without) = (ctx.settings(zone), Vec::new(), Vec::new());
    for mode in Mode::ALL {
        if !zone.is.limits(mode).is_some_and(Limits::dries) {
            without.push(mode);
        }
        // Of several values that a schedule gives, the first.
        let mut here = settings.iter().filter(|setting| setting.mode == mode);
        let beyond = |setting: &Setting| {
            let mut rules = call_rules(view, zone, &setting.limits).into_iter();
            rules.find(|rule| rule.call == Call::Dehumidify && rule.limit.is_some() && rule.beyond.is_some())
        };
        faults.extend(here.find_map(beyond).map(|rule| CallFault::Beyond(mode, Box::new(rule))));
    }
    // Where a limit is missing, one that could not be read may be meant.
    let always = || requirements(view, &name).iter().any(|(_, demand)| demand.value == Demand::Always);
    let needed = without.len() == 2 || (zone.is.schedule.is_some() && always());
    if !without.is_empty() && needed && !zone.entry.facts.doubtful() {
        faults.push(CallFault::NoLimit(without));
    }
    faults
}

/// Whether a point carries the zone's dehumidify call.
fn is_carried(view: &View<'_>, zone: &Name) -> bool {
    let carries = |source: &Source| match source {
        Source::Call { call, zone: Some(of) } => call.value == Call::Dehumidify && of.value == *zone,
        _ => false,
    };
    let points = view.users::<Point>(Kind::Zone, zone);
    points.iter().any(|p| p.is.drivers.iter().filter_map(|d| d.source.as_ref()).any(carries))
}

/// Whether reasons rest on a call that is never made, which is reported where its limit stands.
pub(crate) fn told_at_the_zone(ctx: &Ctx<'_>, unit: &UnitAnalysis<'_>, reasons: &[Reason]) -> bool {
    let about_call = |r: &Reason| {
        matches!(r.kind, ReasonKind::NoLimit(Call::Dehumidify) | ReasonKind::BeyondSensor(Call::Dehumidify))
    };
    reasons.iter().any(about_call)
        && unit.wires.atoms().iter().any(|atom| match atom {
            analysis::Atom::Call { zone, call } if *call == Call::Dehumidify => {
                ctx.view.find::<Zone>(zone).is_some_and(|zone| !call_faults(ctx, zone).is_empty())
            }
            _ => false,
        })
}

/// The reason that a reader should look at first, and what to do about it.
pub(crate) fn cause(reasons: &[Reason]) -> Option<(&str, &'static str)> {
    let advice = |kind| match kind {
        ReasonKind::Undriven => "give it a source",
        ReasonKind::NotWired => "wire it, or choose an option that does not need it",
        ReasonKind::Schedule => "correct the schedule, or choose an option that does not need it",
        ReasonKind::NoLimit(_) => "set a limit",
        ReasonKind::BeyondSensor(_) => "set a limit that the sensor can report",
        ReasonKind::Source => "correct its source",
        ReasonKind::Wiring | ReasonKind::Tie => "correct the wiring",
        ReasonKind::Option => "make another choice",
        ReasonKind::LimitsApart => "correct the limits",
        ReasonKind::Logic => "correct the unit type",
    };
    let first = reasons.iter().min_by_key(|r| r.kind.rank())?;
    Some((first.because.first()?.text.as_str(), advice(first.kind)))
}
