//! # What it finds
//!
//! A reheat output that never turns on, in any state that the calls and contacts allow. Units that can
//! never dehumidify are left out.
//!
//! # Why it matters
//!
//! Drying without reheat overcools the room: people are cold, the thermostat calls for heat, and soon
//! somebody turns the dehumidification off.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   CR-1:
//! # ^^^^ `proof-of-airflow` is not wired
//!     type: cooling-with-electric-reheat
//!     inputs: {dehumidify: CR1-DEHUM, occupied: not-wired, proof-of-airflow: not-wired}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//! ```
//! ```yaml bad
//! units:
//!   CR-1:
//! # ^^^^ `proof-of-airflow` is not wired
//!     type: cooling-with-electric-reheat
//!     inputs: {dehumidify: CR1-DEHUM, occupied: not-wired, proof-of-airflow: not-wired}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-AIRFLOW: {driven-by: {contact: airflow switch}}
//! ```
//! ```yaml good
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     inputs: {dehumidify: CR1-DEHUM, occupied: not-wired, proof-of-airflow: CR1-AIRFLOW}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-AIRFLOW: {driven-by: {contact: airflow switch}}
//! ```
//! ```yaml near
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     inputs: {cool-1: CR1-COOL1, dehumidify: not-wired, occupied: not-wired, proof-of-airflow: not-wired}
//! points:
//!   CR1-COOL1: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Change any one of the facts listed. Never bridge a proof of airflow to get there.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{cause, explain};
use crate::repair;
use analysis::Claim;
use model::{Found, Role, Service, Unit};

pub(crate) static CHECK: Check = Check {
    id: "reheat-never-enabled",
    severity: Severity::Error,
    source: include_str!("reheat_never_enabled.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::unit_as_set],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    // Where it cannot dehumidify, that is reported, and reheat has no use.
    if unit.service(Service::Dehumidification).is_some_and(|drying| unit.can_be_on(drying).is_no()) {
        return out.held_back(None, "dehumidification-never-runs", ctx.id);
    }
    for (output, on) in unit.outputs_that(|role| role == Role::Reheat) {
        if !unit.can_be_on(on).is_no() {
            continue;
        }
        let reasons = unit.why(Claim::OutputNever(output), |_| true).unwrap_or_default();
        let (cause, cure) =
            cause(&reasons).unwrap_or(("its logic is never on", "Correct the logic of the unit type."));
        let message = format!(
            "`{output}` of `{}` never comes on: {cause}. Drying then overcools the room. {cure}",
            found.name()
        );
        explain(out.report(About::of(noun::OUTPUT, output), found.entry.part.key_node(), message), &reasons);
    }
}
