//! # What it finds
//!
//! Heating and cooling setpoints of one mode that are closer together than the energy standards'
//! deadband: 5 °F, or 3 °C where both are in °C. Crossed setpoints have a check of their own.
//!
//! # Why it matters
//!
//! In a narrow deadband a unit heats what it has just cooled, and plan check sends the job back.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   staff-office:
//!     occupied: {heat-below: 72 °F, cool-above: 74 °F}
//!     #                                         ^^^^^ 2 °F above
//! ```
//! ```yaml bad
//! zones:
//!   staff-office:
//!     occupied: {heat-below: 70 °F, cool-above: {schedule: office-cooling}}
//!     #                                         ^^^^^^^^^^^^^^^^^^^^^^^^^^ 3 °F above
//! schedules:
//!   office-cooling: {values: °F, default: 76 °F, week: {mon-fri: {13:00-17:00: 73 °F}}}
//! ```
//! ```yaml bad
//! site:
//!   limits: {deadband: 8 °F}
//! zones:
//!   staff-office:
//!     occupied: {heat-below: 68 °F, cool-above: 74 °F}
//!     #                                         ^^^^^ Cooling starts only 6 °F above heating, but the site asks for 8 °F
//! ```
//! ```yaml good
//! zones:
//!   staff-office:
//!     occupied: {heat-below: 70 °F, cool-above: 75 °F}
//! ```
//! ```yaml near
//! zones:
//!   staff-office:
//!     occupied:   {heat-below: 21 °C, cool-above: 24 °C}
//!     unoccupied: {heat-below: 20 °C, cool-above: 77 °F}
//! ```
//! ```yaml near
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   limits: {deadband: 2 °F}
//! zones:
//!   staff-office:
//!     occupied: {heat-below: 72 °F, cool-above: 74 °F}
//! ```
//!
//! # Repair
//!
//! Set the two further apart. The standards exempt thermostats with manual changeover, and spaces such
//! as archives whose process or collection needs a narrower deadband: record that as a deviation. Where
//! the adopted code differs, write `site: {limits: {deadband: …}}`, or `none`.
//!
//! # Source
//!
//! ASHRAE 90.1-2016 §6.4.3.1.2 and IECC C403.4.1.2: a deadband of at least 5 °F (3 °C). Local code and
//! the design engineer decide.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::{repair, settings};
use model::{Found, LimitKey, Quantity, UnitOfMeasure, Zone};

pub(crate) static CHECK: Check = Check {
    id: "deadband-narrow",
    severity: Severity::Warning,
    source: include_str!("deadband_narrow.rs"),
    run: Run::Zone(run),
    repairs: &[repair::another],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    let Some(limit) = ctx.view.limit("deadband") else { return };
    settings::each(ctx, zone, out, |setting, out| {
        let (Some(heat), Some(cool)) =
            (setting.limits.value(LimitKey::HeatBelow), setting.limits.value(LimitKey::CoolAbove))
        else {
            return;
        };
        let metric = heat.value.unit == UnitOfMeasure::Celsius && cool.value.unit == UnitOfMeasure::Celsius;
        // The standards state it in both scales, each rounded for itself.
        let least = match limit.written {
            None if metric => Quantity { value: 3.0, unit: UnitOfMeasure::Celsius },
            _ => limit.value,
        };
        let apart = cool.value.si() - heat.value.si();
        // A hair's breadth for the rounding of °F; crossed ones are reported as such.
        let about = About::of(noun::MODE, setting.mode.name());
        if apart <= 0.0 {
            return out.held_back(Some(about), "setpoints-crossed", ctx.id);
        }
        if apart >= least.si_step() - 1e-9 {
            return;
        }
        let unit = least.unit;
        let apart =
            Quantity { value: Quantity { value: apart, unit: UnitOfMeasure::Kelvin }.step_in(unit), unit }
                .rounded();
        let asked = if limit.written.is_some() { "the site asks" } else { "the energy standards ask" };
        let message = format!(
            "Cooling starts only {apart} above heating, but {asked} for {least}. The unit may swing between the two. Set them further apart, or record a deviation."
        );
        let wide =
            Quantity { value: heat.value.value + least.step_in(heat.value.unit), unit: heat.value.unit };
        let finding = out.report(about, cool.at, message);
        finding.because(zone.place(heat.at), format!("Heating starts at {}", heat.value));
        if let Some(place) = &limit.written {
            finding.because(place.clone(), format!("The limit of the site is {least}"));
        }
        finding.instead([wide.to_string()]);
    });
}
