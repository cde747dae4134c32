//! # What it finds
//!
//! A range that is backwards, is a single value, or does not match its units: 0 to 1 for percent, more
//! than 100 for relative humidity, a Fahrenheit range with Celsius units or the reverse.
//!
//! # Why it matters
//!
//! The sensor's reading is scaled by it. With the wrong range a room at 55 percent shows as half a
//! percent, and no limit is ever passed.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   staff-office:
//!     thermostat: {sensor-range: {humidity: 0..1}}
//!     #                                     ^^^^ Did you mean `0..100`
//! points:
//!   SO1-HUM: {object: analog-input 2, units: percent-relative-humidity, range: 0..1}
//!   #                                                                          ^^^^ Did you mean `0..100`
//!   SO1-TEMP:  {object: analog-input 1, units: degrees-fahrenheit, range: 122..32}
//!   #                                                                     ^^^^^^^ Did you mean `32..122`
//!   SO1-TEMP2: {object: analog-input 3, units: °C, range: 32..122, measures: {zone: staff-office, quantity: temperature}}
//!   #                                                     ^^^^^^^ degrees-fahrenheit
//! ```
//! ```yaml bad
//! zones:
//!   staff-office:
//!     thermostat: {sensor-range: {humidity: 0..50 °F, temperature: 70..70 °F}}
//!     #                                     ^^^^^^^^ The range `0..50 °F` is not in %RH
//!     #                                                            ^^^^^^^^^ The range `70..70 °F` is a single value
//! points:
//!   SO1-HUM: {object: analog-input 2, units: percent-relative-humidity, range: -10..110}
//!   #                                                                          ^^^^^^^^ The range `-10..110` goes past 0 to 100 %, but relative humidity cannot
//!   SO1-TEMP: {object: analog-input 1, units: degrees-fahrenheit, range: 0..50 °C}
//!   #                                                                    ^^^^^^^^ The range `0..50 °C` is not in the units of the point
//! ```
//! ```yaml good
//! points:
//!   SO1-HUM: {object: analog-input 2, units: percent-relative-humidity, range: 0..100}
//!   SO1-TEMP:  {object: analog-input 1, units: degrees-fahrenheit, range: 32..122}
//! ```
//! ```yaml near
//! # A velocity sensor, one for a cold store, and one whose units are what is wrong.
//! zones:
//!   stacks: {}
//! points:
//!   ST1-VEL:  {object: analog-input 2, units: no-units, range: 0..1}
//!   ST1-TEMP: {object: analog-input 3, units: °F, range: -40..60, measures: {zone: stacks, quantity: temperature}}
//!   ST1-TEMP2: {object: analog-input 4, units: "%RH", range: 32..122, measures: {zone: stacks, quantity: temperature}}
//! ```
//!
//! # Repair
//!
//! Write the range the sensor reports, in the units of the point, low end first.
//!
//! # Source
//!
//! Relative humidity is at most 100 percent by definition. That a zone's temperature sensor reads 59 °F
//! (15 °C) is common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::sensor::fits;
use model::{Item, Point, Quantity, Range, UnitOfMeasure, Written, bacnet::Quality};

pub(crate) static CHECK: Check = Check {
    id: "wrong-range",
    severity: Severity::Error,
    source: include_str!("wrong_range.rs"),
    run: Run::Entry(run),
    repairs: &[repair::another],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    out.held_back(None, "wrong-units", ctx.id);
    let ranges = match &ctx.entry.facts.item {
        Item::Point(point) => {
            vec![point.scale().range.and_then(|range| Some((range, of_point(point, range.value)?)))]
        }
        Item::Zone(zone) => {
            let humidity = zone.thermostat.humidity_range;
            let temperature = zone.thermostat.temperature_range;
            vec![
                humidity.and_then(|range| {
                    Some((range, reversed(range.value).or_else(|| of_humidity(range.value))?))
                }),
                temperature.and_then(|range| Some((range, reversed(range.value)?))),
            ]
        }
        _ => Vec::new(),
    };
    for (range, message) in ranges.into_iter().flatten() {
        let range: Written<Range> = range;
        out.report(About::path(&ctx.entry.part, range.at), range.at, message).instead(instead(range.value));
    }
}

/// The ends turned about; or per cent for a fraction.
fn instead(range: Range) -> Option<String> {
    if range.low > range.high {
        Some(Range { low: range.high, high: range.low, ..range }.to_string())
    } else {
        (range.low >= 0.0 && range.high <= 1.0).then(|| Range { low: 0.0, high: 100.0, ..range }.to_string())
    }
}

fn of_point(point: &Point, range: Range) -> Option<String> {
    reversed(range).or_else(|| {
        let units = point.scale().units?.value;
        let quantity = point.measures.as_ref().and_then(|m| m.quantity);
        // Against units that are wrong themselves no range can be held.
        if quantity.is_some_and(|q| !fits(q.value, units.quality)) {
            return None;
        }
        match (units.quality, range.unit) {
            (Quality::Share, _) if range.low >= 0.0 && range.high <= 1.0 => Some(fraction(range)),
            (Quality::RelativeHumidity, _) => of_humidity(range),
            (Quality::Temperature, unit) => {
                let scale = UnitOfMeasure::parse(units.name)?;
                if unit.is_some_and(|unit| unit != scale) {
                    return Some(format!(
                        "The range `{range}` is not in the units of the point. Write it in `{}`.",
                        units.name
                    ));
                }
                quantity.filter(|q| q.value == "temperature").and_then(|_| other_scale(range, scale))
            }
            _ => None,
        }
    })
}

fn reversed(range: Range) -> Option<String> {
    let turned = Range { low: range.high, high: range.low, ..range };
    if range.low > range.high {
        Some(format!("The range `{range}` is backwards. Did you mean `{turned}`?"))
    } else if range.low < range.high {
        None
    } else {
        Some(format!("The range `{range}` is a single value. Write the lowest and the highest reading."))
    }
}

fn of_humidity(range: Range) -> Option<String> {
    if range.unit.is_some_and(|unit| unit != UnitOfMeasure::PercentRh) {
        return Some(format!("The range `{range}` is not in %RH. Write it like `0..100 %RH`."));
    }
    if range.high <= 1.0 {
        return Some(fraction(range));
    }
    let outside = range.low < 0.0 || range.high > 100.0;
    outside
        .then(|| format!("The range `{range}` goes past 0 to 100 %, but relative humidity cannot. Write it like `0..100 %RH`."))
}

fn fraction(range: Range) -> String {
    format!("The range `{range}` is a fraction, but the units are percent. Did you mean `0..100`?")
}

/// A zone's range that holds no ordinary room, but would on the other scale.
fn other_scale(range: Range, scale: UnitOfMeasure) -> Option<String> {
    let other = match scale {
        UnitOfMeasure::Fahrenheit => UnitOfMeasure::Celsius,
        UnitOfMeasure::Celsius => UnitOfMeasure::Fahrenheit,
        _ => return None,
    };
    let holds = |unit: UnitOfMeasure| {
        let end = |value| Quantity { value, unit }.si();
        (end(range.low)..=end(range.high)).contains(&15.0)
    };
    let name = |unit| {
        if unit == UnitOfMeasure::Celsius { "degrees-celsius" } else { "degrees-fahrenheit" }
    };
    (!holds(scale) && holds(other)).then(|| {
        format!(
            "No room is in the range `{range}` in `{}`: it looks like `{}`. Correct the units or the range.",
            name(scale),
            name(other)
        )
    })
}
