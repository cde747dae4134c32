//! # What it finds
//!
//! A key that has no meaning where it stands, a section that is none, a service that is none.
//!
//! # Why it matters
//!
//! What it says is not read. Where a key is mistyped, the default holds in its place, and nothing
//! shows that.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   staff-office:
//!     thermostat: {diferential: 2 °F}
//!     #            ^^^^^^^^^^^ did you mean `differential`?
//! ```
//! ```yaml bad
//! points:
//!   RR1-DOOR: {use: monitor, text: Reading room door}
//!   #                        ^^^^ renamed to `description`
//! ```
//! ```yaml good
//! zones:
//!   staff-office:
//!     thermostat: {differential: 2 °F}
//! ```
//! ```yaml near
//! # Names of surfaces are free.
//! zones:
//!   staff-office:
//!     space: {surfaces: {diferential: 55 °F}}
//! ```
//!
//! # Repair
//!
//! Write the key that is meant, or take it out.
//!
//! # Source
//!
//! The format of a job.

use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::report;
use model::ProblemKind;

pub(crate) static CHECK: Check = Check {
    id: "key-unknown",
    severity: Severity::Error,
    source: include_str!("key_unknown.rs"),
    run: Run::Entry(run),
    repairs: &[repair::spelling],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::KeyUnknown, out);
}
