//! # What it finds
//!
//! A differential smaller than the accuracy of the zone's sensor, or than the change of value that its
//! point reports.
//!
//! # Why it matters
//!
//! The call starts and ends on the sensor's own error. The unit cycles for nothing, or control waits
//! for a change that is not reported.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   reading-room:
//!     occupied: {dehumidify-above: 50 %RH}
//!     thermostat: {humidity-differential: 2 %RH}
//!     #                                   ^^^^^ accurate to 3 %RH
//! points:
//!   RR1-HUM: {units: percent-relative-humidity, measures: {zone: reading-room, quantity: humidity}, accuracy: 3}
//! ```
//! ```yaml bad
//! zones:
//!   reading-room:
//!  #^^^^^^^^^^^^ The default differential of 4 %RH is finer than the sensor: `RR1-HUM` reports no change below 6 %RH
//!     occupied: {dehumidify-above: 50 %RH}
//! points:
//!   RR1-HUM: {units: percent-relative-humidity, measures: {zone: reading-room, quantity: humidity}, cov-increment: 6}
//! ```
//! ```yaml good
//! zones:
//!   reading-room:
//!     occupied: {dehumidify-above: 50 %RH}
//!     thermostat: {humidity-differential: 4 %RH}
//! points:
//!   RR1-HUM: {units: percent-relative-humidity, measures: {zone: reading-room, quantity: humidity}, accuracy: 3}
//! ```
//! ```yaml near
//! zones:
//!   reading-room:
//!     occupied: {cool-above: 75 °F}
//!     thermostat: {differential: 1 °F}
//! points:
//!   RR1-TEMP: {units: degrees-celsius, measures: {zone: reading-room, quantity: temperature}, accuracy: 0.5, cov-increment: 0.2}
//! ```
//!
//! # Repair
//!
//! Widen the differential, lower the point's increment, or install a better sensor.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::sensor::sensor;
use model::{Found, Kind, Name, Point, Quantity, UnitOfMeasure, Zone};

pub(crate) static CHECK: Check = Check {
    id: "differential-finer-than-sensor",
    severity: Severity::Note,
    source: include_str!("differential_finer_than_sensor.rs"),
    run: Run::Zone(run),
    repairs: &[repair::another],
};

/// A step on the scale that the differential is written in.
fn fine_as(step: Quantity, unit: UnitOfMeasure) -> Quantity {
    Quantity { value: (step.step_in(unit) * 10.0 - 1e-9).ceil() / 10.0, unit }
}

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    for point in ctx.view.users::<Point>(Kind::Zone, &Name::new(zone.name())) {
        let grains = [
            ("accuracy", point.is.limits().accuracy, "is only accurate to"),
            ("cov-increment", point.is.limits().cov_increment, "reports no change below"),
        ];
        if grains.iter().all(|(_, grain, _)| grain.is_none()) {
            continue;
        }
        let Some(sensor) = sensor(&ctx.view, point.is).filter(|s| s.zone.id == zone.id) else {
            continue;
        };
        let Some(differential) = sensor.differential() else {
            continue;
        };
        for (key, grain, does) in grains {
            let Some(grain) = grain else { continue };
            let fine = Quantity { value: grain.value, unit: sensor.scale };
            let step = Quantity { value: differential.step.step_in(sensor.scale), unit: sensor.scale };
            // A hair's breadth for the rounding of °F.
            if step.value >= fine.value - 1e-9 {
                continue;
            }
            let at = differential.written.map_or(zone.entry.part.key_node(), |d| d.at);
            let default = if differential.written.is_none() { "default " } else { "" };
            let step = step.rounded();
            let least = fine_as(fine, differential.written.map_or(sensor.scale, |d| d.value.unit));
            let message = format!(
                "The {default}differential of {step} is finer than the sensor: `{}` {does} {fine}. Set it to {least} or more.",
                point.name()
            );
            out.report(About::of(noun::POINT, point.name()).and(noun::KEY, key), at, message)
                .because(point.place(grain.at), format!("`{}` {does} {fine}", point.name()))
                .instead(differential.written.map(|written| fine_as(fine, written.value.unit).to_string()));
        }
    }
}
