//! # What it finds
//!
//! Predicted: a zone that goes past its humidity requirement while none of its units can dry it. The
//! message gives the hours of the review period and the gap that ends worst, and its reasons give the
//! hours for half and twice the infiltration. Where no requirement states a humidity, the published
//! limit on the dew point applies. Nothing is reported for sites without `weather`.
//!
//! # Why it matters
//!
//! A gap of 63 hours says nothing by itself. In a tight room in a dry month it does not matter. In a
//! leaky one in July the room is at a 66 °F dew point on Monday.
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
//! # ^^^^^^ Prediction
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
//! Run a unit that dries the zone in those hours, or make the room tighter. `drycall predict ZONE`
//! shows the hours and everything that the prediction assumes. Write what you know better under
//! `space:`.
//!
//! # Source
//!
//! A prediction: the moisture balance of the `EnergyPlus` Engineering Reference (moisture
//! predictor-corrector, exact solution) over the site's weather; defaults are printed with their
//! sources. ASHRAE 62.1-2022 §5.12: a dew point of at most 60 °F, where no requirement is stated.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use analysis::{count_words, degrees_words, moment_words, share_words};
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
        "Prediction: with no unit to dry it, `{}` is above {} for {}. \
         In the gap from {} to {} it reaches a dew point of {}. Run a unit that dries it then.",
        zone.name(),
        criterion.words,
        share_words(prediction.above_in_gaps as f64, prediction.hours as f64),
        moment_words(&drift.period, gap.gap.from),
        moment_words(&drift.period, gap.gap.to),
        degrees_words(gap.worst.dew_point(), drift.scale()),
    );
    let finding = out.report(About::entry(), zone.entry.part.key_node(), message);
    let (half, twice) = (count_words(in_gaps(0.5)), count_words(in_gaps(2.0)));
    let others = format!("It is {half} h with half the infiltration and {twice} h with twice");
    finding.because(zone.head(), others);
    if let Some(place) = &criterion.place {
        finding.because(place.clone(), format!("The limit is {}", criterion.words));
    }
    for (unit, name) in drift.drying_units(&ctx.view).into_iter().map(|unit| (unit, unit.name())) {
        finding.because(unit.head(), format!("`{name}` cannot dehumidify in that gap"));
    }
}
