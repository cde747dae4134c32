//! # What it finds
//!
//! An override that hides a point's source: the point list itself leaves the command overridden for
//! good.
//!
//! # Why it matters
//!
//! The schedule, call or contact behind the point has no effect anymore. Overrides are for an
//! afternoon. Those that get into the point list are forgotten there.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   AC2-OCC: {driven-by: {schedule: loading-bay-hours, override: {value: on, priority: 8}}}
//!   #                                                            ^^^^^^^^^^^^^^^^^^^^^^^^ overridden on at priority 8
//! ```
//! ```yaml good
//! points:
//!   AC2-OCC: {driven-by: {schedule: loading-bay-hours}}
//! ```
//! An override below its source waits until the source releases, and one without a source hides nothing:
//! ```yaml near
//! points:
//!   AC2-OCC: {driven-by: {schedule: loading-bay-hours, priority: 7, override: {value: on, priority: 8}}}
//!   LB1-SPARE: {driven-by: {override: {value: off}}}
//! ```
//!
//! # Repair
//!
//! Release the override once you are sure that nobody is working on the unit: it may start at once,
//! with line voltage and moving fans. An override that should stay is a deviation.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), command prioritization: the lowest priority number wins; 8 is the manual
//! operator's (clause 19.2, from memory).

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use model::{Found, Point};

pub(crate) static CHECK: Check = Check {
    id: "override-left-on",
    severity: Severity::Warning,
    source: include_str!("override_left_on.rs"),
    run: Run::Point(run),
    repairs: &[repair::facts],
};

fn run(_: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let drivers = &point.is.drivers;
    let overrides = drivers.iter().filter_map(|driver| driver.override_.as_ref());
    let Some(pinned) = overrides.min_by_key(|o| o.priority) else {
        return;
    };
    let sources = || drivers.iter().filter(|driver| driver.source.is_some());
    // At one priority they fight, which is reported as two writers.
    let highest = sources().map(|driver| driver.priority).min();
    if highest.is_none_or(|highest| highest <= pinned.priority) {
        out.held_back(None, "competing-commands", point.id);
        return;
    }
    let on = if pinned.value { "on" } else { "off" };
    let finding = out.report(
        About::entry(),
        pinned.at,
        format!(
            "`{}` is overridden {on} at priority {}, so its source has no effect. Release the override once it is safe.",
            point.name(),
            pinned.priority,
        ),
    );
    for source in sources() {
        finding.because(
            point.place(source.at),
            format!("This source has no effect at priority {}", source.priority),
        );
    }
}
