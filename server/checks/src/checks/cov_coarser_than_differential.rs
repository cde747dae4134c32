//! # What it finds
//!
//! A change-of-value increment greater than the differential that the zone's control acts on.
//!
//! # Why it matters
//!
//! Whoever subscribes to the point, a controller on the network or a trend, sees no change until it is
//! greater than what turns a call on and off: calls seem to come and go without a cause, or come late.
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
//! Take an increment of half the differential or less.
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
    let step = Quantity { value: differential.step.step_in(sensor.scale), unit: sensor.scale };
    let message = format!(
        "changes below {reported} are not reported, and the zone's control acts on {step}; take an increment of half that or less"
    );
    let (place, text) = differential.written.map_or_else(
        || (sensor.zone.head(), format!("it states no differential, so {step} is taken")),
        |written| (sensor.zone.place(written.at), format!("the differential is {}", written.value)),
    );
    // Down to a tenth, so that the figure is one that a controller takes.
    let half = (step.value * 5.0 + 1e-9).floor() / 10.0;
    out.report(About::entry(), increment.at, message)
        .because(place, text)
        .instead((half > 0.0).then(|| plain(half)));
}
