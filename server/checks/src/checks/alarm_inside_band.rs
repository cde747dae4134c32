//! # What it finds
//!
//! An alarm limit inside the band where control leaves the reading alone, in either mode: a high limit
//! below the reading at which cooling or dehumidification starts, or a low limit above the one at which
//! heating or humidification starts.
//!
//! # Why it matters
//!
//! The alarm trips while everything works. After a week of that nobody looks at it anymore, not even on
//! the day it matters.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   reading-room:
//!     occupied: {heat-below: 70 °F, cool-above: 75 °F}
//!     thermostat: {differential: 1 °F}
//! points:
//!   RR1-TEMP: {units: °F, high-limit: 74, low-limit: 55, measures: {zone: reading-room, quantity: temperature}}
//!   #                                 ^^ cooling starts at 76 °F
//! ```
//! ```yaml bad
//! zones:
//!   reading-room:
//!     occupied: {heat-below: 70 °F, cool-above: 75 °F}
//!     thermostat: {differential: 1 °F}
//! points:
//!   RR1-TEMP: {units: °F, high-limit: 82, low-limit: 70, measures: {zone: reading-room, quantity: temperature}}
//!   #                                                ^^ The alarm at 70 °F trips in normal operation: while occupied, heating starts at 69 °F
//! ```
//! ```yaml good
//! zones:
//!   reading-room:
//!     occupied: {heat-below: 70 °F, cool-above: 75 °F}
//! points:
//!   RR1-TEMP: {units: °F, high-limit: 80, low-limit: 55, measures: {zone: reading-room, quantity: temperature}}
//! ```
//! ```yaml near
//! # A limit in relative humidity beside a dew-point limit: the two cannot be compared.
//! zones:
//!   stacks:
//!     occupied: {dehumidify-above: 58 °F dew point}
//! points:
//!   ST1-HUM: {units: "%RH", high-limit: 55, measures: {zone: stacks, quantity: humidity}}
//! ```
//!
//! # Repair
//!
//! Move the alarm limit past the reading in the message.
//!
//! # Source
//!
//! Common practice, no source: an alarm reports what control failed to keep.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::sensor::{Begins, sensor};
use model::{Found, Point, Quantity, UnitOfMeasure, Written, plain};

pub(crate) static CHECK: Check = Check {
    id: "alarm-inside-band",
    severity: Severity::Warning,
    source: include_str!("alarm_inside_band.rs"),
    run: Run::Point(run),
    repairs: &[repair::another],
};

/// Readings closer than this are one: what the change between °F and °C rounds away.
const HAIR: f64 = 1e-9;

/// The first whole number past a reading, on the scale of the point.
fn past(reading: Quantity, scale: UnitOfMeasure, side: f64) -> f64 {
    let zero = Quantity { value: 0.0, unit: scale };
    let step = Quantity { value: reading.si() - zero.si(), unit: UnitOfMeasure::Kelvin };
    ((step.step_in(scale) * side + HAIR).floor() + 1.0) * side
}

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let (low, high) = (point.is.limits().low, point.is.limits().high);
    if low.is_none() && high.is_none() {
        return;
    }
    let Some(sensor) = sensor(&ctx.view, point.is) else {
        out.held_back(None, "units-missing", ctx.id);
        return out.held_back(None, "wrong-units", ctx.id);
    };
    let (above, below) = sensor.band(ctx);
    let mut compare = |limit: Option<Written<f64>>, begins: Option<Begins>, which: &str, side: f64| {
        let (Some(limit), Some(begins)) = (limit, begins) else {
            return;
        };
        let alarm = Quantity { value: limit.value, unit: sensor.scale };
        if side * (begins.reading.si() - alarm.si()) > HAIR {
            let Begins { mode, what, limit: setpoint, reading } = begins;
            let side_words = if side > 0.0 { "above" } else { "below" };
            let message = format!(
                "The alarm at {alarm} trips in normal operation: while {mode}, {what} starts at {reading}. Set `{which}-limit` {side_words} {reading}."
            );
            out.report(About::of(noun::LIMIT, which), limit.at, message)
                .because(
                    sensor.zone.place(setpoint.at),
                    format!("The {mode} limit for {what} is {}", setpoint.value),
                )
                .instead([plain(past(reading, sensor.scale, side))]);
        }
    };
    compare(high, above, "high", 1.0);
    compare(low, below, "low", -1.0);
}
