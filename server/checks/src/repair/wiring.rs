//! Wires and ties of a unit's inputs.

use super::text::{Target, scalar};
use super::{Proposal, cost};
use crate::context::Ctx;
use crate::finding::Finding;
use model::{Driver, Found, Key, Kind, Name, Point, Source, Unit, UnitType, Zone, point};
use syntax::NodeId;

/// Wires for the inputs that a unit leaves out, or that they are left out on purpose.
pub(crate) fn left_out(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let Some(unit) = ctx.view.as_found::<Unit>(ctx.id) else { return };
    let Some(unit_type) = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value)) else {
        return;
    };
    let part = &unit.entry.part;
    let target = Target::new(unit.id, unit.entry);
    for input in &unit_type.is.inputs {
        let input = &input.name.value;
        if unit.is.wiring(input).is_some() {
            continue;
        }
        let add = |wire: &str| match crate::written::value(part, part.value(), "inputs") {
            Some(map) => target.pair(map, input, wire),
            None => target.pair(part.value(), "inputs", &format!("{{{}: {wire}}}", scalar(input, None))),
        };
        for point in fitting(ctx, unit, input) {
            let title = format!("Wire {point} to `{input}`");
            out.extend(Proposal::one(title, cost::SOURCE, add(&scalar(&point, None))));
        }
        let title = format!("State that `{input}` is not wired");
        out.extend(Proposal::one(title, cost::WIRE, add("not-wired")));
    }
}

/// Other wires in place of one.
pub(crate) fn rewire(ctx: &Ctx<'_>, unit: Found<'_, Unit>, input: &str, at: NodeId, out: &mut Vec<Proposal>) {
    let target = Target::new(unit.id, unit.entry);
    let name = unit.name();
    for point in fitting(ctx, unit, input) {
        let title = format!("Wire {point} to `{input}` of {name}");
        out.extend(Proposal::one(title, cost::WIRE, target.yaml(at, &scalar(&point, None))));
    }
    if input == "occupied" && unit.is.wiring("dehumidify").is_some() {
        let title = format!("Tie `occupied` of {name} to `dehumidify`");
        out.extend(Proposal::one(title, cost::WIRE + 5, target.yaml(at, "{tied-to: dehumidify}")));
    }
    let title = format!("State that `{input}` of {name} is not wired");
    out.extend(Proposal::one(title, cost::WIRE + 9, target.yaml(at, "not-wired")));
}

/// Points whose source is what an input of a unit is for: the call of its zone, or its hours.
fn fitting(ctx: &Ctx<'_>, unit: Found<'_, Unit>, input: &str) -> Vec<Name> {
    let Some(zone) = &unit.is.zone else { return Vec::new() };
    let key = if input == "occupied" {
        let found = ctx.view.find::<Zone>(&zone.value);
        let Some(schedule) = found.and_then(|z| z.is.schedule.as_ref()) else { return Vec::new() };
        Key::Refer(Kind::Schedule, schedule.value.clone())
    } else if point::CALLS.contains(&input) {
        Key::Refer(Kind::Zone, zone.value.clone())
    } else {
        return Vec::new();
    };
    let points = ctx.view.contributors(key).into_iter().filter_map(|id| ctx.view.as_found::<Point>(id));
    let gives = |driver: &Driver| match &driver.source {
        Some(Source::Schedule(_)) => input == "occupied",
        Some(Source::Call { call, zone: Some(z) }) => call.value == input && z.value == zone.value,
        _ => false,
    };
    let plain = |d: &Driver| d.inverted.is_none() && d.override_.is_none();
    points
        .filter(|p| matches!(p.is.drivers.as_slice(), [d] if gives(d) && plain(d)))
        .map(|p| Name::new(p.name()))
        .collect()
}
