//! A source for a point that has none.

use super::text::Target;
use super::{Proposal, cost};
use crate::check::Finding;
use crate::context::Ctx;
use crate::written::has;
use model::{Call, Found, Kind, Mode, Name, Point, Schedule, Unit, Wiring, Zone};
use syntax::write::scalar;

/// Other schedules than the zone's are offered while they are so few.
const FEW: usize = 3;

/// What the point that is looked at could be driven by.
pub(crate) fn source(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    if let Some(point) = ctx.view.as_found::<Point>(ctx.id) {
        drive(ctx, point, out);
    }
}

/// Sources for a point that nothing drives, by the inputs it is wired to.
pub(crate) fn drive(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Vec<Proposal>) {
    let part = &point.entry.part;
    if has(part, "driven-by") || has(part, "measures") || ctx.view.built_in(point.entry) {
        return;
    }
    let name = Name::new(point.name());
    let target = Target::new(point.id, point.entry);
    let mut offer = |source: String, cost: u32| {
        let edit = target.pair(part.value(), "driven-by", &format!("{{{source}}}"));
        out.extend(Proposal::one(format!("Drive `{name}` by `{{{source}}}`"), cost, edit));
    };
    for unit in ctx.view.users::<Unit>(Kind::Point, &name) {
        let Some(zone) = &unit.is.zone else { continue };
        for (input, wiring) in &unit.is.inputs {
            if wiring.value != Wiring::Point(name.clone()) {
                continue;
            }
            if Call::of(&input.value).is_some() {
                offer(format!("call: {}, zone: {}", input.value, scalar(&zone.value)), cost::SOURCE);
            }
            let found = ctx.view.find::<Zone>(&zone.value);
            if let Some(schedule) = found.and_then(|z| z.is.schedule.as_ref())
                && input.value == Mode::OCCUPIED_INPUT
            {
                offer(format!("schedule: {}", scalar(&schedule.value)), cost::SOURCE);
            }
        }
    }
    if ctx.view.at_most(&model::Key::All(Kind::Schedule)) <= FEW {
        for schedule in ctx.view.all::<Schedule>() {
            offer(format!("schedule: {}", scalar(schedule.name())), cost::SOURCE + 2);
        }
    }
}
