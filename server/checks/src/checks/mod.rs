//! The registry: a plain array, in the order of the catalogue.

use crate::check::Check;

pub(crate) mod deviation_unneeded;
pub(crate) mod deviation_without_reason;
mod setpoints_crossed;

/// Every check.
pub static ALL: &[&Check] = &[
    // Setpoints and air
    &setpoints_crossed::CHECK,
    // Writing
    &deviation_without_reason::CHECK,
    &deviation_unneeded::CHECK,
];
