//! # What it finds
//!
//! An analog point without engineering units.
//!
//! # Why it matters
//!
//! A reviewer cannot tell what its numbers mean, and neither can the workstation. Its range and its
//! alarm limits are bare numbers, too.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   ST1-TEMP2: {object: analog-input 3, range: 32..122}
//! # ^^^^^^^^^ no engineering units
//! ```
//! ```yaml good
//! points:
//!   ST1-TEMP2: {object: analog-input 3, units: degrees-fahrenheit, range: 32..122}
//! ```
//! ```yaml near
//! points:
//!   ST1-DOOR: {object: binary-input 3, driven-by: {contact: field}}
//!   ST1-LUX:  {object: analog-input 4, units: luxury}
//!   ST1-FAN:  {object: analog-output 5, driven-by: {operator: on}}
//! ```
//!
//! # Repair
//!
//! Add `units`, by the standard's name or the usual symbol: `degrees-fahrenheit` or `°F`, or `no-units`
//! where there are none.
//!
//! # Source
//!
//! ASHRAE 135 clause 12 (from memory): analog objects have a required Units property.

use super::wrong_object_type;
use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::has;
use model::{Found, Point};

pub(crate) static CHECK: Check = Check {
    id: "units-missing",
    severity: Severity::Warning,
    source: include_str!("units_missing.rs"),
    run: Run::Point(run),
    repairs: &[repair::units],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let Some(object) = point.is.object.filter(|o| o.value.kind.is_analog()) else {
        return;
    };
    if point.entry.facts.broken || has(&point.entry.part, "units") {
        return;
    }
    // An object of the wrong type needs another type, not units.
    if wrong_object_type::wrong(ctx, object.value.kind, point).is_some() {
        out.held_back(None, "wrong-object-type", ctx.id);
        return;
    }
    let message = format!(
        "`{}` is `{}` but has no engineering units. Add them, like `units: °F`.",
        point.name(),
        object.value
    );
    out.report(About::entry(), point.entry.part.key_node(), message);
}
