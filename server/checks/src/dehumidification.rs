//! Dehumidification of a unit: whether it is wanted, what is required of it, why it cannot run.

use crate::about::About;
use crate::check::{FindingBuilder, Sink};
use crate::context::Ctx;
use analysis::{CallRule, Mode, Reason, ReasonKind, Setting, UnitAnalysis, call_rules};
use model::{
    Call, Demand, Found, Kind, ModeLimits, Name, Point, Requirement, Service, Source, Unit, View, Zone,
};

/// Gives a finding its reasons.
pub(crate) fn explain(finding: &mut FindingBuilder, reasons: &[Reason]) {
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
    let limited = Mode::ALL.iter().any(|m| zone.is.limits(*m).is_some_and(ModeLimits::dries));
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
        if !zone.is.limits(mode).is_some_and(ModeLimits::dries) {
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

/// Whether reasons rest on a call that is never made, which is reported where its limit stands, and holds back what
/// is `about` the unit.
pub(crate) fn told_at_the_zone(
    ctx: &Ctx<'_>,
    unit: &UnitAnalysis<'_>,
    reasons: &[Reason],
    about: &About,
    out: &mut Sink,
) -> bool {
    let about_call = |r: &Reason| {
        matches!(r.kind, ReasonKind::NoLimit(Call::Dehumidify) | ReasonKind::BeyondSensor(Call::Dehumidify))
    };
    let called = unit.wires.atoms().iter().filter_map(|atom| match atom {
        analysis::Atom::Call { zone, call } if *call == Call::Dehumidify => ctx.view.find::<Zone>(zone),
        _ => None,
    });
    let at_fault = reasons.iter().any(about_call).then_some(called).into_iter().flatten();
    let mut told = false;
    for zone in at_fault.filter(|zone| !call_faults(ctx, *zone).is_empty()) {
        out.held_back(Some(about.clone()), "dehumidification-call-never-made", zone.id);
        told = true;
    }
    told
}

/// Says that what is about a unit is held back by those of its reasons that checks of their own report.
pub(crate) fn held_by_reasons(ctx: &Ctx<'_>, reasons: &[Reason], about: &About, out: &mut Sink) {
    for reason in reasons {
        let by: &[&str] = match reason.kind {
            ReasonKind::NotWired => &["input-not-wired"],
            ReasonKind::Undriven => &["point-undriven"],
            ReasonKind::BeyondSensor(_) | ReasonKind::NoLimit(_) => {
                &["dehumidification-call-never-made", "setpoint-outside-range"]
            }
            _ => &[],
        };
        for by in by {
            out.held_back(Some(about.clone()), by, ctx.id);
            for because in &reason.because {
                out.held_back(Some(about.clone()), by, because.place.entry);
            }
        }
    }
}

/// The reason that a reader should look at first, and what to do about it, as a sentence.
pub(crate) fn cause(reasons: &[Reason]) -> Option<(&str, &'static str)> {
    let advice = |kind| match kind {
        ReasonKind::Undriven => "Give it a source.",
        ReasonKind::NotWired => "Wire it.",
        ReasonKind::Schedule => "Correct the schedule.",
        ReasonKind::NoLimit(_) => "Set a limit.",
        ReasonKind::BeyondSensor(_) => "Set a limit that the sensor can read.",
        ReasonKind::Source => "Correct its source.",
        ReasonKind::Wiring | ReasonKind::Tie => "Correct the wiring.",
        ReasonKind::Option => "Change the option.",
        ReasonKind::LimitsApart => "Correct the limits.",
        ReasonKind::Logic => "Correct the logic of the unit type.",
    };
    let first = reasons.iter().min_by_key(|r| r.kind.rank())?;
    Some((first.because.first()?.text.as_str(), advice(first.kind)))
}
