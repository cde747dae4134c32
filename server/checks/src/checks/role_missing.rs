//! # What it finds
//!
//! A unit type of the job that dehumidifies, cools or heats, but none of its outputs has a role.
//!
//! # Why it matters
//!
//! Names do not say which output is a compressor and which one reheats. Without roles, reheat without
//! cooling and reheat that never comes on are not checked for units of this type.
//!
//! # Example
//!
//! ```yaml bad
//! unit-types:
//!   drying-coil:
//! # ^^^^^^^^^^^ `role: compressor`
//!     inputs: {dehumidify: {}}
//!     outputs:
//!       first-stage: dehumidify
//!       hot-gas-valve: {when: dehumidify}
//!     serves: {dehumidification: first-stage and hot-gas-valve}
//! ```
//! ```yaml good
//! unit-types:
//!   drying-coil:
//!     inputs: {dehumidify: {}}
//!     outputs:
//!       first-stage: {when: dehumidify, role: compressor}
//!       hot-gas-valve: {when: dehumidify, role: reheat}
//!     serves: {dehumidification: first-stage and hot-gas-valve}
//! ```
//! ```yaml near
//! # Neither heats, cools nor dries.
//! unit-types:
//!   toilet-exhaust:
//!     inputs: {fan: {}}
//!     outputs: {exhaust-fan: fan}
//!     serves: {ventilation: exhaust-fan}
//! ```
//!
//! # Repair
//!
//! Write the `role` of each output that has one of these: `compressor`, `cooling`, `reheat`, `heat`,
//! `reversing-valve`, `fan`, `damper`, `humidifier`, `wheel`, `reactivation`, `pump`.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use model::{Found, Role, Service, UnitType};

pub(crate) static CHECK: Check = Check {
    id: "role-missing",
    severity: Severity::Note,
    source: include_str!("role_missing.rs"),
    run: Run::UnitType(run),
    repairs: &[],
};

/// The services that outputs of known roles give.
const CONCERNED: [Service; 3] = [Service::Dehumidification, Service::Cooling, Service::Heating];

fn run(_: &Ctx<'_>, found: Found<'_, UnitType>, out: &mut Sink) {
    let unit_type = found.is;
    let told = unit_type.outputs.is_empty() || unit_type.outputs.iter().any(|output| output.role.is_some());
    let Some((service, _)) = CONCERNED.into_iter().find_map(|service| unit_type.service(service)) else {
        return;
    };
    if told || found.entry.facts.doubtful() {
        return;
    }
    let message = format!(
        "No output of `{}` has a role, so its {} is not checked for reheat without cooling. Add roles to its outputs, like `role: {}` and `role: {}`.",
        found.name(),
        service.value,
        Role::Compressor,
        Role::Reheat,
    );
    out.report(About::entry(), found.entry.part.key_node(), message);
}
