//! # What it finds
//!
//! A unit with reheat that dehumidifies without it in some state, whatever its safeties and contacts
//! say. The dehumidify call then runs cooling alone.
//!
//! # Why it matters
//!
//! The room is dried and overcooled. Cooler air reads a higher relative humidity, so the call goes on.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   CR-1:
//! # ^^^^ a dehumidify call and no first-stage heating call
//!     type: cooling-with-electric-reheat
//!     options: {reheat-when: heating-call}
//!     inputs: {heat-1: CR1-HEAT1, dehumidify: CR1-DEHUM, occupied: not-wired, proof-of-airflow: CR1-AIRFLOW}
//! points:
//!   CR1-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//!   CR1-AIRFLOW: {driven-by: {contact: airflow switch}}
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, dehumidify-above: 55 %RH}}
//! ```
//! ```yaml bad
//! unit-types:
//!   drying-coil:
//!     inputs: {dehumidify: {}, heat-1: {}}
//!     outputs:
//!       compressor: {when: dehumidify, role: compressor}
//!       reheat-valve: {when: heat-1 and dehumidify, role: reheat}
//!     serves: {dehumidification: compressor}
//! units:
//!   DC-1:
//!  #^^^^ `DC-1` dehumidifies without reheat on a dehumidify call and no first-stage heating call
//!     type: drying-coil
//!     inputs: {dehumidify: DC1-DEHUM, heat-1: DC1-HEAT1}
//! points:
//!   DC1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//!   DC1-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}}
//! ```
//! ```yaml good
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     options: {reheat-when: every-dehumidify-call}
//!     inputs: {heat-1: CR1-HEAT1, dehumidify: CR1-DEHUM, occupied: not-wired, proof-of-airflow: CR1-AIRFLOW}
//! points:
//!   CR1-HEAT1: {driven-by: {call: heat-1, zone: stacks}}
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//!   CR1-AIRFLOW: {driven-by: {contact: airflow switch}}
//! zones:
//!   stacks: {occupied: {heat-below: 64 °F, dehumidify-above: 55 %RH}}
//! ```
//!
//! A dehumidifier without reheat warms the room by itself:
//!
//! ```yaml near
//! units:
//!   DH-1:
//!     type: stand-alone-dehumidifier
//!     inputs: {dehumidify: DH1-DEHUM, occupied: not-wired, condensate-full: DH1-FULL}
//! points:
//!   DH1-DEHUM: {driven-by: {contact: field}}
//!   DH1-FULL: {driven-by: {contact: float switch}}
//! ```
//!
//! # Repair
//!
//! Choose reheat with every dehumidify call, where the energy code permits it.
//!
//! # Source
//!
//! Common practice, no source. ASHRAE 90.1-2019 §6.5.2.3 limits reheating air that was cooled in the
//! same airstream to listed exceptions. The design engineer names the one that applies.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use analysis::{Atom, UnitAnalysis};
use logic::{Function, Var};
use model::{Found, Role, Service, Unit};

pub(crate) static CHECK: Check = Check {
    id: "dehumidification-without-reheat",
    severity: Severity::Warning,
    source: include_str!("dehumidification_without_reheat.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::unit_as_set],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    let Some(drying) = unit.service(Service::Dehumidification) else {
        return;
    };
    let reheats = unit.outputs_that(|role| role == Role::Reheat).map(|(_, on)| on.clone());
    let reheat = unit.bounded(|| Function::any(reheats));
    // Reheat that is never on is reported as such; so is a unit without any.
    if !unit.can_be_on(&reheat).is_yes() {
        out.held_back(None, "reheat-never-enabled", ctx.id);
        return out.held_back(None, "dehumidification-never-runs", ctx.id);
    }
    let bare = unit.bounded(|| drying.and(&reheat.exists_all(&contacts(unit)).not()));
    let Some(words) = unit.moments().iter().find_map(|m| unit.circumstances(&bare, m)) else {
        return;
    };
    let cure = if unit.unit_type.is.options.is_empty() {
        "This unit type has no option to change that: correct its logic, or record a deviation."
    } else {
        "Choose the option that reheats with every dehumidify call."
    };
    let message =
        format!("`{}` dehumidifies without reheat on {words}. That overcools the room. {cure}", found.name());
    let finding = out.report(
        About::of(noun::SERVICE, Service::Dehumidification.name()),
        found.entry.part.key_node(),
        message,
    );
    for (option, choice) in &found.is.options {
        finding.because(found.place(choice.at), format!("`{}` is `{}`", option.value, choice.value));
    }
}

/// What stands at the unit and not in the job: proofs, safeties, switches, and what is unknown.
fn contacts(unit: &UnitAnalysis<'_>) -> Vec<Var> {
    let atoms = unit.wires.atoms().iter();
    let free = atoms.filter(|atom| matches!(atom, Atom::Contact(_) | Atom::Operator(_) | Atom::Unknown(_)));
    free.filter_map(|atom| unit.wires.var(atom)).collect()
}
