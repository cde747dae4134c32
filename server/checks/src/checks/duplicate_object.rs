//! # What it finds
//!
//! Two points that use the same object of the same device. Both are reported.
//!
//! # Why it matters
//!
//! The controller has only one such output: two commands fight over one relay, and a terminal that the
//! drawing shows wired is not.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   HP1-HEAT2:  {device: controller-1, object: binary-output 3}
//!   #                                          ^^^^^^^^^^^^^^^ `HP1-DEHUM`
//!   HP1-DEHUM: {device: controller-1, object: BO 3}
//!   #                                         ^^^^ `HP1-HEAT2`
//! ```
//! ```yaml good
//! points:
//!   HP1-HEAT2:  {device: controller-1, object: binary-output 3}
//!   HP1-DEHUM: {device: controller-1, object: binary-output 4}
//! ```
//! ```yaml near
//! points:
//!   HP1-HEAT2:  {device: controller-1, object: binary-output 3}
//!   HP1-COMP:  {device: controller-1, object: binary-input 3}
//!   HP2-HEAT2:  {device: controller-2, object: binary-output 3}
//! ```
//!
//! # Repair
//!
//! Give one of them a free object.
//!
//! # Source
//!
//! ASHRAE 135 clause 12 (from memory): an object identifier is unique in its device.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::others::others;
use crate::repair;
use analysis::Because;
use model::{Found, Key, Point};

pub(crate) static CHECK: Check = Check {
    id: "duplicate-object",
    severity: Severity::Error,
    source: include_str!("duplicate_object.rs"),
    run: Run::Point(run),
    repairs: &[repair::free_object],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let (Some(device), Some(object)) = (&point.is.device, &point.is.object) else {
        return;
    };
    let key = Key::Object(device.value.clone(), object.value);
    let Some(others) = others::<Point>(ctx, key) else {
        return;
    };
    let message = format!(
        "`{}` of `{}` is also used by {}. Give each point its own object.",
        object.value,
        device.value,
        others.words()
    );
    let finding = out.report(About::entry(), object.at, message);
    others.explain(finding, |other| {
        let place = other.is.object.as_ref().map_or_else(|| other.head(), |o| other.place(o.at));
        Because::new(place, format!("`{}` uses `{}`", other.name(), object.value))
    });
}
