//! # What it finds
//!
//! Predicted: the humidity at the zone's coldest inside surface, averaged over thirty days, reaches the
//! published criterion for mold. Nothing is reported for sites without `weather` and for periods
//! shorter than thirty days.
//!
//! # Why it matters
//!
//! Mold needs weeks of damp at a surface, not one wet hour. What a limit on the room air lets pass can
//! grow behind a cabinet on the outside wall.
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
//! # ^^^^^^ Prediction
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
//! Dry the zone in the hours in which no unit can, lower its limit, or keep its surfaces warmer.
//!
//! # Source
//!
//! ASHRAE 160-2009: a 30-day running mean of the surface humidity below 80 % while that of the surface
//! temperature is between 5 and 40 °C. Later addenda use a mold index instead; another value can be set
//! as `site: {limits: {surface-humidity: 75 %RH}}`, or `none`. The rest is a prediction: `drycall
//! predict` prints its defaults with their sources.

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
        "Prediction: mold may grow in `{}`. Its coldest surface averages {:.0} at {} over the {} days to {}, but {} allows {}. \
         Dry the zone further, or keep its surfaces warmer.",
        zone.name(),
        peak.mean.humidity,
        degrees_words(peak.mean.temperature, drift.scale()),
        SurfacePeak::DAYS,
        moment_words(&drift.period, peak.until),
        limit.source,
        limit.value,
    );
    let finding = out.report(About::entry(), zone.entry.part.key_node(), message);
    let others = format!("It is {} with half the infiltration and {} with twice", surface(0.5), surface(2.0));
    finding.because(zone.head(), others);
    if let Some(place) = limit.written {
        finding.because(place, format!("The limit of the site is {}", limit.value));
    }
}
