//! # What it finds
//!
//! Heating and cooling setpoints of one mode that are closer than the energy standards' deadband:
//! 5 °F, or 3 °C where both are written in °C. Crossed setpoints have a check of their own.
//!
//! # Why it matters
//!
//! In a narrow band a unit heats what it has just cooled, and the plan check sends the job back.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   staff-office:
//!     occupied: {heat-below: 72 °F, cool-above: 74 °F}
//!     #                                         ^^^^^ 2 °F above
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
//!
//! # Repair
//!
//! Set the two further apart. The standards except thermostats that are changed over by hand, and
//! spaces such as archives whose process or collection needs a narrower band: state that as a deviation.
//!
//! # Source
//!
//! ASHRAE 90.1-2016 §6.4.3.1.2 and IECC C403.4.1.2: a deadband of at least 5 °F (3 °C). Local code
//! and the design engineer decide.

use crate::check::{Check, Run, Severity};
use crate::context::Ctx;
use crate::finding::Sink;
use crate::repair;
use model::{Found, Measured, Quantity, Zone};

pub(crate) static CHECK: Check = Check {
    id: "deadband-narrow",
    severity: Severity::Warning,
    source: include_str!("deadband_narrow.rs"),
    run: Run::Zone(run),
    repairs: &[repair::another],
};

fn run(_: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    for limits in [&zone.is.occupied, &zone.is.unoccupied].into_iter().flatten() {
        let (Some(heat), Some(cool)) = (limits.heat_below, limits.cool_above) else {
            continue;
        };
        let metric = heat.value.unit == Measured::Celsius && cool.value.unit == Measured::Celsius;
        let (least, unit) = if metric { (3.0, Measured::Celsius) } else { (5.0, Measured::Fahrenheit) };
        let least = Quantity { value: least, unit };
        let apart = cool.value.si() - heat.value.si();
        // A hair's breadth for the rounding of °F; crossed ones are told as such.
        if apart <= 0.0 || apart >= least.si_step() - 1e-9 {
            continue;
        }
        let apart = Quantity { value: Quantity { value: apart, unit: Measured::Kelvin }.step_in(unit), unit };
        let message = format!(
            "cooling starts {apart} above heating, and the energy standards ask for {least}; set them further apart, or state why the space needs it"
        );
        let wide =
            Quantity { value: heat.value.value + least.step_in(heat.value.unit), unit: heat.value.unit };
        out.report(cool.at, message)
            .because(zone.place(heat.at), format!("heating starts at {}", heat.value))
            .instead([wide.to_string()]);
    }
}
