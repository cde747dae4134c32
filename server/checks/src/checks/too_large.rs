//! # What it finds
//!
//! What is past a limit of this program and is not read: a file longer than 64 MiB, nesting more than
//! 64 levels deep, aliases that repeat far more text than the file has, more than 10,000 sections in
//! one file.
//!
//! # Why it matters
//!
//! Nothing in it is reviewed. No job comes near these limits. A file that does is usually not part of a
//! job, or was written by a program that went wrong.
//!
//! # Example
//!
//! ```yaml bad
//! calendars:
//!   closures: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[
//!     [{date: 2027-07-05}]
//!   # ^^^^^^^^^^^^^^^^^^^^ more than 64 levels
//!     ]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]
//! ```
//! ```yaml good
//! calendars:
//!   closures: [{date: 2027-07-05}]
//! ```
//! ```yaml near
//! # Broken, but not for its size.
//! calendars:
//!   closures: [[[[{date: 2027-07-05}]]]
//! ```
//!
//! # Repair
//!
//! Split the file, or write it flatter.
//!
//! # Source
//!
//! The limits are this program's own.

use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::written::report;
use model::ProblemKind;

pub(crate) static CHECK: Check = Check {
    id: "too-large",
    severity: Severity::Error,
    source: include_str!("too_large.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::TooLarge, out);
}
