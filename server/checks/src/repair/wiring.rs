//! Wires and ties of a unit's inputs.

use super::text::Target;
use super::{PartEdit, Proposal, cost};
use crate::check::Finding;
use crate::context::Ctx;
use crate::written::value;
use model::{Call, Driver, Found, Key, Kind, Mode, Name, Place, Point, Source, Unit, UnitType, Zone};
use syntax::NodeId;
use syntax::write::scalar;

/// Above this many points, skip matching by name.
const FEW_POINTS: usize = 500;

/// Wires for the inputs that a finding says are left out, or that they are left out on purpose.
pub(crate) fn left_out(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Some(unit) = ctx.view.as_found::<Unit>(ctx.id) else { return };
    let Some(unit_type) = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value)) else {
        return;
    };
    let told = |place: Place| finding.because.iter().any(|because| because.place == place);
    for input in unit_type.is.inputs.iter().filter(|input| told(unit_type.place(input.name.at))) {
        let input = &input.name.value;
        if unit.is.wiring(input).is_none() {
            wire(ctx, unit, input, out);
            let title = format!("Write that `{input}` is not wired");
            out.extend(Proposal::one(title, cost::WIRE, listed(unit, input, "not-wired")));
        }
    }
}

/// Wires for an input that a unit leaves out.
pub(crate) fn wire(ctx: &Ctx<'_>, unit: Found<'_, Unit>, input: &str, out: &mut Vec<Proposal>) {
    for point in fitting(ctx, unit, input) {
        let title = format!("Wire `{point}` to `{input}` of `{}`", unit.name());
        out.extend(Proposal::one(title, cost::SOURCE, listed(unit, input, &scalar(&point))));
    }
    if input == Mode::OCCUPIED_INPUT && unit.is.wiring(Call::Dehumidify.name()).is_some() {
        let (title, tie) = tied(unit, input);
        out.extend(Proposal::one(title, cost::WIRE + 5, listed(unit, input, &tie)));
    }
}

/// What gives dehumidification precedence at any hour, in words and as it is written.
fn tied(unit: Found<'_, Unit>, input: &str) -> (String, String) {
    let call = Call::Dehumidify;
    (format!("Tie `{input}` of `{}` to `{call}`", unit.name()), format!("{{tied-to: {call}}}"))
}

/// A wire added to those of a unit.
fn listed(unit: Found<'_, Unit>, input: &str, wire: &str) -> Option<PartEdit> {
    let part = &unit.entry.part;
    let target = Target::new(unit.id, unit.entry);
    match value(part, part.value(), "inputs") {
        Some(map) => target.pair(map, input, wire),
        None => target.pair(part.value(), "inputs", &format!("{{{}: {wire}}}", scalar(input))),
    }
}

/// Other wires in place of one.
pub(crate) fn rewire(ctx: &Ctx<'_>, unit: Found<'_, Unit>, input: &str, at: NodeId, out: &mut Vec<Proposal>) {
    let target = Target::new(unit.id, unit.entry);
    let name = unit.name();
    for point in fitting(ctx, unit, input) {
        let title = format!("Wire `{point}` to `{input}` of `{name}`");
        out.extend(Proposal::one(title, cost::WIRE, target.yaml(at, &scalar(&point))));
    }
    if input == Mode::OCCUPIED_INPUT && unit.is.wiring(Call::Dehumidify.name()).is_some() {
        let (title, tie) = tied(unit, input);
        out.extend(Proposal::one(title, cost::WIRE + 5, target.yaml(at, &tie)));
    }
    // What is neither a call nor the hours may be there for safety, which no repair defeats; and a unit that
    // does not take the call to dry is no remedy for one that cannot.
    let cost = match input {
        Mode::OCCUPIED_INPUT => cost::WIRE + 9,
        input if input == Call::Dehumidify.name() => return,
        call if Call::of(call).is_some() => cost::LOSS,
        _ => return,
    };
    let title = format!("Write that `{input}` of `{name}` is not wired");
    out.extend(Proposal::one(title, cost, target.yaml(at, "not-wired")));
}

/// Points whose source is what an input of a unit is for: the call of its zone, its hours, or a contact
/// that goes by the input's name. Where some of them are read by nothing yet, those: they were made for
/// this, and the others serve another unit.
fn fitting(ctx: &Ctx<'_>, unit: Found<'_, Unit>, input: &str) -> Vec<Name> {
    if input != Mode::OCCUPIED_INPUT && Call::of(input).is_none() {
        return contacts(ctx, input);
    }
    let Some(zone) = &unit.is.zone else { return Vec::new() };
    let key = if input == Mode::OCCUPIED_INPUT {
        let found = ctx.view.find::<Zone>(&zone.value);
        let Some(schedule) = found.and_then(|z| z.is.schedule.as_ref()) else { return Vec::new() };
        Key::Refer(Kind::Schedule, schedule.value.clone())
    } else {
        Key::Refer(Kind::Zone, zone.value.clone())
    };
    let points = ctx.view.contributors(key).into_iter().filter_map(|id| ctx.view.as_found::<Point>(id));
    let gives = |driver: &Driver| match &driver.source {
        Some(Source::Schedule(_)) => input == Mode::OCCUPIED_INPUT,
        Some(Source::Call { call, zone: Some(z) }) => call.value.name() == input && z.value == zone.value,
        _ => false,
    };
    let plain = |d: &Driver| d.inverted.is_none() && d.override_.is_none();
    let (unread, read): (Vec<Name>, Vec<Name>) = points
        .filter(|p| matches!(&*p.is.drivers, [d] if gives(d) && plain(d)))
        .map(|p| Name::new(p.name()))
        .partition(|name| is_unread(ctx, name));
    if unread.is_empty() { read } else { unread }
}

fn is_unread(ctx: &Ctx<'_>, point: &Name) -> bool {
    !ctx.view.any(&Key::Refer(Kind::Point, point.clone()))
}

/// Points that nothing reads, driven by a contact, with a word of the input in their name or text:
/// `AC1-AIRFLOW` for `proof-of-airflow`.
fn contacts(ctx: &Ctx<'_>, input: &str) -> Vec<Name> {
    if ctx.view.at_most(&Key::All(Kind::Point)) > FEW_POINTS {
        return Vec::new();
    }
    let words: Vec<&str> = input.split('-').filter(|word| word.len() > 3).collect();
    let tells = |text: &str| words.iter().any(|word| text.to_lowercase().contains(word));
    let is_contact = |d: &Driver| matches!(d.source, Some(Source::Contact(_)));
    let fits = |point: &Found<'_, Point>| {
        let text = point.is.text.as_ref().map_or("", |text| text.value.as_str());
        point.is.drivers.iter().any(is_contact)
            && (tells(point.name()) || tells(text))
            && is_unread(ctx, &Name::new(point.name()))
    };
    ctx.view.all::<Point>().into_iter().filter(fits).map(|point| Name::new(point.name())).collect()
}
