//! # What it finds
//!
//! A humidity limit drier than any unit of the zone can make. At the warm end of the mode's band, where
//! a relative humidity is easiest to reach, its dew point is below the lowest that their coils leave.
//! Nothing is reported where a unit type does not say what its coil can do.
//!
//! # Why it matters
//!
//! The call never ends. The unit runs on, reheat pays for it, and the room stays where it is.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {heat-below: 64 °F, cool-above: 68 °F, dehumidify-above: 40 %RH}
//!     #                                                                  ^^^^^^ 52 °F
//! units:
//!   CR-1: {type: cooling-with-electric-reheat, zone: stacks, inputs: {dehumidify: CR1-DEHUM}}
//! points:
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {heat-below: 64 °F, cool-above: 68 °F, dehumidify-above: 45 °F dew point}
//!     #                                                                  ^^^^^^^^^^^^^^^ No unit of `stacks` can reach this limit while occupied: the limit is 45 °F dew point
//! units:
//!   CR-1: {type: cooling-with-electric-reheat, zone: stacks, inputs: {dehumidify: CR1-DEHUM}}
//! points:
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//! ```yaml good
//! zones:
//!   stacks:
//!     occupied: {heat-below: 64 °F, cool-above: 70 °F, dehumidify-above: 55 %RH}
//! units:
//!   CR-1: {type: cooling-with-electric-reheat, zone: stacks, inputs: {dehumidify: CR1-DEHUM}}
//! points:
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//! ```yaml near
//! # A desiccant wheel has no coil to freeze.
//! zones:
//!   stacks:
//!     occupied: {heat-below: 64 °F, cool-above: 68 °F, dehumidify-above: 40 %RH}
//! units:
//!   CR-1: {type: cooling-with-electric-reheat, zone: stacks, inputs: {dehumidify: CR1-DEHUM}}
//!   DW-1: {type: desiccant-dehumidifier, zone: stacks, inputs: {dehumidify: CR1-DEHUM}}
//! points:
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//!
//! # Repair
//!
//! Raise the limit, or add a unit that dries further. Where the documents of the unit promise a lower
//! leaving dew point, write it in a unit type of the job: `coil-leaving-dew-point`.
//!
//! # Source
//!
//! By `coil-leaving-dew-point` of the unit type; for the built-in types common practice, no source. Dew
//! points by ASHRAE Fundamentals 2017 ch. 1.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::settings;
use crate::space_air::corners;
use analysis::{Mode, degrees_words};
use model::{Found, Kind, LimitKey, ModeLimits, Name, Quantity, Service, Unit, UnitType, Zone};

pub(crate) static CHECK: Check = Check {
    id: "humidity-limit-unreachable",
    severity: Severity::Error,
    source: include_str!("humidity_limit_unreachable.rs"),
    run: Run::Zone(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    let limited = |mode: &Mode| zone.is.limits(*mode).is_some_and(ModeLimits::dries);
    if !Mode::ALL.iter().any(limited) {
        return;
    }
    let Some(coil) = lowest_coil(ctx, zone.name()) else { return };
    settings::each(ctx, zone, out, |setting, out| {
        let Some(limit) = setting.limits.value(LimitKey::DehumidifyAbove) else { return };
        let corners = corners(&setting.limits, limit.value);
        if corners.is_empty() {
            out.held_back(None, "humidity-limit-implausible", ctx.id);
        }
        // Without a cooling setpoint the room may be as warm as it likes, and the limit easy.
        let easiest = corners
            .first()
            .filter(|c| c.setpoint.as_ref().is_none_or(|(key, _)| *key == LimitKey::CoolAbove));
        let Some(easiest) = easiest.filter(|corner| corner.dew_point.0 < coil.dew_point.si() - 1e-9) else {
            return;
        };
        let message = format!(
            "No unit of `{}` can reach this limit while {}: {}. Their coils leave {} at best. Choose a unit that dries further, or ask the owner for a higher limit.",
            zone.name(),
            setting.mode.name(),
            easiest.words(limit.value),
            degrees_words(air::Celsius(coil.dew_point.si()), easiest.scale)
        );
        out.report(About::of(noun::MODE, setting.mode.name()), limit.at, message).because(
            coil.unit.head(),
            format!("The coil of `{}` leaves {} at best, by its type", coil.unit.name(), coil.dew_point),
        );
    });
}

struct Coil<'j> {
    dew_point: Quantity,
    unit: Found<'j, Unit>,
}

/// The lowest dew point that a unit of the zone can make; nothing where one does not say.
fn lowest_coil<'j>(ctx: &Ctx<'j>, zone: &str) -> Option<Coil<'j>> {
    let mut lowest: Option<Coil<'j>> = None;
    for unit in ctx.view.users::<Unit>(Kind::Zone, &Name::new(zone)) {
        let unit_type: Found<'_, UnitType> = ctx.view.find(&unit.is.type_.as_ref()?.value)?;
        if unit_type.is.service(Service::Dehumidification).is_none() {
            continue;
        }
        let dew_point = unit_type.is.coil_leaving_dew_point?.value;
        if lowest.as_ref().is_none_or(|known| dew_point.si() < known.dew_point.si()) {
            lowest = Some(Coil { dew_point, unit });
        }
    }
    lowest
}
