//! # What it finds
//!
//! A point that inverts what a point before it in the same path has already inverted.
//!
//! # Why it matters
//!
//! Two inversions cancel. Usually both ends of one wire allow for the same normally-closed contact, and
//! the signal arrives the wrong way round.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   DH1-FULL:  {object: binary-output 9, driven-by: {point: DH1-FLOAT, inverted: true}}
//!   #                                                                            ^^^^ `DH1-FLOAT`
//!   DH1-FLOAT: {object: binary-input 10, driven-by: {contact: field, inverted: true}}
//! ```
//! ```yaml good
//! points:
//!   DH1-FULL:  {object: binary-output 9, driven-by: {point: DH1-FLOAT}}
//!   DH1-FLOAT: {object: binary-input 10, driven-by: {contact: field, inverted: true}}
//! ```
//! ```yaml near
//! # The logic says what it means: drying, and the door not open.
//! points:
//!   DH1-DEHUM: {object: binary-output 8, driven-by: {logic: LB1-DRY and not LB1-DOOR}}
//!   LB1-DRY:   {object: binary-input 11, driven-by: {contact: field}}
//!   LB1-DOOR:  {object: binary-input 12, driven-by: {contact: field, inverted: true}}
//! ```
//!
//! # Repair
//!
//! Delete one of the two, after checking the contact with a meter. Where both are right, record a
//! deviation.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use model::{Driver, Found, Name, Place, Point, Source, View};

pub(crate) static CHECK: Check = Check {
    id: "inverted-twice",
    severity: Severity::Warning,
    source: include_str!("inverted_twice.rs"),
    run: Run::Point(run),
    repairs: &[repair::marked_pair],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    for driver in &point.is.drivers {
        let Some(at) = driver.inverted else { continue };
        let Some((name, place)) = inverted_before(&ctx.view, driver) else {
            continue;
        };
        let message = format!(
            "The signal is inverted at `{name}` and again here, so it arrives as it started. Delete one `inverted`."
        );
        out.report(About::path(&ctx.entry.part, at), at, message)
            .because(place, format!("`{name}` is inverted"));
    }
}

/// A longer chain is a circle, or nobody's.
const LONGEST_CHAIN: usize = 64;

/// The first point before a driver that is inverted.
fn inverted_before(view: &View<'_>, driver: &Driver) -> Option<(Name, Place)> {
    let mut next = before(driver)?;
    for _ in 0..LONGEST_CHAIN {
        let point = view.find::<Point>(&next)?;
        // Of several drivers nobody can say which is meant: `competing-commands` reports it.
        let [driver] = &*point.is.drivers else {
            return None;
        };
        if let Some(at) = driver.inverted {
            return Some((next, point.place(at)));
        }
        next = before(driver)?;
    }
    None
}

fn before(driver: &Driver) -> Option<Name> {
    match driver.source.as_ref()? {
        Source::Point(name) => Some(name.value.clone()),
        _ => None,
    }
}
