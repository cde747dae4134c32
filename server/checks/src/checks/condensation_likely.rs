//! # What it finds
//!
//! A surface whose declared temperature is below the dew point that the space may reach at its humidity
//! limit.
//!
//! # Why it matters
//!
//! The thermostat is satisfied while water drips from the duct onto the shelf below.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {heat-below: 64 °F, cool-above: 75 °F, dehumidify-above: 60 %RH}
//!     space: {surfaces: {supply-duct: 55 °F}}
//!     #                               ^^^^^ 60.2 °F
//! ```
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {cool-above: 75 °F, dehumidify-above: 58 °F dew point}
//!     space: {surfaces: {supply-duct: 55 °F}}
//!     #                               ^^^^^ `supply-duct` at 55 °F will sweat while occupied: the limit is 58 °F dew point
//! ```
//! ```yaml good
//! zones:
//!   stacks:
//!     occupied: {heat-below: 64 °F, cool-above: 70 °F, dehumidify-above: 50 %RH}
//!     space: {surfaces: {supply-duct: 55 °F}}
//! ```
//! ```yaml near
//! # The duct is cold, and the air beside it drier than that.
//! zones:
//!   stacks:
//!     occupied: {heat-below: 64 °F, cool-above: 75 °F, dehumidify-above: 52 °F dew point}
//!     space: {surfaces: {supply-duct: 55 °F}}
//! ```
//!
//! # Repair
//!
//! Lower the humidity limit, or insulate the surface. A temperature under `surfaces` is that of what
//! the room air touches: the outside of the insulation, not the air in the duct.
//!
//! # Source
//!
//! By definition of the dew point. Dew points by ASHRAE Fundamentals 2017 ch. 1.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::space_air::corners;
use analysis::Setting;
use model::{Found, LimitKey, Zone};

pub(crate) static CHECK: Check = Check {
    id: "condensation-likely",
    severity: Severity::Warning,
    source: include_str!("condensation_likely.rs"),
    run: Run::Zone(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    if zone.is.space().surfaces.is_empty() {
        return;
    }
    let settings = ctx.settings(zone);
    let at_limit = |setting: &Setting| {
        let limit = setting.limits.value(LimitKey::DehumidifyAbove)?;
        let corner = corners(&setting.limits, limit.value).into_iter().next()?;
        Some((setting.mode, limit, corner))
    };
    let Some((mode, limit, corner)) =
        settings.iter().filter_map(at_limit).max_by(|a, b| a.2.dew_point.0.total_cmp(&b.2.dew_point.0))
    else {
        return;
    };
    for (name, surface) in &zone.is.space().surfaces {
        if surface.value.si() >= corner.dew_point.0 - 1e-9 {
            continue;
        }
        let message = format!(
            "`{}` at {} will sweat while {}: {}. Lower the limit, or insulate the surface.",
            name.value,
            surface.value,
            mode.name(),
            corner.words(limit.value)
        );
        let finding = out.report(About::of(noun::SURFACE, &name.value), surface.at, message);
        finding
            .because(zone.place(limit.at), format!("The {} humidity limit is {}", mode.name(), limit.value));
        if let Some((key, setpoint)) = &corner.setpoint {
            finding.because(zone.place(setpoint.at), format!("`{key}` is {}", setpoint.value));
        }
    }
}
