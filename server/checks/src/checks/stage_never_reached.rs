//! # What it finds
//!
//! A second stage that is wired but never called, although the first one is.
//!
//! # Why it matters
//!
//! On the coldest or hottest day the second half of the unit does not run.
//!
//! # Example
//!
//! The second stage starts two degrees and a differential past the limit, beyond what the sensor reads:
//!
//! ```yaml bad
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs:
//!       heat-1: HP1-HEAT1
//!       heat-2: HP1-HEAT2
//!       #       ^^^^^^^^^ second-stage heating call at 31 °F
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: loading-bay}}
//!   HP1-HEAT2: {driven-by: {call: heat-2, zone: loading-bay}}
//! zones:
//!   loading-bay:
//!     occupied: {heat-below: 34 °F}
//!     thermostat: {differential: 1 °F, stage-2-offset: 2 °F, sensor-range: {temperature: 32..122 °F}}
//! ```
//! ```yaml good
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {heat-1: HP1-HEAT1, heat-2: HP1-HEAT2}
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: loading-bay}}
//!   HP1-HEAT2: {driven-by: {call: heat-2, zone: loading-bay}}
//! zones:
//!   loading-bay:
//!     occupied: {heat-below: 45 °F}
//!     thermostat: {differential: 1 °F, stage-2-offset: 2 °F, sensor-range: {temperature: 32..122 °F}}
//! ```
//! ```yaml near
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {heat-1: HP1-HEAT1, heat-2: HP1-HEAT2}
//! points:
//!   HP1-HEAT1: {driven-by: {call: heat-1, zone: loading-bay}}
//!   HP1-HEAT2: {driven-by: {call: heat-2, zone: loading-bay}}
//! zones:
//!   loading-bay:
//!     occupied: {cool-above: 80 °F}
//! ```
//!
//! # Repair
//!
//! Change any one of the facts listed: the limit, the offset, or the source of the call.
//!
//! # Source
//!
//! Common practice, no source: a second stage 1 to 2 °F past the first.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{explain, held_by_reasons};
use crate::repair;
use analysis::{Claim, ReasonKind};
use logic::Answer;
use model::{Call, Found, Unit, Wiring};

pub(crate) static CHECK: Check = Check {
    id: "stage-never-reached",
    severity: Severity::Warning,
    source: include_str!("stage_never_reached.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    for (second, first) in Call::ALL.into_iter().filter_map(|call| Some((call, call.first_stage()?))) {
        let Some((_, wiring)) =
            found.is.wiring(second.name()).filter(|(_, w)| matches!(w.value, Wiring::Point(_)))
        else {
            continue;
        };
        let can = |input: Call| unit.terminal(input).map_or(Answer::No, |on| unit.can_be_on(on));
        if unit.terminal(second).is_none() || !can(second).is_no() || !can(first).is_yes() {
            continue;
        }
        let reasons = unit.why(Claim::InputNever(second.name()), |_| true).unwrap_or_default();
        let about = About::of(noun::INPUT, second.name());
        if reasons.iter().any(|r| r.kind == ReasonKind::Undriven) {
            held_by_reasons(ctx, &reasons, &about, out);
            continue;
        }
        // Of what keeps the call away the limit says most, then what comes last on the path.
        let limit =
            reasons.iter().find(|r| matches!(r.kind, ReasonKind::BeyondSensor(_) | ReasonKind::NoLimit(_)));
        let cause = limit.or(reasons.last()).and_then(|r| r.because.first());
        let cause = cause.map_or("its call is never made", |because| because.text.as_str());
        let message = format!(
            "`{second}` of `{}` is never called, although `{first}` is: {cause}. Correct one of the facts listed.",
            found.name()
        );
        explain(out.report(about, wiring.at, message), &reasons);
    }
}
