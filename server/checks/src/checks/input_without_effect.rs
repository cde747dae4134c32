//! # What it finds
//!
//! A point wired to an input that cannot change any output, as the unit is wired and set.
//!
//! # Why it matters
//!
//! Somebody pays for the wire and the output, and at start-up somebody looks for the effect it should
//! have. Often an option should be set differently.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs:
//!       dehumidify: AC1-DEHUM
//!       occupied: AC1-OCC
//!       #         ^^^^^^^ `unoccupied-dehumidification` is `allowed`
//! points:
//!   AC1-DEHUM: {driven-by: {contact: field}}
//!   AC1-OCC: {driven-by: {contact: field}}
//! ```
//! ```yaml bad
//! unit-types:
//!   exhaust:
//!     inputs: {fan: {}, spare: {}}
//!     outputs: {exhaust-fan: {when: fan, role: fan}}
//!     serves: {ventilation: exhaust-fan}
//! units:
//!   EF-1: {type: exhaust, inputs: {fan: EF1-FAN, spare: EF1-AUX}}
//!   #                                                   ^^^^^^^ The `spare` input of `EF-1` has no effect
//! points:
//!   EF1-FAN: {driven-by: {contact: field}}
//!   EF1-AUX: {driven-by: {contact: field}}
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: AC1-DEHUM, occupied: AC1-OCC}
//! points:
//!   AC1-DEHUM: {driven-by: {contact: field}}
//!   AC1-OCC: {driven-by: {contact: field}}
//! ```
//! ```yaml near
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: HP1-OCC}
//! points:
//!   HP1-HEAT1: {driven-by: {contact: field}}
//!   HP1-DEHUM: {driven-by: {contact: field}}
//!   HP1-OCC: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Change the option so that the unit uses the input, or write `not-wired`.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{explain, held_by_reasons};
use crate::repair;
use analysis::{Claim, ReasonKind};
use model::{Found, Point, Unit, Wiring};

pub(crate) static CHECK: Check = Check {
    id: "input-without-effect",
    severity: Severity::Warning,
    source: include_str!("input_without_effect.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    // A line of the type that could not be read may be where the input counts.
    if unit.unit_type.entry.facts.doubtful() {
        return;
    }
    for (input, wiring) in &found.is.inputs {
        // A point that is not found is reported by its name.
        let wired = matches!(&wiring.value, Wiring::Point(name) if ctx.view.find::<Point>(name).is_some());
        if !wired || unit.logic.input(&input.value).is_none() || !unit.has_effect(&input.value).is_no() {
            continue;
        }
        let reasons = unit.why(Claim::InputWithoutEffect(&input.value), |_| true).unwrap_or_default();
        let about = About::of(noun::INPUT, &input.value);
        // What follows from a wire, a source or a limit that is missing is reported there.
        if reasons.iter().any(|r| r.kind.reported_itself() || matches!(r.kind, ReasonKind::NoLimit(_))) {
            held_by_reasons(ctx, &reasons, &about, out);
            continue;
        }
        let cause = reasons.iter().find_map(|r| Some((r.kind, &r.because.first()?.text)));
        let (cause, cure) = match cause {
            Some((ReasonKind::Option, text)) => {
                (format!(" while {text}"), "Change the option, or remove the wire.")
            }
            Some((_, text)) => (format!(": {text}"), "Check the wiring."),
            None => (String::new(), "Check the wiring."),
        };
        let message =
            format!("The `{}` input of `{}` has no effect{cause}. {cure}", input.value, found.name());
        explain(out.report(about, wiring.at, message).unused(), &reasons);
    }
}
