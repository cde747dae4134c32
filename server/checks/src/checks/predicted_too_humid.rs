//! # What it finds
//!
//! Predicted: a zone that passes its humidity requirement while none of its units may dry it. Told are
//! the gap that ends worst, when the requirement is passed in it, the hours of the review period, and
//! what half and twice the infiltration would make of them. Where no requirement states a humidity, the
//! published limit on the dew point counts. Silent for sites without `weather`.
//!
//! # Why it matters
//!
//! A gap of 63 hours says nothing by itself. In a tight room in a dry month it does not matter; in a
//! leaky one in July the room stands at 66 °F dew point on Monday.
//!
//! # Example
//!
//! ```yaml bad
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   review: {from: 2027-06-01, days: 60}
//!   weather: {dry-bulb: 86 °F, dew-point: 75 °F}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   stacks:
//! # ^^^^^^ prediction
//!     schedule: staff-hours
//!     occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 50 %RH}
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {cool-1: CR1-COOL1, dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//! points:
//!   CR1-COOL1: {driven-by: {call: cool-1, zone: stacks}}
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//! ```
//! ```yaml good
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   review: {from: 2027-06-01, days: 60}
//!   weather: {dry-bulb: 86 °F, dew-point: 75 °F}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   stacks:
//!     schedule: staff-hours
//!     occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 50 %RH}
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {cool-1: CR1-COOL1, dehumidify: CR1-DEHUM, occupied: not-wired}
//! points:
//!   CR1-COOL1: {driven-by: {call: cool-1, zone: stacks}}
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//! ```yaml near
//! # The same gaps, and dry weather.
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   review: {from: 2027-06-01, days: 60}
//!   weather: {dry-bulb: 86 °F, dew-point: 50 °F}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   stacks:
//!     schedule: staff-hours
//!     occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 50 %RH}
//!     unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 50 %RH}
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {cool-1: CR1-COOL1, dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//! points:
//!   CR1-COOL1: {driven-by: {call: cool-1, zone: stacks}}
//!   CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//! ```
//!
//! # Repair
//!
//! Let a unit dry the zone in those hours, or make the room tighter. `drycall predict ZONE` shows the hours
//! and everything the prediction takes for granted; what the job can say better, let `space:` say.
//!
//! # Source
//!
//! A prediction: the moisture balance of the `EnergyPlus` Engineering Reference (moisture
//! predictor-corrector, exact solution) over the site's weather; defaults are printed with their sources.
//! ASHRAE 62.1-2022 §5.12: a dew point of at most 60 °F, where no requirement is stated.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use analysis::{degrees_words, hours_words, moment_words};
use model::{Found, Zone};

pub(crate) static CHECK: Check = Check {
    id: "predicted-too-humid",
    severity: Severity::Warning,
    source: include_str!("predicted_too_humid.rs"),
    run: Run::Zone(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    let Some(drift) = ctx.drift() else { return };
    let Some(prediction) = drift.prediction(ctx.memo) else { return };
    let Some(gap) = &prediction.worst_gap else { return };
    let Some(criterion) = drift.criteria.get(gap.worst.criterion) else { return };
    let in_gaps = |times| drift.prediction_with(ctx.memo, times).map_or(0, |p| p.above_in_gaps);
    let message = format!(
        "prediction: while nothing may dry it, `{}` is above {} in {} h of {}; in the gap from {} to {} it passes after {} and comes to a dew point of {} ({} h and {} h with half and twice the infiltration); let a unit dry it then",
        zone.name(),
        criterion.words,
        prediction.above_in_gaps,
        prediction.hours,
        moment_words(&drift.period, gap.gap.from),
        moment_words(&drift.period, gap.gap.to),
        hours_words((gap.crosses_after * 10.0).round() / 10.0),
        degrees_words(gap.worst.dew_point(), drift.scale()),
        in_gaps(0.5),
        in_gaps(2.0)
    );
    let finding = out.report(About::entry(), zone.entry.part.key_node(), message);
    if let Some(place) = &criterion.place {
        finding.because(place.clone(), format!("{} is at most {}", criterion.source, criterion.words));
    }
    for (unit, name) in drift.drying_units(&ctx.view).into_iter().map(|unit| (unit, unit.name())) {
        finding.because(unit.head(), format!("`{name}` may not dry it in the gap"));
    }
}
