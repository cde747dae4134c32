//! # What it finds
//!
//! An output that never turns off, in any state that the calls and contacts allow, at any time of the
//! review period.
//!
//! # Why it matters
//!
//! What should be switched runs day and night: a jumper from start-up, or a command that was left on by
//! hand.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   AC-1:
//! # ^^^^ `heat` of `AC-1`
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: C1, heat-1: H1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   C1: {driven-by: {operator: "off"}}
//!   H1: {driven-by: {operator: "on"}}
//! ```
//! ```yaml bad
//! unit-types:
//!   exhaust:
//!     inputs: {fan: {}}
//!     outputs: {exhaust-fan: {when: fan or not fan, role: fan}}
//!     serves: {ventilation: exhaust-fan}
//! units:
//!   EF-1: {type: exhaust, inputs: {fan: EF1-FAN}}
//!  #^^^^ `exhaust-fan` of `EF-1` is on all the time: `exhaust-fan` is on when `fan or not fan`
//! points:
//!   EF1-FAN: {driven-by: {contact: field}}
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: C1, heat-1: H1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   C1: {driven-by: {contact: field}}
//!   H1: {driven-by: {contact: field}}
//! ```
//! ```yaml near
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: C1, heat-1: H1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   C1: {driven-by: {operator: "off"}}
//!   H1: {driven-by: {operator: on-or-off}}
//! ```
//!
//! # Repair
//!
//! Change any one of the facts that are listed.
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
use model::{Found, Unit};

pub(crate) static CHECK: Check = Check {
    id: "output-always-on",
    severity: Severity::Warning,
    source: include_str!("output_always_on.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    // One switched by another's fault follows it, so only the first is reported.
    let mut told: Vec<Vec<analysis::Reason>> = Vec::new();
    for (output, on) in unit.outputs() {
        if !unit.can_be_on(&on.not()).is_no() {
            continue;
        }
        let reasons = unit.why(Claim::OutputAlways(output), |_| true).unwrap_or_default();
        let facts: Vec<_> =
            reasons.iter().filter(|r| r.kind != analysis::ReasonKind::Logic).cloned().collect();
        let about = About::of(noun::OUTPUT, output);
        if told.contains(&facts) {
            out.held_back(Some(about), CHECK.id, ctx.id);
            continue;
        }
        let (cause, cure) =
            cause(&reasons).unwrap_or(("its logic is always on", "Correct the logic of the unit type."));
        let message = format!("`{output}` of `{}` is on all the time: {cause}. {cure}", found.name());
        explain(out.report(about, found.entry.part.key_node(), message), &reasons);
        told.push(facts);
    }
}
