//! # What it finds
//!
//! An output that never turns on, in any state that the calls and contacts allow, at any time of the
//! review period.
//!
//! # Why it matters
//!
//! Equipment that is paid for never runs, and nobody is told.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   HP-3:
//! # ^^^^ `auxiliary-heat` of `HP-3`
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {cool-1: C1, heat-1: H1, heat-2: {tied: off}, dehumidify: D1, occupied: {tied: on}}
//! points:
//!   C1: {driven-by: {contact: field}}
//!   H1: {driven-by: {contact: field}}
//!   D1: {driven-by: {contact: field}}
//! ```
//! ```yaml bad
//! unit-types:
//!   exhaust:
//!     inputs: {fan: {}}
//!     outputs: {exhaust-fan: {when: fan, role: fan}, alarm-horn: fan and not fan}
//!     serves: {ventilation: exhaust-fan}
//! units:
//!   EF-1: {type: exhaust, inputs: {fan: EF1-FAN}}
//!  #^^^^ `alarm-horn` of `EF-1` never comes on: `alarm-horn` is on when `fan and not fan`
//! points:
//!   EF1-FAN: {driven-by: {contact: field}}
//! ```
//! ```yaml good
//! units:
//!   HP-3:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {cool-1: C1, heat-1: H1, heat-2: H2, dehumidify: D1, occupied: {tied: on}}
//! points:
//!   C1: {driven-by: {contact: field}}
//!   H1: {driven-by: {contact: field}}
//!   H2: {driven-by: {contact: field}}
//!   D1: {driven-by: {contact: field}}
//! ```
//! ```yaml near
//! units:
//!   HP-3:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {cool-1: C1, heat-1: H1, heat-2: not-wired, dehumidify: D1, occupied: {tied: on}}
//! points:
//!   C1: {driven-by: {contact: field}}
//!   H1: {driven-by: {contact: field}}
//!   D1: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Change any one of the facts listed, or write `not-wired` where an input is left open on purpose.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{cause, explain, held_by_reasons};
use crate::repair;
use analysis::{Claim, UnitAnalysis};
use model::{Found, Name, Role, Service, Unit};

pub(crate) static CHECK: Check = Check {
    id: "output-never-on",
    severity: Severity::Warning,
    source: include_str!("output_never_on.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    for (output, on) in unit.outputs() {
        if !unit.can_be_on(on).is_no() || reheats(unit, output) {
            continue;
        }
        let about = About::of(noun::OUTPUT, output);
        if only_dries(unit, output) {
            out.held_back(Some(about), "dehumidification-never-runs", ctx.id);
            continue;
        }
        let reasons = unit.why(Claim::OutputNever(output), |_| true).unwrap_or_default();
        // What follows from a wire or a source that is missing is reported there.
        if reasons.iter().any(|r| r.kind.reported_itself()) {
            held_by_reasons(ctx, &reasons, &about, out);
            continue;
        }
        let (cause, cure) =
            cause(&reasons).unwrap_or(("its logic is never on", "Correct the logic of the unit type."));
        let message = format!("`{output}` of `{}` never comes on: {cause}. {cure}", found.name());
        explain(out.report(about, found.entry.part.key_node(), message), &reasons);
    }
}

/// Whether an output reheats, which a check of its own looks at.
fn reheats(unit: &UnitAnalysis<'_>, output: &Name) -> bool {
    unit.outputs_that(|role| role == Role::Reheat).any(|(name, _)| name == output)
}

/// Whether an output is on with dehumidification only, and that can never run, which is reported.
fn only_dries(unit: &UnitAnalysis<'_>, output: &Name) -> bool {
    let drying = unit.service(Service::Dehumidification);
    let never_dries = drying.is_some_and(|drying| unit.can_be_on(drying).is_no());
    never_dries
        && unit.bounded(|| {
            let values = unit.logic.alone();
            let drying = unit.logic.service_in(Service::Dehumidification.name(), &values);
            let both = unit.logic.output_in(output, &values).zip(drying);
            // An output that is not proven to dry only is reported for itself.
            both.is_some_and(|(output, drying)| output.implies(&drying).is_yes())
        })
}
