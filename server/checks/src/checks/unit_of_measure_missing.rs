//! # What it finds
//!
//! A quantity without its unit of measure.
//!
//! # Why it matters
//!
//! 68 is a mild room in °F and deadly in °C. 0.55 may be a fraction or half a percent. A reviewer
//! cannot ask what the writer had in mind.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   conservation-lab:
//!     occupied: {heat-below: 68, cool-above: 74 °F}
//!     #                      ^^ Did you mean `68 °F`
//! ```
//! ```yaml good
//! zones:
//!   conservation-lab:
//!     occupied: {heat-below: 68 °F, cool-above: 74 °F}
//! ```
//! ```yaml near
//! # A point's own numbers are in its units.
//! points:
//!   CL1-TEMP: {units: °F, range: 32..122, high-limit: 85}
//! ```
//!
//! # Repair
//!
//! Add the unit: `68 °F`, `55 %RH`, `12 h`.
//!
//! # Source
//!
//! Common practice, no source.

use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::report;
use model::ProblemKind;

pub(crate) static CHECK: Check = Check {
    id: "unit-of-measure-missing",
    severity: Severity::Error,
    source: include_str!("unit_of_measure_missing.rs"),
    run: Run::Entry(run),
    repairs: &[repair::another],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::UnitOfMeasureMissing, out);
}
