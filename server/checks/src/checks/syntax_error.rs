//! # What it finds
//!
//! YAML that cannot be read: a bracket or a quote that is not closed, a tab before a line, a missing
//! colon, a line that stands too far left or right.
//!
//! # Why it matters
//!
//! What stands in the broken part is not known, so whatever hangs on it cannot be reviewed. The rest
//! of the file is read all the same.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   FP1-PULL: {device: fire-gateway, object: binary-input 2
//!   #         ^ closed
//! ```
//! ```yaml good
//! points:
//!   FP1-PULL: {device: fire-gateway, object: binary-input 2}
//! ```
//! ```yaml near
//! points:
//!   FP1-PULL:
//!     description: "a colon: in quotes"
//! ```
//!
//! # Repair
//!
//! As the message says.
//!
//! # Source
//!
//! YAML 1.2.2.

use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::written::report;
use model::ProblemKind;

pub(crate) static CHECK: Check = Check {
    id: "syntax-error",
    severity: Severity::Error,
    source: include_str!("syntax_error.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::YamlBroken, out);
}
