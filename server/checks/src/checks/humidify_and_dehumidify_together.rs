//! # What it finds
//!
//! A mode whose limits ask for humidifying and for dehumidifying at one reading: the upper limit is
//! not above the lower.
//!
//! # Why it matters
//!
//! The humidifier feeds the dehumidifier, day and night, and both run.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   conservation-lab:
//!     occupied: {humidify-below: 55 %RH, dehumidify-above: 50 %RH}
//!     #                                                    ^^^^^^ drying starts above 50 %RH
//! ```
//! ```yaml good
//! zones:
//!   conservation-lab:
//!     occupied: {humidify-below: 40 %RH, dehumidify-above: 55 %RH}
//! ```
//! ```yaml near
//! zones:
//!   conservation-lab:
//!     occupied:   {humidify-below: 40 %RH, dehumidify-above: 45 %RH}
//!     unoccupied: {humidify-below: 50 %RH, dehumidify-above: 58 °F dew point}
//! ```
//!
//! # Repair
//!
//! Set the upper limit above the lower, with a differential of each between.
//!
//! # Source
//!
//! ASHRAE 90.1-2019 §6.4.3.6 (from memory): not both at once. Local code and the design engineer decide.

use crate::check::{Check, Run, Severity};
use crate::context::Ctx;
use crate::finding::Sink;
use crate::{repair, settings};
use analysis::call_rules;
use model::{Found, Measure, Zone};

pub(crate) static CHECK: Check = Check {
    id: "humidify-and-dehumidify-together",
    severity: Severity::Error,
    source: include_str!("humidify_and_dehumidify_together.rs"),
    run: Run::Zone(run),
    repairs: &[repair::exchange],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    settings::each(ctx, zone, out, |setting, out| {
        let limits = &setting.limits;
        let Some((low, high)) = limits.humidify_below.zip(limits.dehumidify_above) else { return };
        let same = [Measure::RelativeHumidity, Measure::DewPoint]
            .iter()
            .any(|m| low.value.is(*m) && high.value.is(*m));
        if !same || high.value.si() > low.value.si() {
            return;
        }
        let rules = call_rules(&ctx.view, zone, limits);
        let rule = |call: &str| rules.iter().find(|r| r.call == call);
        let meet = rule("humidify").zip(rule("dehumidify")).and_then(|(a, b)| a.meets(b)) == Some(true);
        let both = if meet { "both run at once" } else { "one undoes the other" };
        let message = format!(
            "while {} drying starts above {} and humidifying below {}: {both}; set the upper limit above the lower",
            setting.mode.word(),
            high.value,
            low.value
        );
        out.report(high.at, message)
            .because(zone.place(low.at), format!("humidifying starts below {}", low.value));
    });
}
