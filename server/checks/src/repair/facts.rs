//! Changes of the written facts that a finding gives as its reasons: take any one of them away and
//! the finding is gone, so each is where a repair may begin.

use super::hours::longer;
use super::limits::{as_in_the_other_mode, moved};
use super::sources::drive;
use super::text::Target;
use super::wiring::{rewire, wire};
use super::{Proposal, cost};
use crate::check::Finding;
use crate::context::Ctx;
use crate::written::value;
use model::{Driver, Found, Item, Mode, Name, Operator, Place, Point, Source, Unit, UnitType, Zone};
use syntax::NodeId;
use syntax::write::scalar;

/// Changes of each fact that forces the finding.
pub(crate) fn facts(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let own = Place { entry: ctx.id, spot: finding.spot.clone() };
    let places = std::iter::once(&own).chain(finding.because.iter().map(|b| &b.place));
    for place in places {
        let (Some(entry), Some(node)) = (ctx.view.entry(place.entry), place.spot.node()) else { continue };
        let id = place.entry;
        if let Item::UnitType(_) = entry.facts.item {
            default(ctx, ctx.view.as_found(id), node, out);
        }
        if ctx.view.built_in(entry) {
            continue;
        }
        match &entry.facts.item {
            Item::Unit(_) => unit(ctx, ctx.view.as_found(id), node, out),
            Item::Point(_) => point(ctx, ctx.view.as_found(id), out),
            Item::Schedule(_) => {
                if let Some(schedule) = ctx.view.as_found(id) {
                    longer(schedule, out);
                }
            }
            Item::Zone(_) => {
                if let Some(zone) = ctx.view.as_found(id) {
                    as_in_the_other_mode(zone, out);
                    moved(ctx, zone, node, out);
                    follow(ctx, zone, out);
                }
            }
            _ => {}
        }
    }
}

/// Another choice of an option, or another wire.
fn unit(ctx: &Ctx<'_>, unit: Option<Found<'_, Unit>>, node: NodeId, out: &mut Vec<Proposal>) {
    let Some(unit) = unit else { return };
    if let Some((option, _)) = unit.is.options.iter().find(|(o, choice)| [o.at, choice.at].contains(&node)) {
        choose(ctx, unit, &option.value, cost::CHOICE, out);
    }
    for (input, wiring) in &unit.is.inputs {
        if node == wiring.at || node == input.at {
            rewire(ctx, unit, &input.value, wiring.at, out);
        }
    }
    // What is left out is reported where the wires are listed.
    if unit.is.inputs_at.is_none_or(|at| node == at) {
        let unit_type = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value));
        let inputs = unit_type.iter().flat_map(|t| &t.is.inputs).map(|input| &input.name.value);
        for input in inputs.filter(|input| unit.is.wiring(input).is_none()) {
            wire(ctx, unit, input, out);
        }
    }
}

/// A choice where the unit leaves an option at its default.
fn default(ctx: &Ctx<'_>, unit_type: Option<Found<'_, UnitType>>, node: NodeId, out: &mut Vec<Proposal>) {
    let (Some(unit_type), Some(unit)) = (unit_type, ctx.view.as_found::<Unit>(ctx.id)) else { return };
    if let Some(option) = unit_type.is.options.iter().find(|o| o.name.at == node) {
        choose(ctx, unit, &option.name.value, cost::CHOICE, out);
    }
}

/// Another choice of each option of the unit looked at, and another wire to its occupied input,
/// whether or not they are among the reasons.
pub(crate) fn unit_as_set(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let Some(unit) = ctx.view.as_found::<Unit>(ctx.id) else { return };
    let unit_type = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value));
    for option in unit_type.iter().flat_map(|t| &t.is.options) {
        choose(ctx, unit, &option.name.value, cost::CHOICE + 5, out);
    }
    if let Some((input, wiring)) = unit.is.wiring(Mode::OCCUPIED_INPUT) {
        rewire(ctx, unit, &input.value, wiring.at, out);
    }
}

/// The other choices of an option.
fn choose(ctx: &Ctx<'_>, unit: Found<'_, Unit>, name: &Name, cost: u32, out: &mut Vec<Proposal>) {
    let unit_type = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value));
    let Some(option) = unit_type.and_then(|t| t.is.option(name)) else { return };
    let part = &unit.entry.part;
    let target = Target::new(unit.id, unit.entry);
    let set = unit.is.options.iter().find(|(set, _)| set.value == *name).map(|(_, choice)| choice);
    let default = option.choices.get(option.default);
    let chosen = set.or(default).map(|choice| &choice.value);
    for (n, other) in option.choices.iter().enumerate().filter(|(_, other)| Some(&other.value) != chosen) {
        let choice = scalar(&other.value);
        let edit = match (set, value(part, part.value(), "options")) {
            (Some(set), _) => target.value(set.at, &other.value),
            (None, Some(map)) => target.pair(map, name, &choice),
            (None, None) => target.pair(part.value(), "options", &format!("{{{}: {choice}}}", scalar(name))),
        };
        let title = format!("Set `{name}` of `{}` to `{}`", unit.name(), other.value);
        out.extend(Proposal::one(title, cost + n as u32, edit));
    }
}

/// Another source of a point.
fn point(ctx: &Ctx<'_>, point: Option<Found<'_, Point>>, out: &mut Vec<Proposal>) {
    let Some(point) = point else { return };
    drive(ctx, point, out);
    for driver in &point.is.drivers {
        redrive(ctx, point, driver, out);
    }
}

fn redrive(ctx: &Ctx<'_>, point: Found<'_, Point>, driver: &Driver, out: &mut Vec<Proposal>) {
    let target = Target::new(point.id, point.entry);
    let part = &point.entry.part;
    let zone = ctx.view.as_found::<Unit>(ctx.id).and_then(|unit| unit.is.zone.as_ref());
    let name = point.name();
    match &driver.source {
        Some(Source::Schedule(followed)) => {
            let zone = zone.and_then(|zone| ctx.view.find::<Zone>(&zone.value));
            if let Some((zone, schedule)) = zone.and_then(|z| Some((z, z.is.schedule.as_ref()?)))
                && schedule.value != followed.value
            {
                let title = format!("Drive `{name}` by `{}`, the schedule of its zone", schedule.value);
                let edit = target.value(followed.at, &schedule.value);
                out.extend(Proposal::one(title, cost::VALUE, edit));
                let title = format!("Put `{}` on `{}`, like `{name}`", zone.name(), followed.value);
                let edit = Target::new(zone.id, zone.entry).value(schedule.at, &followed.value);
                out.extend(Proposal::one(title, cost::VALUE + 3, edit));
            }
        }
        Some(Source::Call { zone: Some(calling), .. }) => {
            if let Some(own) = zone.filter(|own| own.value != calling.value) {
                let title = format!("Take the call of `{name}` from `{}`, the zone of the unit", own.value);
                out.extend(Proposal::one(title, cost::VALUE, target.value(calling.at, &own.value)));
            }
        }
        Some(Source::Operator(state)) if state.value != Operator::Either => {
            let title = format!("Let an operator turn `{name}` on or off");
            out.extend(Proposal::one(title, cost::VALUE + 5, target.value(state.at, "on-or-off")));
        }
        _ => {}
    }
    if driver.override_.is_some() {
        let key = part.pairs(driver.at).map(|(key, _)| key).find(|k| part.scalar(*k) == Some("override"));
        let title = format!("Release the override of `{name}`, once nobody is working on the unit");
        let edit = key.and_then(|key| target.without_pair(driver.at, key));
        out.extend(Proposal::one(title, cost::VALUE, edit));
    }
}

/// The schedule of the point at a unit's occupied input for a zone whose own never is.
fn follow(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Vec<Proposal>) {
    let Some(unit) = ctx.view.as_found::<Unit>(ctx.id) else { return };
    let Some((_, wiring)) = unit.is.wiring(Mode::OCCUPIED_INPUT) else { return };
    let model::Wiring::Point(name) = &wiring.value else { return };
    let Some(point) = ctx.view.find::<Point>(name) else { return };
    let (Some(own), Some(Source::Schedule(other))) =
        (&zone.is.schedule, point.is.drivers.first().and_then(|d| d.source.as_ref()))
    else {
        return;
    };
    if own.value != other.value {
        let title = format!("Put `{}` on `{}`, like `{name}`", zone.name(), other.value);
        let edit = Target::new(zone.id, zone.entry).value(own.at, &other.value);
        out.extend(Proposal::one(title, cost::VALUE + 3, edit));
    }
}
