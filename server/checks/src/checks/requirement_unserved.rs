//! # What it finds
//!
//! A dehumidification requirement for a zone without a unit that can dehumidify: no unit names the
//! zone, or those that do are of types without that service.
//!
//! # Why it matters
//!
//! Each unit is held to the requirement of its zone. Without such a unit nothing is, and a review
//! without errors would read as if the requirement were met.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks: {occupied: {dehumidify-above: 50 %RH}}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//!   #                                  ^^^^^^ No unit of `stacks` can dehumidify
//! ```
//! ```yaml bad
//! zones:
//!   stacks: {occupied: {dehumidify-above: 50 %RH}}
//! unit-types:
//!   toilet-exhaust:
//!     inputs: {fan: {}}
//!     outputs: {exhaust-fan: {when: fan, role: fan}}
//!     serves: {ventilation: exhaust-fan}
//! units:
//!   EF-1: {type: toilet-exhaust, zone: stacks, inputs: {fan: not-wired}}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//!   #                                  ^^^^^^ No unit of `stacks` can dehumidify, so this requirement cannot be met
//! ```
//! ```yaml good
//! zones:
//!   stacks: {occupied: {dehumidify-above: 50 %RH}}
//! units:
//!   DH-1: {type: stand-alone-dehumidifier, zone: stacks}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//! ```
//! ```yaml near
//! # The unknown type is reported where it is named; what it serves is not known.
//! zones:
//!   stacks: {occupied: {dehumidify-above: 50 %RH}}
//! units:
//!   DH-1: {type: dryer-of-the-stacks, zone: stacks}
//! requirements:
//!   - {zone: stacks, dehumidification: {gap-at-most: 12 h}}
//! ```
//!
//! # Repair
//!
//! Name the zone in the unit that dries it (`zone:`), choose a type that can dehumidify, or add a unit.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use model::{Found, Kind, Requirement, Service, Unit, UnitType, Zone};

pub(crate) static CHECK: Check = Check {
    id: "requirement-unserved",
    severity: Severity::Error,
    source: include_str!("requirement_unserved.rs"),
    run: Run::Requirement(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, requirement: Found<'_, Requirement>, out: &mut Sink) {
    let (Some(zone), Some(demand)) = (&requirement.is.zone, requirement.is.dehumidification) else { return };
    let zone = &zone.value;
    let units = ctx.view.users::<Unit>(Kind::Zone, zone);
    if ctx.view.find::<Zone>(zone).is_none() || units.iter().any(|unit| may_dry(ctx, *unit)) {
        return;
    }
    let advice = if units.is_empty() {
        format!("Write `zone: {zone}` in the unit that dries it.")
    } else {
        "Choose a unit type that can, or add a unit.".to_owned()
    };
    let message = format!("No unit of `{zone}` can dehumidify, so this requirement cannot be met. {advice}");
    out.report(About::of(noun::SERVICE, Service::Dehumidification.name()), demand.at, message);
}

/// Whether a unit's type has the service, or may have: what could not be read or found is reported there.
fn may_dry(ctx: &Ctx<'_>, unit: Found<'_, Unit>) -> bool {
    let Some(unit_type) = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value)) else {
        return true;
    };
    unit_type.entry.facts.doubtful() || unit_type.is.service(Service::Dehumidification).is_some()
}
