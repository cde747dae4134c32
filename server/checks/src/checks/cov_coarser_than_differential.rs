//! # What it finds
//!
//! A change-of-value increment greater than the differential of the zone it measures.
//!
//! # Why it matters
//!
//! A controller or trend that subscribes to the point sees no change until it is larger than what turns
//! a call on and off. Calls come late, or seem to come and go for no reason.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   reading-room: {thermostat: {humidity-differential: 3 %RH}}
//! points:
//!   RR1-HUM: {units: "%RH", cov-increment: 5, measures: {zone: reading-room, quantity: humidity}}
//!   #                                      ^ 3 %RH
//! ```
//! ```yaml bad
//! zones:
//!   reading-room:
//!     occupied: {cool-above: 75 °F}
//!     thermostat: {differential: 0.1 °F}
//! points:
//!   RR1-TEMP: {units: °F, cov-increment: 0.5, measures: {zone: reading-room, quantity: temperature}}
//!   #                                    ^^^ `RR1-TEMP` reports no change below 0.5 °F, but the differential of its zone is 0.1 °F
//! ```
//! ```yaml good
//! zones:
//!   reading-room: {thermostat: {humidity-differential: 3 %RH}}
//! points:
//!   RR1-HUM: {units: "%RH", cov-increment: 1, measures: {zone: reading-room, quantity: humidity}}
//! ```
//! ```yaml near
//! # 0.5 K is 0.9 °F.
//! zones:
//!   reading-room: {thermostat: {differential: 1 °F}}
//! points:
//!   RR1-TEMP: {units: °C, cov-increment: 0.5, measures: {zone: reading-room, quantity: temperature}}
//! ```
//!
//! # Repair
//!
//! Use an increment of half the differential or less.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::sensor::sensor;
use model::{Found, Point, Quantity, plain};

pub(crate) static CHECK: Check = Check {
    id: "cov-coarser-than-differential",
    severity: Severity::Warning,
    source: include_str!("cov_coarser_than_differential.rs"),
    run: Run::Point(run),
    repairs: &[repair::another],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let Some(increment) = point.is.limits().cov_increment else {
        return;
    };
    let Some(sensor) = sensor(&ctx.view, point.is) else {
        out.held_back(None, "units-missing", ctx.id);
        return out.held_back(None, "wrong-units", ctx.id);
    };
    let Some(differential) = sensor.differential() else {
        return;
    };
    let reported = Quantity { value: increment.value, unit: sensor.scale };
    // A hair's breadth for the rounding of °F.
    if reported.si_step() <= differential.step.si_step() + 1e-9 {
        return;
    }
    let step = Quantity { value: differential.step.step_in(sensor.scale), unit: sensor.scale }.rounded();
    let (place, text) = differential.written.map_or_else(
        || (sensor.zone.head(), format!("The zone has no differential, so it is {step}")),
        |written| (sensor.zone.place(written.at), format!("The differential is {}", written.value)),
    );
    // Down to a tenth, so that the figure is one that a controller takes.
    let half = (step.value * 5.0 + 1e-9).floor() / 10.0;
    let cure = if half > 0.0 {
        format!("Set `cov-increment` to {} or less.", plain(half))
    } else {
        "Set a smaller `cov-increment`.".to_owned()
    };
    let message = format!(
        "`{}` reports no change below {reported}, but the differential of its zone is {step}. Control acts on an old reading. {cure}",
        point.name()
    );
    out.report(About::entry(), increment.at, message)
        .because(place, text)
        .instead((half > 0.0).then(|| plain(half)));
}
