//! # What it finds
//!
//! Two points with the same description. Both are reported.
//!
//! # Why it matters
//!
//! One of them was copied and its description forgotten. On the graphics and in the alarm list nobody
//! can tell which unit it is.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   HP1-HEAT1: {object: binary-output 2, description: HP-1 heating call}
//!   #                                                 ^^^^^^^^^^^^^^^^^ `HP2-HEAT1`
//!   HP2-HEAT1: {object: binary-output 7, description: HP-1 heating call}
//!   #                                                 ^^^^^^^^^^^^^^^^^ `HP1-HEAT1`
//! ```
//! ```yaml good
//! points:
//!   HP1-HEAT1: {object: binary-output 2, description: HP-1 heating call}
//!   HP2-HEAT1: {object: binary-output 7, description: HP-2 heating call}
//! ```
//! ```yaml near
//! # The same point listed twice is told once, as a name that is declared twice.
//! points:
//!   HP1-HEAT1: {object: binary-output 2, description: HP-1 heating call}
//!   HP1-HEAT1: {object: binary-output 2, description: HP-1 heating call}
//! ```
//!
//! # Repair
//!
//! Name the equipment in each description.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::others::others;
use analysis::Because;
use model::{Found, Key, Point};

pub(crate) static CHECK: Check = Check {
    id: "duplicate-description",
    severity: Severity::Warning,
    source: include_str!("duplicate_description.rs"),
    run: Run::Point(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    // An empty text is a missing one.
    let Some(text) = point.is.text.as_ref().filter(|text| !text.value.trim().is_empty()) else {
        return;
    };
    let Some(others) = others::<Point>(ctx, Key::Text(text.value.clone())) else {
        return;
    };
    let message =
        format!("{} also has this description. Say which equipment each belongs to.", others.words());
    let finding = out.report(About::entry(), text.at, message);
    others.explain(finding, |other| {
        let place = other.is.text.as_ref().map_or_else(|| other.head(), |t| other.place(t.at));
        Because::new(place, format!("The same description at `{}`", other.name()))
    });
}
