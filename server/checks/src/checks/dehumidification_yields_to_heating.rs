//! # What it finds
//!
//! Hours in which a requirement wants a zone dry, but a first-stage heating call keeps the unit's
//! dehumidification off.
//!
//! # Why it matters
//!
//! On a mild wet night the room is cool and damp. Heating and drying are called together, heating wins,
//! and the humidity stays past its limit for as long as it heats.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   AC-1:
//! # ^^^^ must stay dry all the time
//!     type: air-conditioner-with-hot-gas-reheat
//!     zone: stacks
//!     inputs: {heat-1: AC1-HEAT1, dehumidify: AC1-DEHUM, occupied: not-wired}
//! points:
//!   AC1-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//!   AC1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, dehumidify-above: 55 %RH}}
//! requirements:
//!   - {zone: stacks, dew-point-at-most: 58 °F, hours: all}
//! ```
//! The heat pump yields while its occupied input is off:
//!
//! ```yaml bad
//! units:
//!   HP-1:
//! # ^^^^ must stay dry all the time
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: stacks
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: not-wired}
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//!   HP1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, dehumidify-above: 55 %RH}}
//! requirements:
//!   - {zone: stacks, dew-point-at-most: 58 °F, hours: all}
//! ```
//! ```yaml good
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     inputs: {heat-1: CR1-HEAT1, dehumidify: CR1-DEHUM, occupied: not-wired, proof-of-airflow: CR1-AIRFLOW}
//! points:
//!   CR1-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//!   CR1-AIRFLOW: {driven-by: {contact: airflow switch}}
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, dehumidify-above: 55 %RH}}
//! requirements:
//!   - {zone: stacks, dew-point-at-most: 58 °F, hours: all}
//! ```
//!
//! With its occupied input tied to the dehumidify call, a heat pump dries before it heats:
//!
//! ```yaml near
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     zone: stacks
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: {tied-to: dehumidify}}
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//!   HP1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, dehumidify-above: 55 %RH}}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//! ```
//!
//! # Repair
//!
//! On a heat pump type, dehumidification wins while the occupied input is on: drive it on in those
//! hours. Where a type has an option for the two calls, let dehumidification win. Otherwise add a unit
//! that dries the zone, or record a deviation.
//!
//! # Source
//!
//! Common practice, no source. Which call wins is the logic of the unit type.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::is_wanted;
use crate::repair;
use analysis::{Moment, UnitAnalysis, share_words};
use logic::Function;
use model::{Call, Found, Kind, Name, Requirement, Service, Unit};

pub(crate) static CHECK: Check = Check {
    id: "dehumidification-yields-to-heating",
    severity: Severity::Warning,
    source: include_str!("dehumidification_yields_to_heating.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::unit_as_set],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    let (Some(zone), Some(drying)) = (unit.zone, unit.service(Service::Dehumidification)) else {
        return;
    };
    let (Some(heat), Some(call)) = (unit.terminal(Call::Heat1), unit.terminal(Call::Dehumidify)) else {
        return;
    };
    let all = ctx.view.users::<Requirement>(Kind::Zone, &Name::new(zone.name()));
    let about_humidity = |r: &&Found<'_, Requirement>| {
        r.is.dehumidification.is_some()
            || r.is.dew_point_at_most.is_some()
            || r.is.relative_humidity_at_most.is_some()
    };
    let required: Vec<Found<'_, Requirement>> = all.iter().filter(about_humidity).copied().collect();
    if required.is_empty() || !is_wanted(ctx, unit) {
        return;
    }
    let [alone, both, drying_too] = unit.bounded(|| {
        let both = call.and(heat);
        [drying.and(&heat.not()), both.clone(), drying.and(&both)]
    });
    let yields = |m: &&Moment| {
        required.iter().any(|r| r.is.hours.hold_in(m.mode))
            && unit.can_be_on_at(m, &alone).is_yes()
            && unit.can_be_on_at(m, &both).is_yes()
            && unit.can_be_on_at(m, &drying_too).is_no()
    };
    let hours = unit.moments().iter().filter(yields).fold(0.0, |sum, m| sum + unit.hours(m));
    if hours == 0.0 {
        return out.held_back(None, "dehumidification-never-runs", ctx.id);
    }
    let all = unit.period.hours();
    let when =
        if hours >= all { "all the time".to_owned() } else { format!("in {}", share_words(hours, all)) };
    let cure = if can_change(unit) {
        "Choose the option or the wiring that lets it dry first."
    } else {
        "This unit type has no option to change that: add a second unit, or record a deviation."
    };
    let message = format!(
        "`{}` cannot dehumidify while it has a first-stage heating call. `{}` must stay dry {when}. {cure}",
        found.name(),
        zone.name()
    );
    let finding = out.report(
        About::of(noun::SERVICE, Service::Dehumidification.name()),
        found.entry.part.key_node(),
        message,
    );
    for requirement in required {
        finding.because(
            requirement.place(requirement.entry.part.value()),
            format!("The requirement for `{}`", zone.name()),
        );
    }
    if let Some((_, words)) = unit.unit_type.is.service(Service::Dehumidification) {
        let text = unit.unit_type.entry.part.scalar(words.at).unwrap_or("this");
        finding.because(
            unit.unit_type.place(words.at),
            format!("`{}` is on when `{text}`", Service::Dehumidification),
        );
    }
}

/// Whether the type can dry with a heating call on, under some option or some other wiring.
fn can_change(unit: &UnitAnalysis<'_>) -> bool {
    let drying_too = unit.bounded(|| {
        let values = unit.logic.alone();
        let drying = unit.logic.service_in(Service::Dehumidification.name(), &values)?;
        let input = |call: Call| unit.logic.input(call.name()).map(Function::var);
        let both = input(Call::Dehumidify)?.and(&input(Call::Heat1)?);
        Some(unit.logic.states().and(&drying).and(&both))
    });
    drying_too.is_none_or(|drying_too| !drying_too.can_be_on().is_no())
}
