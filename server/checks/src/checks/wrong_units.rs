//! # What it finds
//!
//! Engineering units that do not fit what the point measures, and units on a point that is on or off.
//!
//! # Why it matters
//!
//! The number is shown, trended and compared in the wrong unit. A limit beside it means something else
//! than its writer thinks.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   staff-office: {}
//! points:
//!   SO1-TEMP: {object: analog-input 1, units: percent-relative-humidity, measures: {zone: staff-office, quantity: temperature}}
//!   #                                         ^^^^^^^^^^^^^^^^^^^^^^^^^ `degrees-fahrenheit`
//!   SO1-DOOR: {object: binary-input 1, units: °F, driven-by: {contact: field}}
//!   #                                         ^^ on or off
//! ```
//! ```yaml good
//! zones:
//!   staff-office: {}
//! points:
//!   SO1-TEMP: {object: analog-input 1, units: degrees-celsius, measures: {zone: staff-office, quantity: temperature}}
//! ```
//! ```yaml near
//! # Many controllers have no other unit for relative humidity.
//! zones:
//!   staff-office: {}
//! points:
//!   SO1-HUM: {object: analog-input 2, units: percent, measures: {zone: staff-office, quantity: humidity}}
//! ```
//!
//! # Repair
//!
//! Write the unit that the sensor is set to, or correct what the point measures.
//!
//! # Source
//!
//! ASHRAE 135 clause 21 (clause from memory): engineering units; clause 12: binary objects have none.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::sensor::fits;
use model::{Found, Point};

pub(crate) static CHECK: Check = Check {
    id: "wrong-units",
    severity: Severity::Error,
    source: include_str!("wrong_units.rs"),
    run: Run::Point(run),
    repairs: &[repair::another, repair::marked_pair],
};

fn run(_: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let Some(units) = point.is.scale().units else { return };
    let (name, unit) = (point.name(), units.value);
    let measured = point.is.measures.as_ref().and_then(|m| m.quantity);
    if let Some(object) = point.is.object.filter(|o| !o.value.kind.is_analog()) {
        // A number behind a binary object is `wrong-object-type`: its units are right.
        if measured.is_none_or(|q| !fits(q.value, unit.quality)) {
            let message = format!(
                "`{name}` is `{}`, so it is on or off, or a state, and has no units. Delete `units`.",
                object.value
            );
            out.report(About::entry(), units.at, message).because(point.place(object.at), "Its object");
        }
        return;
    }
    let Some(quantity) = measured.filter(|q| !fits(q.value, unit.quality)) else {
        return;
    };
    let words = quantity.value.replace('-', " ");
    let message = format!(
        "`{name}` measures {words}, but its units are `{}`. Write {}.",
        unit.name,
        usual(quantity.value)
    );
    out.report(About::entry(), units.at, message)
        .because(point.place(quantity.at), format!("It measures {words}"))
        .instead(usual(quantity.value).split('`').skip(1).step_by(2));
}

fn usual(quantity: &str) -> &'static str {
    match quantity {
        "temperature" | "dew-point" => "`degrees-fahrenheit` or `degrees-celsius`",
        "humidity" => "`percent-relative-humidity`",
        "carbon-dioxide" => "`parts-per-million`",
        "pressure" => "`pascals` or `inches-of-water`",
        _ => "`no-units`",
    }
}
