//! # What it finds
//!
//! A requirement on the dehumidification of a zone of which no unit can dehumidify: no unit names the
//! zone, or those that do are of types without that service.
//!
//! # Why it matters
//!
//! What a unit does is held against the requirement of its zone. Where there is no such unit, nothing is,
//! and a review without errors would say that the requirement is met.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks: {occupied: {dehumidify-above: 50 %RH}}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//!   #                                  ^^^^^^ no unit of `stacks` can dehumidify
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
//! # The type is told where it is named; what it serves is not known.
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
//! Name the zone in the unit that dries it (`zone:`), choose a type that can dehumidify, or take the
//! requirement out.
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
    let advice = if units.is_empty() { "name it in the unit that does" } else { "choose a type that can" };
    let message =
        format!("no unit of `{zone}` can dehumidify, and this requires it; {advice} (`zone: {zone}`)");
    out.report(About::of(noun::SERVICE, Service::Dehumidification.name()), demand.at, message);
}

/// Whether a unit's type has the service, or may have: what could not be read or found is reported there.
fn may_dry(ctx: &Ctx<'_>, unit: Found<'_, Unit>) -> bool {
    let Some(unit_type) = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value)) else {
        return true;
    };
    unit_type.entry.facts.doubtful() || unit_type.is.service(Service::Dehumidification).is_some()
}
