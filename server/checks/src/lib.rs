//! The catalogue of checks: one file each, with its page, its code and its examples.
//!
//! Checks look at one entry at a time and never touch the disk.

pub mod about;
mod causes;
mod check;
mod checks;
mod context;
mod dehumidification;
pub mod example;
mod held;
mod identity;
mod occupancy;
mod others;
mod repair;
mod run;
mod schedules;
mod sensor;
mod settings;
mod space_air;
mod written;

#[cfg(test)]
mod tests;

pub use about::About;
pub use analysis::Because;
pub use causes::causes;
pub use check::{Check, Finding, Run, Severity, Sink};
pub use checks::{ALL, FAMILIES, Family};
pub use context::Ctx;
pub use held::{HeldBack, held_back};
pub use identity::{EntryName, FindingId, FindingKey, identify};
pub use repair::{PartEdit, Proposal, Supposed, propose, supposed};
pub use run::{Deviated, Outcome, run, run_noting};

/// The check of this name.
pub fn find(id: &str) -> Option<&'static Check> {
    ALL.iter().copied().find(|check| check.id == id)
}

/// The family that a check belongs to.
pub fn family(check: &Check) -> Option<&'static Family> {
    FAMILIES.iter().find(|family| family.checks.iter().any(|one| one.id == check.id))
}
