//! Changes of the written facts that a finding gives as its reasons: take any one of them away and
//! the finding is gone, so each is where a repair may begin.

use super::sources::drive;
use super::text::{Target, scalar};
use super::wiring::rewire;
use super::{Proposal, cost};
use crate::context::Ctx;
use crate::finding::Finding;
use crate::written::value;
use model::zone::Limits;
use model::{Driver, Found, Item, Name, Operator, Place, Point, Schedule, Source, Unit, UnitType, Zone};
use syntax::NodeId;

/// Changes of each fact that forces the finding.
pub(crate) fn facts(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let own = Place { entry: ctx.id, spot: finding.spot.clone() };
    let places = std::iter::once(&own).chain(finding.because.iter().map(|b| &b.place));
    for place in places {
        let (Some(entry), Some(node)) = (ctx.view.entry(place.entry), place.spot.node()) else { continue };
        let id = place.entry;
        if let Item::UnitType(_) = entry.facts.item {
            shipped(ctx, ctx.view.as_found(id), node, out);
        }
        if ctx.view.built_in(entry) {
            continue;
        }
        match &entry.facts.item {
            Item::Unit(_) => unit(ctx, ctx.view.as_found(id), node, out),
            Item::Point(_) => point(ctx, ctx.view.as_found(id), out),
            Item::Schedule(_) => hours(ctx.view.as_found(id), out),
            Item::Zone(_) => zone(ctx, ctx.view.as_found(id), out),
            _ => {}
        }
    }
}

/// Another choice of an option, or another wire.
fn unit(ctx: &Ctx<'_>, unit: Option<Found<'_, Unit>>, node: NodeId, out: &mut Vec<Proposal>) {
    let Some(unit) = unit else { return };
    let unit_type = unit.is.type_.as_ref().and_then(|t| ctx.view.find::<UnitType>(&t.value));
    for (option, choice) in &unit.is.options {
        let known = unit_type.and_then(|t| t.is.option(&option.value));
        let Some(known) = known.filter(|_| node == choice.at || node == option.at) else { continue };
        for other in known.choices.iter().filter(|c| c.value != choice.value) {
            let title = format!("Set `{}` of {} to `{}`", option.value, unit.name(), other.value);
            let edit = Target::new(unit.id, unit.entry).value(choice.at, &other.value);
            out.extend(Proposal::one(title, cost::CHOICE, edit));
        }
    }
    for (input, wiring) in &unit.is.inputs {
        if node == wiring.at || node == input.at {
            rewire(ctx, unit, &input.value, wiring.at, out);
        }
    }
}

/// A choice where the unit leaves an option as it was shipped.
fn shipped(ctx: &Ctx<'_>, unit_type: Option<Found<'_, UnitType>>, node: NodeId, out: &mut Vec<Proposal>) {
    let (Some(unit_type), Some(unit)) = (unit_type, ctx.view.as_found::<Unit>(ctx.id)) else { return };
    let Some(option) = unit_type.is.options.iter().find(|o| o.name.at == node) else { return };
    let name = &option.name.value;
    if unit.is.options.iter().any(|(set, _)| set.value == *name) {
        return;
    }
    let part = &unit.entry.part;
    let target = Target::new(unit.id, unit.entry);
    for (n, choice) in option.choices.iter().enumerate().filter(|(n, _)| *n != option.as_shipped) {
        let choice = scalar(&choice.value, None);
        let edit = match value(part, part.value(), "options") {
            Some(map) => target.pair(map, name, &choice),
            None => target.pair(part.value(), "options", &format!("{{{}: {choice}}}", scalar(name, None))),
        };
        let title = format!("Set `{name}` of {} to `{choice}`", unit.name());
        out.extend(Proposal::one(title, cost::CHOICE + n as u32, edit));
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
            let Some((zone, schedule)) = zone.and_then(|z| Some((z, z.is.schedule.as_ref()?))) else {
                return;
            };
            if schedule.value != followed.value {
                let title = format!("Let {name} follow `{}`, as its zone does", schedule.value);
                let edit = target.value(followed.at, &schedule.value);
                out.extend(Proposal::one(title, cost::VALUE, edit));
                let title = format!("Let `{}` follow `{}`, as {name} does", zone.name(), followed.value);
                let edit = Target::new(zone.id, zone.entry).value(schedule.at, &followed.value);
                out.extend(Proposal::one(title, cost::VALUE + 3, edit));
            }
        }
        Some(Source::Call { zone: Some(calling), .. }) => {
            if let Some(own) = zone.filter(|own| own.value != calling.value) {
                let title = format!("Take the call of {name} from `{}`, the unit's own zone", own.value);
                out.extend(Proposal::one(title, cost::VALUE, target.value(calling.at, &own.value)));
            }
        }
        Some(Source::Operator(state)) if state.value != Operator::Either => {
            let title = format!("Let an operator set {name} on or off");
            out.extend(Proposal::one(title, cost::VALUE + 5, target.value(state.at, "either")));
        }
        _ => {}
    }
    if driver.override_.is_some() {
        let key = part.pairs(driver.at).map(|(key, _)| key).find(|k| part.scalar(*k) == Some("override"));
        let title = format!("Release the override of {name}, once nobody works on the unit");
        let edit = key.and_then(|key| target.without_pair(driver.at, key));
        out.extend(Proposal::one(title, cost::VALUE, edit));
    }
}

/// Every hour of the week in place of the week as written.
fn hours(schedule: Option<Found<'_, Schedule>>, out: &mut Vec<Proposal>) {
    let Some(schedule) = schedule else { return };
    let part = &schedule.entry.part;
    let target = Target::new(schedule.id, schedule.entry);
    let whole = "{mon-sun: all-day}";
    let edit = match (value(part, part.value(), "week"), schedule.is.week.as_slice()) {
        (Some(week), [rule]) if rule.days == [true; 7] => {
            let windows = part.pairs(week).find(|(key, _)| *key == rule.at).map(|(_, windows)| windows);
            windows.and_then(|windows| target.yaml(windows, "all-day"))
        }
        (Some(week), _) => target.yaml(week, whole),
        (None, _) => target.pair(part.value(), "week", whole),
    };
    let title = format!("Let `{}` be occupied at every hour of the week", schedule.name());
    out.extend(Proposal::one(title, cost::HOURS, edit));
}

/// A limit of the one mode for the other, which sets none.
fn zone(ctx: &Ctx<'_>, zone: Option<Found<'_, Zone>>, out: &mut Vec<Proposal>) {
    let Some(zone) = zone else { return };
    let modes = [("occupied", &zone.is.occupied), ("unoccupied", &zone.is.unoccupied)];
    for ((mode, here), (_, there)) in [(modes[0], modes[1]), (modes[1], modes[0])] {
        let Some(there) = there else { continue };
        for key in ["dehumidify-above", "humidify-below", "cool-above", "heat-below"] {
            let Some(limit) =
                limit(there, key).filter(|_| here.as_ref().is_none_or(|h| limit(h, key).is_none()))
            else {
                continue;
            };
            let part = &zone.entry.part;
            let target = Target::new(zone.id, zone.entry);
            let edit = match value(part, part.value(), mode) {
                Some(map) => target.pair(map, key, &limit),
                None => target.pair(part.value(), mode, &format!("{{{key}: {limit}}}")),
            };
            let title = format!("Set `{key}: {limit}` for `{}` while {mode} too", zone.name());
            out.extend(Proposal::one(title, cost::LIMIT, edit));
        }
    }
    follow(ctx, zone, out);
}

/// The schedule of the point at a unit's occupied input for a zone whose own never is.
fn follow(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Vec<Proposal>) {
    let Some(unit) = ctx.view.as_found::<Unit>(ctx.id) else { return };
    let Some((_, wiring)) = unit.is.wiring("occupied") else { return };
    let model::Wiring::Point(name) = &wiring.value else { return };
    let Some(point) = ctx.view.find::<Point>(name) else { return };
    let (Some(own), Some(Source::Schedule(other))) =
        (&zone.is.schedule, point.is.drivers.first().and_then(|d| d.source.as_ref()))
    else {
        return;
    };
    if own.value != other.value {
        let title = format!("Let `{}` follow `{}`, as {name} does", zone.name(), other.value);
        let edit = Target::new(zone.id, zone.entry).value(own.at, &other.value);
        out.extend(Proposal::one(title, cost::VALUE + 3, edit));
    }
}

fn limit(limits: &Limits, key: &str) -> Option<Name> {
    let limit = match key {
        "dehumidify-above" => limits.dehumidify_above,
        "humidify-below" => limits.humidify_below,
        "cool-above" => limits.cool_above,
        _ => limits.heat_below,
    };
    limit.map(|l| Name::new(l.value.to_string()))
}
