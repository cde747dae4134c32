//! # What it finds
//!
//! A point without a description.
//!
//! # Why it matters
//!
//! The description is what the reviewer, the graphics and the next technician read. A list with gaps
//! comes back.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   HP3-RV-ON: {device: controller-2, object: binary-input 7}
//! # ^^^^^^^^^ has no description
//! ```
//! ```yaml bad
//! points:
//!   HP1-REV: {device: controller-1, object: binary-input 3, description: ""}
//!   #                                                                    ^^ `HP1-REV` has no description
//! ```
//! ```yaml good
//! points:
//!   HP3-RV-ON: {device: controller-2, object: binary-input 7, description: HP-3 reversing valve status}
//! ```
//! ```yaml near
//! # A broken line may have lost it, and is reported as it is.
//! points:
//!   HP3-RV-ON: {device: controller-2, object: binary-input 7
//! ```
//!
//! # Repair
//!
//! Add `description`: the equipment, and what the point is.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::written::has;
use model::{Found, Point};

pub(crate) static CHECK: Check = Check {
    id: "description-missing",
    severity: Severity::Warning,
    source: include_str!("description_missing.rs"),
    run: Run::Point(run),
    repairs: &[],
};

fn run(_: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let empty = point.is.text.as_ref().filter(|text| text.value.trim().is_empty());
    let missing = !point.entry.facts.broken && !has(&point.entry.part, "description");
    if missing || empty.is_some() {
        let at = empty.map_or(point.entry.part.key_node(), |text| text.at);
        let message = format!(
            "`{}` has no description. Say what it is, as in `description: HP-1 reversing valve status`.",
            point.name()
        );
        out.report(About::entry(), at, message);
    }
}
