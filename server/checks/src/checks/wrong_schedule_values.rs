//! # What it finds
//!
//! A schedule whose values do not fit what follows it: a temperature schedule for an on-off point, an
//! occupancy schedule for an analog point, values of the wrong kind for a zone's limit, or anything but
//! occupied and unoccupied for a zone's schedule.
//!
//! # Why it matters
//!
//! The point cannot take the value. The controller refuses the write, or reads it as off.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   bay-setpoint:
//!     values: °F
//!     default: 60 °F
//!     week: {mon-fri: {06:00-18:00: 65 °F}}
//! zones:
//!   loading-bay: {schedule: bay-setpoint}
//!   #                       ^^^^^^^^^^^^ a zone needs `occupied` and `unoccupied`
//! points:
//!   LB1-DRY-EN: {object: binary-value 2, driven-by: {schedule: bay-setpoint}}
//!   #                                                          ^^^^^^^^^^^^ is on or off
//!   LB1-RH-SP: {object: analog-value 3, units: percent-relative-humidity, driven-by: {schedule: bay-setpoint}}
//!   #                                                                                           ^^^^^^^^^^^^ in `percent-relative-humidity`
//! ```
//! ```yaml bad
//! schedules:
//!   bay-humidity: {values: "%RH", default: 55 %RH, week: {mon-fri: {06:00-18:00: 50 %RH}}}
//!   bay-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 06:00-18:00}}
//! zones:
//!   loading-bay:
//!     occupied: {cool-above: {schedule: bay-humidity}, dehumidify-above: {schedule: bay-hours}}
//!     #                                 ^^^^^^^^^^^^ `cool-above` needs a temperature
//!     #                                                                             ^^^^^^^^^ needs a relative humidity or a dew point
//! ```
//! ```yaml bad
//! schedules:
//!   bay-modes: {values: [day, night], default: day}
//!   bay-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 06:00-18:00}}
//!   bay-setpoint: {values: °F, default: 60 °F}
//! points:
//!   LB1-SP: {object: analog-value 3, driven-by: {schedule: bay-hours}}
//!   #                                                      ^^^^^^^^^ `bay-hours` gives `occupied` or `unoccupied`, but `LB1-SP` is an `analog-value`, which is a number
//!   LB1-MODE: {object: multi-state-value 1, driven-by: {schedule: bay-setpoint}}
//!   #                                                             ^^^^^^^^^^^^ `bay-setpoint` gives values in °F, but `LB1-MODE` is a `multi-state-value`, which has numbered states
//!   LB1-OCC: {driven-by: {schedule: bay-modes}}
//!   #                               ^^^^^^^^^ `bay-modes` gives the states `day`, but the unit input wired to `LB1-OCC` is on or off
//! units:
//!   AC-2:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {occupied: LB1-OCC}
//! ```
//! ```yaml good
//! schedules:
//!   bay-setpoint:
//!     values: °F
//!     default: 60 °F
//!     week: {mon-fri: {06:00-18:00: 65 °F}}
//!   bay-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 06:00-18:00}}
//! zones:
//!   loading-bay:
//!     schedule: bay-hours
//!     occupied: {cool-above: {schedule: bay-setpoint}}
//! points:
//!   LB1-DRY-EN: {object: binary-value 2, driven-by: {schedule: bay-hours}}
//!   LB1-TEMP-SP: {object: analog-value 3, units: degrees-fahrenheit, driven-by: {schedule: bay-setpoint}}
//! ```
//! States named on and off fit a relay, and states of any name a multi-state point:
//! ```yaml near
//! schedules:
//!   purge: {values: [off, on], default: off, week: {sat: {06:00-08:00: on}}}
//!   stages: {values: [rest, half, full], default: rest, week: {sat: {06:00-08:00: half}}}
//! points:
//!   LB1-PURGE: {object: binary-output 4, driven-by: {schedule: purge}}
//!   LB1-STAGE: {object: multi-state-value 1, driven-by: {schedule: stages}}
//! ```
//!
//! # Repair
//!
//! Follow a schedule with the right values, or give the point an object type that takes them.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object: all values are of one datatype, that of the properties it
//! writes (from memory).

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::schedules::is_switch;
use model::bacnet::{EngineeringUnit, ObjectType};
use model::schedule::{Schedule, Values};
use model::{
    FollowedLimit, Found, Kind, Mode, Name, Point, Quantity, Source, Unit, UnitOfMeasure, Wiring, Written,
    Zone, list_words,
};

pub(crate) static CHECK: Check = Check {
    id: "wrong-schedule-values",
    severity: Severity::Error,
    source: include_str!("wrong_schedule_values.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    if let Some(zone) = ctx.view.as_found::<Zone>(ctx.id) {
        if let Some(named) = &zone.is.schedule {
            let wrong = |schedule: &Schedule| {
                (!is_switch(schedule))
                    .then(|| format!("a zone needs `{}` and `{}`", Mode::Occupied, Mode::Unoccupied))
            };
            report(ctx, named, wrong, out);
        }
        for limit in zone.is.each_limits().flat_map(|l| &l.followed) {
            report(ctx, &limit.schedule, |schedule| unfit_limit(limit, schedule), out);
        }
    } else if let Some(point) = ctx.view.as_found::<Point>(ctx.id) {
        for driver in &point.is.drivers {
            if let Some(Source::Schedule(named)) = &driver.source {
                report(ctx, named, |schedule| unfit(ctx, point, schedule), out);
            }
        }
    }
}

fn report(ctx: &Ctx<'_>, named: &Written<Name>, wrong: impl Fn(&Schedule) -> Option<String>, out: &mut Sink) {
    let Some(schedule) = ctx.view.find::<Schedule>(&named.value) else {
        return;
    };
    let Some(values) = &schedule.is.values else {
        return;
    };
    let Some(wrong) = wrong(schedule.is) else {
        return;
    };
    let gives = match &values.value {
        Values::Occupancy => format!("`{}` or `{}`", Mode::Occupied, Mode::Unoccupied),
        Values::Quantity(unit) => format!("values in {}", unit.symbol()),
        Values::States => {
            let names: Vec<&str> = schedule.is.states.iter().map(|s| s.name.as_str()).collect();
            format!("the states {}", list_words(names.into_iter(), "and"))
        }
    };
    out.report(
        About::path(&ctx.entry.part, named.at).and(noun::SCHEDULE, &named.value),
        named.at,
        format!("`{}` gives {gives}, but {wrong}. Follow a schedule that fits.", named.value),
    )
    .because(schedule.place(values.at), format!("It gives {gives}"));
}

/// Why a zone's limit cannot follow a schedule.
fn unfit_limit(limit: &FollowedLimit, schedule: &Schedule) -> Option<String> {
    let takes = match schedule.values.as_ref()?.value {
        Values::Quantity(unit) => limit.takes(Quantity { value: 0.0, unit }),
        Values::Occupancy | Values::States => false,
    };
    let temperature = limit.key.is_temperature();
    let needs = if temperature { "a temperature" } else { "a relative humidity or a dew point" };
    (!takes).then(|| format!("`{}` needs {needs}", limit.key))
}

/// Why a point cannot take a schedule's values.
fn unfit(ctx: &Ctx<'_>, point: Found<'_, Point>, schedule: &Schedule) -> Option<String> {
    let values = &schedule.values.as_ref()?.value;
    let Some(object) = &point.is.object else {
        let wrong = !is_switch(schedule) && is_wired(ctx, point);
        return wrong.then(|| format!("the unit input wired to `{}` is on or off", point.name()));
    };
    let kind = object.value.kind;
    let is = |what| Some(format!("`{}` is {}, which {what}", point.name(), a_kind(kind)));
    match values {
        _ if kind.is_binary() => {
            if is_switch(schedule) {
                None
            } else {
                is("is on or off")
            }
        }
        Values::Quantity(unit) if kind.is_analog() => {
            let units = point.is.scale().units.as_ref().filter(|units| !takes(units.value, *unit))?;
            Some(format!("`{}` is in `{}`", point.name(), units.value.name))
        }
        Values::Quantity(_) => is("has numbered states"),
        Values::Occupancy | Values::States if kind.is_analog() => is("is a number"),
        Values::Occupancy | Values::States => None,
    }
}

/// `a binary-value`, `an analog-output`.
fn a_kind(kind: ObjectType) -> String {
    format!("{} `{}`", if kind.is_analog() { "an" } else { "a" }, kind.name())
}

/// Whether a unit's input is wired to the point.
fn is_wired(ctx: &Ctx<'_>, point: Found<'_, Point>) -> bool {
    let name = Name::new(point.name());
    let units = ctx.view.users::<Unit>(Kind::Point, &name);
    units
        .iter()
        .any(|unit| unit.is.inputs.iter().any(|(_, wiring)| wiring.value == Wiring::Point(name.clone())))
}

/// Whether numbers of a unit of measure mean the same in an engineering unit.
fn takes(units: &EngineeringUnit, unit: UnitOfMeasure) -> bool {
    let names: &[&str] = match unit {
        UnitOfMeasure::Fahrenheit | UnitOfMeasure::FahrenheitDewPoint => &["degrees-fahrenheit"],
        UnitOfMeasure::Celsius | UnitOfMeasure::CelsiusDewPoint => &["degrees-celsius"],
        UnitOfMeasure::Kelvin => &["degrees-kelvin", "delta-degrees-kelvin"],
        // Humidity is often listed in plain per cent, on the same scale.
        UnitOfMeasure::PercentRh => &["percent-relative-humidity", "percent"],
        UnitOfMeasure::Hour => &["hours"],
        UnitOfMeasure::Minute => &["minutes"],
        _ => return true,
    };
    names.contains(&units.name)
}
