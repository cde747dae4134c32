//! # What it finds
//!
//! An object type that cannot do what the point does: an analog object for something that is on or off,
//! an input that is commanded, an output that measures or reads back, a binary object for a number.
//! Also a number that something on or off follows, or that should read back whether a part runs.
//!
//! # Why it matters
//!
//! An input cannot command a relay, and an output cannot read a sensor. The point is in the wrong
//! column of the list, and the controller has too few terminals of the right kind.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   conservation-lab: {}
//! points:
//!   HP3-COOL1:  {object: analog-input 7, driven-by: {call: cool-1, zone: conservation-lab}}
//!   #                    ^^^^^^^^^^^^^^ is on or off
//!   HP3-HEAT1:  {object: binary-input 6, driven-by: {call: heat-1, zone: conservation-lab}}
//!   #                    ^^^^^^^^^^^^^^ cannot be commanded
//!   CL1-HUM: {object: analog-output 6, measures: {zone: conservation-lab, quantity: humidity}}
//!   #                 ^^^^^^^^^^^^^^^ cannot measure
//!   CL1-TEMP:  {object: binary-input 7, measures: {zone: conservation-lab, quantity: temperature}}
//!   #                   ^^^^^^^^^^^^^^ is a number
//! ```
//! ```yaml bad
//! zones:
//!   stacks: {}
//! points:
//!   ST1-TEMP:  {object: analog-input 2, measures: {zone: stacks, quantity: temperature}}
//!   FP1-SMOKE: {object: binary-input 3, driven-by: {contact: fire-panel}}
//!   HP1-SMOKE: {object: binary-output 4, driven-by: {logic: ST1-TEMP or FP1-SMOKE}}
//!   #                                                       ^^^^^^^^ is a number
//!   HP2-SMOKE: {object: binary-output 5, driven-by: {point: ST1-TEMP}}
//!   #                                                       ^^^^^^^^ is a number
//!   HP1-RUN:   {object: binary-output 6, driven-by: {operator: on}}
//!   #                   ^^^^^^^^^^^^^^^ an output commands
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {occupied: HP1-RUN}
//!     outputs: {compressor: HP1-RUN, reversing-valve: ST1-TEMP}
//!     #                                               ^^^^^^^^ measures temperature
//! ```
//! ```yaml bad
//! zones:
//!   conservation-lab: {}
//! points:
//!   HP3-FAN: {object: binary-output 4, driven-by: {contact: field}}
//!   #                 ^^^^^^^^^^^^^^^ `HP3-FAN` is `binary-output 4`, but a contact is read and an output commands
//!   HP3-DOOR: {object: analog-input 4, driven-by: {contact: field}}
//!   #                  ^^^^^^^^^^^^^^ `HP3-DOOR` is `analog-input 4`, but a contact is on or off
//!   CL1-OCC: {object: binary-output 8, measures: {zone: conservation-lab, quantity: occupancy}}
//!   #                 ^^^^^^^^^^^^^^^ `CL1-OCC` is `binary-output 8`, but an output cannot measure
//!   CL1-LEVEL: {object: analog-value 5, driven-by: {schedule: lab-level}}
//!   #                   ^^^^^^^^^^^^^^ `CL1-LEVEL` is `analog-value 5`, but `occupied` of `HP-3` is on or off
//! schedules:
//!   lab-level: {values: "°F", default: 70 °F}
//! units:
//!   HP-3:
//!     type: heat-pump-with-hot-gas-reheat
//!     inputs: {occupied: CL1-LEVEL}
//! ```
//! ```yaml bad
//! points:
//!   HP1-RUN: {object: binary-output 6}
//!   #                 ^^^^^^^^^^^^^^^ `HP1-RUN` is `binary-output 6`, but it reads back `compressor` of `HP-1`, and an output commands
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     outputs: {compressor: HP1-RUN}
//! ```
//! ```yaml good
//! zones:
//!   conservation-lab: {}
//! points:
//!   HP3-COOL1:  {object: binary-output 7, driven-by: {call: cool-1, zone: conservation-lab}}
//!   CL1-HUM: {object: analog-input 6, measures: {zone: conservation-lab, quantity: humidity}}
//! ```
//! ```yaml near
//! zones:
//!   conservation-lab: {}
//! points:
//!   CL1-DOOR:  {object: binary-input 8, driven-by: {contact: field}}
//!   CL1-DOOR2: {object: binary-value 8, driven-by: {contact: field}}
//!   CL1-TEMP:  {object: analog-value 7, measures: {zone: conservation-lab, quantity: temperature}}
//!   # A number may follow a number.
//!   CL1-SHOWN: {object: analog-value 8, driven-by: {point: CL1-TEMP}}
//! ```
//!
//! # Repair
//!
//! Use the object type in the message.
//!
//! # Source
//!
//! ASHRAE 135 clause 12 (from memory): analog objects have a number and binary ones are on or off;
//! input objects have no priority array, so they cannot be commanded.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::spot;
use model::{Found, Kind, Name, Place, Point, Source, Spot, Unit, Wiring, bacnet::ObjectType};

pub(crate) static CHECK: Check = Check {
    id: "wrong-object-type",
    severity: Severity::Error,
    source: include_str!("wrong_object_type.rs"),
    run: Run::Entry(run),
    repairs: &[repair::object_type],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    if let Some(point) = ctx.view.as_found::<Point>(ctx.id) {
        of_point(ctx, point, out);
    }
    if let Some(unit) = ctx.view.as_found::<Unit>(ctx.id) {
        read_back(ctx, unit, out);
    }
}

fn of_point(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    if let Some(object) = point.is.object
        && let Some((what, reason)) = wrong(ctx, object.value.kind, point)
    {
        let finding = out.report(
            About::entry(),
            object.at,
            format!("`{}` is `{}`, but {what}", point.name(), object.value),
        );
        if let Some((place, text)) = reason {
            finding.because(place, text);
        }
    }
    for driver in &point.is.drivers {
        match &driver.source {
            Some(Source::Logic(words)) => words.value.each_name(&mut |name, within| {
                follows(ctx, name, spot(&point.entry.part, words.at, within), out);
            }),
            Some(Source::Point(other)) if point.is.object.is_some_and(|own| own.value.kind.is_binary()) => {
                follows(ctx, &other.value, other.at.into(), out);
            }
            _ => {}
        }
    }
}

/// Reports a number that something on or off takes its value from.
fn follows(ctx: &Ctx<'_>, name: &Name, at: Spot, out: &mut Sink) {
    if let Some((place, is)) = ctx.view.find::<Point>(name).and_then(number) {
        let about = About::spot(&ctx.entry.part, &at).and(noun::POINT, name);
        out.report(
            about,
            at,
            format!(
                "`{name}` is a number, but what follows it here is on or off. Name a point that is on or off."
            ),
        )
        .because(place, format!("`{name}` {is}"));
    }
}

/// Reports sensors that are to read back whether a part of a unit runs. An analog object alone may be where a
/// valve stands.
fn read_back(ctx: &Ctx<'_>, unit: Found<'_, Unit>, out: &mut Sink) {
    for (output, point) in &unit.is.outputs {
        let sensor = ctx.view.find::<Point>(&point.value).filter(|point| measured(*point).is_some());
        if let Some((place, is)) = sensor.and_then(number) {
            let message = format!(
                "`{}` cannot read back `{}`: it {is}. Name the status point.",
                point.value, output.value
            );
            out.report(About::of(noun::OUTPUT, &output.value), point.at, message)
                .because(place, format!("`{}` {is}", point.value));
        }
    }
}

/// By what a point carries a number: where it says so, and in words.
fn number(point: Found<'_, Point>) -> Option<(Place, String)> {
    measured(point).or_else(|| {
        let object = point.is.object.filter(|object| object.value.kind.is_analog())?;
        Some((point.place(object.at), format!("is `{}`", object.value)))
    })
}

fn measured(point: Found<'_, Point>) -> Option<(Place, String)> {
    let quantity =
        point.is.measures.as_ref()?.quantity.filter(|quantity| NUMBERS.contains(&quantity.value))?;
    Some((point.place(quantity.at), format!("measures {}", quantity.value.replace('-', " "))))
}

/// Quantities that are no matter of on or off.
const NUMBERS: [&str; 4] = ["temperature", "humidity", "dew-point", "carbon-dioxide"];

/// Why an object does not fit, and the fact it does not fit to.
pub(super) type Wrong = (String, Option<(Place, String)>);

/// What a point does that an object of this kind cannot.
pub(super) fn wrong(ctx: &Ctx<'_>, kind: ObjectType, point: Found<'_, Point>) -> Option<Wrong> {
    against_sources(kind, point)
        .or_else(|| against_quantity(kind, point))
        .or_else(|| against_terminals(ctx, kind, point))
}

fn against_sources(kind: ObjectType, point: Found<'_, Point>) -> Option<Wrong> {
    point.is.drivers.iter().find_map(|driver| {
        let source = driver.source.as_ref()?;
        let switched = match source {
            Source::Call { .. } | Source::Operator(_) | Source::Logic(_) | Source::Contact(_) => true,
            Source::Schedule(_) | Source::Point(_) => false,
        };
        let what = match source {
            Source::Contact(_) if kind.is_output() => "a contact is read and an output commands. Use a `binary-input`.",
            Source::Contact(_) if !kind.is_binary() => "a contact is on or off. Use a `binary-input`.",
            _ if switched && !kind.is_binary() => "what drives it is on or off. Use a `binary-output`, or a `binary-value` if it needs no terminal.",
            Source::Contact(_) => return None,
            _ if kind.is_input() => "an input reads the field and cannot be commanded. Use an output, or a value if it needs no terminal.",
            _ => return None,
        };
        Some((what.to_owned(), Some((point.place(driver.at), "What drives it".to_owned()))))
    })
}

fn against_quantity(kind: ObjectType, point: Found<'_, Point>) -> Option<Wrong> {
    let measures = point.is.measures.as_ref()?;
    let quantity = measures.quantity?;
    let number = NUMBERS.contains(&quantity.value);
    let what = if kind.is_output() {
        format!("an output cannot measure. Use {}.", if number { "an `analog-input`" } else { "an input" })
    } else if number && !kind.is_analog() {
        format!("{} is a number. Use an `analog-input`.", quantity.value.replace('-', " "))
    } else {
        return None;
    };
    Some((
        what,
        Some((point.place(quantity.at), format!("It measures {}", quantity.value.replace('-', " ")))),
    ))
}

fn against_terminals(ctx: &Ctx<'_>, kind: ObjectType, point: Found<'_, Point>) -> Option<Wrong> {
    if kind.is_binary() && !kind.is_output() {
        return None;
    }
    let name = Name::new(point.name());
    ctx.view.users::<Unit>(Kind::Point, &name).into_iter().find_map(|unit| {
        let wired = unit.is.inputs.iter().find(|(_, w)| matches!(&w.value, Wiring::Point(p) if *p == name));
        let read = unit.is.outputs.iter().find(|(_, p)| p.value == name);
        match (wired, read) {
            (Some((input, wiring)), _) if !kind.is_binary() => Some((
                format!("`{}` of `{}` is on or off. Use a `binary-output`.", input.value, unit.name()),
                Some((unit.place(wiring.at), format!("`{}` is wired to it", input.value))),
            )),
            (_, Some((output, at))) if kind.is_output() => Some((
                format!(
                    "it reads back `{}` of `{}`, and an output commands. Use a `binary-input`.",
                    output.value,
                    unit.name()
                ),
                Some((unit.place(at.at), format!("`{}` is read back by it", output.value))),
            )),
            _ => None,
        }
    })
}
