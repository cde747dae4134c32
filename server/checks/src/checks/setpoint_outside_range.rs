//! # What it finds
//!
//! A limit that the zone's sensor cannot read, or that is so close to the end of its range that the
//! call cannot start. A dehumidify call that can never start has a check of its own.
//!
//! # Why it matters
//!
//! At the end of its range a sensor's reading stops. A call starts and never ends, or never starts.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   loading-bay:
//!     unoccupied: {heat-below: 32 °F, cool-above: 85 °F}
//!     #                        ^^^^^ starts at 31 °F
//!     thermostat: {differential: 1 °F, sensor-range: {temperature: 32..122 °F}}
//! ```
//! ```yaml bad
//! zones:
//!   conservation-lab:
//!     occupied: {heat-below: 68 °F, cool-above: 80 °F}
//!     #                                         ^^^^^ starts past 80 °F
//!     thermostat: {differential: 0 °F, sensor-range: {temperature: 40..80 °F}}
//! ```
//! ```yaml bad
//! zones:
//!   loading-bay:
//!     occupied: {heat-below: {schedule: bay-heating}, cool-above: 85 °F}
//!     #                      ^^^^^^^^^^^^^^^^^^^^^^^ starts at 31 °F
//!     thermostat: {differential: 1 °F, sensor-range: {temperature: 32..122 °F}}
//! schedules:
//!   bay-heating: {values: °F, default: 50 °F, week: {sun: {00:00-24:00: 32 °F}}}
//! ```
//! ```yaml bad
//! zones:
//!   loading-bay:
//!     occupied: {heat-below: 45 °F, cool-above: 30 °F}
//!     #                                         ^^^^^ `cool-above` is 30 °F while occupied, but the sensor reads no lower than 40 °F
//!     thermostat: {differential: 1 °F, sensor-range: {temperature: 40..122 °F}}
//! ```
//! ```yaml good
//! zones:
//!   loading-bay:
//!     unoccupied: {heat-below: 45 °F, cool-above: 85 °F}
//!     thermostat: {differential: 1 °F, sensor-range: {temperature: 32..122 °F}}
//! ```
//! ```yaml near
//! zones:
//!   loading-bay:
//!     unoccupied: {heat-below: 33 °F, cool-above: 85 °F, dehumidify-above: 98 %RH}
//!     thermostat: {differential: 1 °F, sensor-range: {temperature: 32..122 °F, humidity: 0..100 %RH}}
//! ```
//!
//! # Repair
//!
//! Set a limit inside the range, or install a sensor that covers it and correct its range.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::{repair, settings};
use analysis::call_rules;
use model::{Call, Found, Zone};

pub(crate) static CHECK: Check = Check {
    id: "setpoint-outside-range",
    severity: Severity::Error,
    source: include_str!("setpoint_outside_range.rs"),
    run: Run::Zone(run),
    repairs: &[repair::facts],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    settings::each(ctx, zone, out, |setting, out| {
        let mode = setting.mode;
        for rule in call_rules(&ctx.view, zone, &setting.limits) {
            let Some(limit) = rule.limit else { continue };
            // Second stages share the limit of their first.
            if rule.call.first_stage().is_some() {
                continue;
            }
            let about = About::of(noun::MODE, mode.name()).and(noun::LIMIT, rule.key.name());
            let told_elsewhere = rule.call == Call::Dehumidify;
            if let Some(beyond) = rule.beyond.as_ref().filter(|_| !told_elsewhere) {
                let message = format!(
                    "While {}, the call at `{}` starts {}, but the sensor reads no {} than {}. It is never made. Set a limit inside the range.",
                    mode.name(),
                    rule.key,
                    beyond.begins(),
                    if rule.above { "higher" } else { "lower" },
                    beyond.reports
                );
                let because = beyond.sensor.because();
                out.report(about, limit.at, message).because(because.place, because.text);
            } else if let Some(sensor) = rule.past_other_end() {
                let (end, further) = if rule.above { (sensor.low, "lower") } else { (sensor.high, "higher") };
                let message = format!(
                    "`{}` is {} while {}, but the sensor reads no {further} than {end}. The call is always made. Set a limit inside the range.",
                    rule.key,
                    limit.value,
                    mode.name()
                );
                let because = sensor.because();
                out.report(about, limit.at, message).because(because.place, because.text);
            }
        }
    });
}
