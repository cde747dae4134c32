//! # What it finds
//!
//! Predicted: the humidity at the zone's coldest inside surface, as a mean over thirty days, reaches the
//! published criterion for mould. Silent for sites without `weather` and for periods below thirty days.
//!
//! # Why it matters
//!
//! Mould needs weeks of damp at a surface, not a wet hour. What a criterion on the room's air lets pass
//! can grow behind a cupboard on the outside wall.
//!
//! # Example
//!
//! ```yaml bad
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   review: {from: 2027-06-01, days: 90}
//!   weather: {dry-bulb: 80 °F, dew-point: 76 °F}
//! zones:
//!   stacks:
//! # ^^^^^^ prediction
//!     occupied: {heat-below: 68 °F, cool-above: 78 °F}
//! requirements:
//!   - {zone: stacks, relative-humidity-at-most: 60 %RH}
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     inputs: {cool-1: CR1-COOL1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   CR1-COOL1: {driven-by: {call: cool-1, zone: stacks}}
//! ```
//! ```yaml good
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   review: {from: 2027-06-01, days: 90}
//!   weather: {dry-bulb: 80 °F, dew-point: 76 °F}
//! zones:
//!   stacks:
//!     occupied: {heat-below: 68 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     inputs: {cool-1: CR1-COOL1, dehumidify: CR1-DEHUM, occupied: not-wired}
//! points:
//!   CR1-COOL1: {driven-by: {call: cool-1, zone: stacks}}
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//! ```yaml near
//! # As damp, and too short for a mean over thirty days.
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   review: {from: 2027-06-01, days: 20}
//!   weather: {dry-bulb: 80 °F, dew-point: 76 °F}
//! zones:
//!   stacks:
//!     occupied: {heat-below: 68 °F, cool-above: 78 °F}
//! requirements:
//!   - {zone: stacks, relative-humidity-at-most: 60 %RH}
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     inputs: {cool-1: CR1-COOL1, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   CR1-COOL1: {driven-by: {call: cool-1, zone: stacks}}
//! ```
//!
//! # Repair
//!
//! Dry the zone in the hours in which nothing may, lower its limit, or keep its surfaces warmer.
//!
//! # Source
//!
//! ASHRAE 160-2009: a 30-day running mean of the surface humidity below 80 % while that of the
//! surface temperature is between 5 and 40 °C. Later addenda use a mould index instead; another value
//! can be set as `site: {limits: {surface-humidity: 75 %RH}}`, or `none`. The rest is a prediction, whose
//! defaults `drycall predict` prints with their sources.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use analysis::drift::SurfacePeak;
use analysis::{degrees_words, moment_words};
use model::{Found, Zone};

pub(crate) static CHECK: Check = Check {
    id: "predicted-mold",
    severity: Severity::Warning,
    source: include_str!("predicted_mold.rs"),
    run: Run::Zone(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    let Some(drift) = ctx.drift() else { return };
    let Some(prediction) = drift.prediction(ctx.memo) else { return };
    let Some(peak) = prediction.mould else { return };
    let Some(limit) = ctx.view.limit("surface-humidity") else { return };
    let surface = |times| {
        let prediction = drift.prediction_with(ctx.memo, times);
        let peak = prediction.and_then(|p| p.surface);
        peak.map_or_else(|| "unknown".to_owned(), |p| format!("{:.0}", p.mean.humidity))
    };
    let message = format!(
        "prediction: over the {} days to {}, the coldest surface of `{}` has {:.0} at {} on average ({} and {} with half and twice the infiltration), and mould may grow from {} ({}); dry the zone further, or keep its surfaces warmer",
        SurfacePeak::DAYS,
        moment_words(&drift.period, peak.until),
        zone.name(),
        peak.mean.humidity,
        degrees_words(peak.mean.temperature, drift.scale()),
        surface(0.5),
        surface(2.0),
        limit.value,
        limit.source
    );
    let finding = out.report(About::entry(), zone.entry.part.key_node(), message);
    if let Some(place) = limit.written {
        finding.because(place, format!("the site sets {}", limit.value));
    }
}
