//! # What it finds
//!
//! A state that the thermostats allow in which a unit heats and cools at once, other than reheat while
//! it dehumidifies. Crossed setpoints of one zone have a check of their own.
//!
//! # Why it matters
//!
//! It pays twice for nothing. In a heat pump it asks one compressor for two things.
//!
//! # Example
//!
//! The calls come from two thermostats, and nothing keeps them apart:
//!
//! ```yaml bad
//! units:
//!   AC-1:
//! # ^^^^ a first-stage cooling call from `staff-office` and a first-stage heating call from `loading-bay`
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-HEAT1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   AC1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//!   AC1-HEAT1: {driven-by: {call: heat-1, zone: loading-bay}}
//! zones:
//!   staff-office: {occupied: {heat-below: 70 °F, cool-above: 75 °F}}
//!   loading-bay: {occupied: {heat-below: 62 °F, cool-above: 80 °F}}
//! ```
//! ```yaml bad
//! units:
//!   AC-1:
//!  #^^^^ `heat-1` of `AC-1` is wired to `AC1-COOL1`, which carries the first-stage cooling call
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-COOL1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   AC1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//! zones:
//!   staff-office: {occupied: {heat-below: 70 °F, cool-above: 75 °F}}
//! ```
//! ```yaml bad
//! unit-types:
//!   four-pipe-coil:
//!     inputs: {cool-1: {}}
//!     outputs:
//!       cooling-valve: {when: cool-1, role: cooling}
//!       heating-valve: {when: cool-1, role: heat}
//!     serves: {cooling: cooling-valve, heating: heating-valve}
//! units:
//!   FC-1: {type: four-pipe-coil, inputs: {cool-1: FC1-COOL1}}
//!  #^^^^ `FC-1` heats and cools at once on a first-stage cooling call
//! points:
//!   FC1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//! zones:
//!   staff-office: {occupied: {heat-below: 70 °F, cool-above: 75 °F}}
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-HEAT1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   AC1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//!   AC1-HEAT1: {driven-by: {call: heat-1, zone: staff-office}}
//! zones:
//!   staff-office: {occupied: {heat-below: 70 °F, cool-above: 75 °F}}
//! ```
//!
//! Nothing is known of contacts whose thermostat is not in the job:
//!
//! ```yaml near
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: AC1-COOL1, heat-1: AC1-HEAT1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   AC1-COOL1: {driven-by: {contact: field}}
//!   AC1-HEAT1: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Take both calls from one thermostat, or interlock them in a point's logic. Where a heating input is
//! wired to a cooling call, or the other way round, correct the wire.
//!
//! # Source
//!
//! ASHRAE 90.1-2016 §6.4.3.1.2 asks for a deadband between the two. That a unit should not do both
//! needs no source.

use crate::about::About;
use crate::check::{Check, Finding, FindingBuilder, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{self, Proposal, cost};
use analysis::{Atom, Setting, UnitAnalysis};
use logic::{Function, Var};
use model::{Call, Found, LimitKey, Name, Point, Service, Source, Unit, Wiring, Words, Written, Zone};

pub(crate) static CHECK: Check = Check {
    id: "heating-and-cooling-together",
    severity: Severity::Error,
    source: include_str!("heating_and_cooling_together.rs"),
    run: Run::Unit(run),
    repairs: &[one_thermostat, repair::facts],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    let (Some(heating), Some(cooling)) = (unit.service(Service::Heating), unit.service(Service::Cooling))
    else {
        return;
    };
    let drying =
        unit.service(Service::Dehumidification).cloned().unwrap_or_else(|| Function::constant(false));
    let both = unit.bounded(|| Function::all([heating.clone(), cooling.clone(), drying.not()]));
    if !unit.can_be_on(&both).is_yes() {
        return;
    }
    if !calls_are_known(ctx, unit) {
        let of_both = both.support().unwrap_or_default();
        let zones = of_both.iter().filter_map(|var| ctx.view.find::<Zone>(zone_of(unit, *var)?));
        return zones.for_each(|zone| out.held_back(None, "setpoints-crossed", zone.id));
    }
    let Some(words) = unit.moments().iter().find_map(|m| unit.circumstances(&both, m)) else {
        return;
    };
    let of_both = both.support().unwrap_or(&[]);
    let behind = |function: &Function| of_both.iter().any(|var| !function.depends_on(*var).is_no());
    let mut zones: Vec<&Name> = of_both.iter().filter_map(|var| zone_of(unit, *var)).collect();
    zones.sort_unstable();
    zones.dedup();
    // One thermostat keeps its calls apart, so that it is the type's own logic that does both.
    let logic = zones.len() < 2;
    let cure = if logic {
        "Correct the logic of the unit type."
    } else {
        "Take both calls from one thermostat, or interlock them."
    };
    let message = match swapped(ctx, found) {
        Some((input, point, call)) => format!(
            "`{input}` of `{}` is wired to `{point}`, which carries {call}. The unit heats and cools at once. Correct the wiring.",
            found.name()
        ),
        None => format!("`{}` heats and cools at once on {words}. {cure}", found.name()),
    };
    let finding = out.report(About::entry(), found.entry.part.key_node(), message);
    let inputs = [Service::Heating, Service::Cooling].into_iter().flat_map(Service::calls);
    let wired = inputs.filter(|input| unit.terminal(input).is_some_and(behind));
    for because in wired.filter_map(|input| unit.signal(input)).flat_map(|s| &s.path) {
        finding.because(because.place.clone(), &because.text);
    }
    if logic {
        lines(unit, finding);
    }
}

/// The first heating input that is wired to a cooling call, or the other way round.
fn swapped<'j>(ctx: &Ctx<'_>, unit: Found<'j, Unit>) -> Option<(&'j Name, &'j Name, &'static str)> {
    unit.is.inputs.iter().find_map(|(input, wiring)| {
        let thermal =
            |call: Call| call.service().filter(|s| matches!(s, Service::Heating | Service::Cooling));
        let wanted = thermal(Call::of(&input.value)?)?;
        let Wiring::Point(point) = &wiring.value else { return None };
        let [driver] = &*ctx.view.find::<Point>(point)?.is.drivers else { return None };
        let Some(Source::Call { call, .. }) = &driver.source else { return None };
        (thermal(call.value)? != wanted).then_some((&input.value, point, call.value.words()))
    })
}

/// The zone whose call a variable is.
fn zone_of<'u>(unit: &'u UnitAnalysis<'_>, var: Var) -> Option<&'u Name> {
    match unit.wires.atom_of(var)? {
        Atom::Call { zone, .. } => Some(zone),
        _ => None,
    }
}

/// The lines of the type's logic that say when it heats and when it cools.
fn lines(unit: &UnitAnalysis<'_>, finding: &mut FindingBuilder) {
    let found = unit.unit_type;
    let thermal = |name: &str| matches!(Service::of(name), Some(Service::Heating | Service::Cooling));
    let serves = found.is.serves.iter().filter(|(name, _)| thermal(&name.value));
    let mut lines: Vec<(&Name, &Written<Words>)> = serves.map(|(name, when)| (&name.value, when)).collect();
    let outputs =
        found.is.outputs.iter().filter_map(|output| Some((&output.name.value, output.when.as_ref()?)));
    let terms = found.is.terms.iter().map(|(name, when)| (&name.value, when));
    let named: Vec<(&Name, &Written<Words>)> = terms.chain(outputs).collect();
    let mut next = 0;
    while let Some((_, when)) = lines.get(next).copied() {
        when.value.each_name(&mut |name, _| {
            let line = named.iter().find(|(known, _)| *known == name);
            lines.extend(line.filter(|line| !lines.iter().any(|(known, _)| *known == line.0)));
        });
        next += 1;
    }
    for (name, when) in lines {
        let text = found.entry.part.scalar(when.at).unwrap_or("this");
        finding.because(found.place(when.at), format!("`{name}` is on when `{text}`"));
    }
}

/// Whether the calls for heating and cooling all come from zones whose limits are known, and do
/// not cross.
fn calls_are_known(ctx: &Ctx<'_>, unit: &UnitAnalysis<'_>) -> bool {
    let inputs = [Service::Heating, Service::Cooling].into_iter().flat_map(Service::calls);
    inputs.filter_map(|input| unit.terminal(input)).all(|signal| {
        // What is known of both is known of the signals behind them.
        signal.support().is_some_and(|vars| {
            vars.iter().all(|var| match unit.wires.atom_of(*var) {
                Some(Atom::Call { zone, .. }) => {
                    ctx.view.find::<Zone>(zone).is_some_and(|zone| is_orderly(ctx, zone))
                }
                Some(Atom::Schedule(_)) => true,
                _ => false,
            })
        })
    })
}

fn is_orderly(ctx: &Ctx<'_>, zone: Found<'_, Zone>) -> bool {
    let crossed = |Setting { limits, .. }: &Setting| {
        let pair = limits.value(LimitKey::HeatBelow).zip(limits.value(LimitKey::CoolAbove));
        pair.is_some_and(|(heat, cool)| heat.value.si() >= cool.value.si())
    };
    let told =
        |Setting { limits, .. }: &Setting| limits.followed.iter().all(|f| limits.value(f.key).is_some());
    let settings = ctx.settings(zone);
    !zone.entry.facts.doubtful() && settings.iter().all(|setting| told(setting) && !crossed(setting))
}

/// Takes every call from the zone that one of them comes from.
fn one_thermostat(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let points = finding.because.iter().filter_map(|because| ctx.view.as_found::<Point>(because.place.entry));
    let calls: Vec<(Found<'_, Point>, &Written<Name>)> = points
        .flat_map(|point| point.is.drivers.iter().map(move |driver| (point, driver)))
        .filter_map(|(point, driver)| match &driver.source {
            Some(Source::Call { zone: Some(zone), .. }) => Some((point, zone)),
            _ => None,
        })
        .collect();
    for (_, zone) in &calls {
        let others = calls.iter().filter(|(_, other)| other.value != zone.value);
        let edits =
            others.map(|(point, other)| Target::new(point.id, point.entry).value(other.at, &zone.value));
        let title = format!("Take all calls from `{}`", zone.value);
        out.extend(Proposal::all(title, cost::VALUE, edits.collect()));
    }
}
