//! # What it finds
//!
//! A continuous fan in a zone served by a unit with a cooling coil.
//!
//! # Why it matters
//!
//! When a cooling call ends, the coil is wet. A fan that keeps running blows that water back into the
//! room, and much of the drying is lost.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   staff-office:
//!     occupied: {cool-above: 75 °F}
//!     thermostat: {fan: continuous}
//!     #                 ^^^^^^^^^^ AC-1
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     zone: staff-office
//!     inputs: {cool-1: AC1-COOL1, heat-1: not-wired, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   AC1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//! ```
//! ```yaml good
//! zones:
//!   staff-office:
//!     occupied: {cool-above: 75 °F}
//!     thermostat: {fan: auto}
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     zone: staff-office
//!     inputs: {cool-1: AC1-COOL1, heat-1: not-wired, dehumidify: not-wired, occupied: not-wired}
//! points:
//!   AC1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//! ```
//!
//! A terminal box has no cooling coil of its own:
//!
//! ```yaml near
//! zones:
//!   staff-office:
//!     occupied: {cool-above: 75 °F}
//!     thermostat: {fan: continuous}
//! units:
//!   TB-1:
//!     type: terminal-box-with-reheat
//!     zone: staff-office
//!     inputs: {cool-1: TB1-COOL1, primary-air: {tied: on}}
//! points:
//!   TB1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//! ```
//!
//! # Repair
//!
//! Set `fan: auto`. Where ventilation needs the fan, bring in the outdoor air with a unit of its own,
//! or record a deviation.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use model::{Found, Kind, Name, Service, Unit, UnitType, Zone};

pub(crate) static CHECK: Check = Check {
    id: "fan-runs-on",
    severity: Severity::Warning,
    source: include_str!("fan_runs_on.rs"),
    run: Run::Zone(run),
    repairs: &[repair::another],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    let Some(fan) = zone.is.thermostat.fan_continuous.filter(|fan| fan.value) else {
        return;
    };
    let has_coil = |unit: &Found<'_, Unit>| {
        let unit_type: Option<Found<'_, UnitType>> =
            unit.is.type_.as_ref().and_then(|t| ctx.view.find(&t.value));
        unit_type.is_some_and(|t| {
            t.is.coil_leaving_dew_point.is_some() && t.is.service(Service::Cooling).is_some()
        })
    };
    let units = ctx.view.users::<Unit>(Kind::Zone, &Name::new(zone.name()));
    if let Some(unit) = units.into_iter().find(has_coil) {
        let message = format!(
            "The fan runs between calls and blows water from the wet coil of `{}` back into the room. Set it to `auto`, unless it brings in the outdoor air.",
            unit.name()
        );
        out.report(About::entry(), fan.at, message)
            .because(unit.head(), format!("`{}` has a cooling coil", unit.name()))
            .instead(["auto"]);
    }
}
