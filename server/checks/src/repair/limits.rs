//! Limits of zones: moved, exchanged, or set in the mode that has none.

use super::text::Target;
use super::{Proposal, cost};
use crate::check::Finding;
use crate::context::Ctx;
use crate::written::value;
use analysis::{CallRule, Mode, call_rules};
use model::{Found, LimitKey, Quantity, UnitOfMeasure, Zone};
use syntax::NodeId;

/// A hair's breadth, for the rounding of °F.
const HAIR: f64 = 1e-6;

/// Limits of the one mode for the other, which sets none.
pub(super) fn as_in_the_other_mode(zone: Found<'_, Zone>, out: &mut Vec<Proposal>) {
    // Without a schedule a zone is always occupied.
    let modes = if zone.is.schedule.is_some() { &Mode::ALL[..] } else { &[Mode::Occupied] };
    // A humidity limit is what is left out most often.
    let mut keys = LimitKey::ALL;
    keys.sort_by_key(|key| (key.is_temperature(), !key.above()));
    for mode in modes {
        let here = zone.is.limits(*mode);
        let others = Mode::ALL.into_iter().filter(|other| other != mode);
        for (there, key) in
            others.filter_map(|other| zone.is.limits(other)).flat_map(|l| keys.map(|key| (l, key)))
        {
            if !here.is_some_and(|limits| limits.sets(key))
                && let Some(limit) = there.value(key)
            {
                out.extend(set(zone, *mode, key, limit.value, ""));
            }
        }
    }
}

/// A limit where a mode sets none; `why` is added to what is said of it.
pub(crate) fn set(
    zone: Found<'_, Zone>,
    mode: Mode,
    key: LimitKey,
    limit: Quantity,
    why: &str,
) -> Option<Proposal> {
    let part = &zone.entry.part;
    let target = Target::new(zone.id, zone.entry);
    let edit = match value(part, part.value(), mode.name()) {
        Some(map) => target.pair(map, key.name(), &limit.to_string()),
        None => target.pair(part.value(), mode.name(), &format!("{{{key}: {limit}}}")),
    };
    let title = format!("Set `{key}: {limit}` for `{}` while {}{why}", zone.name(), mode.name());
    Proposal::one(title, cost::LIMIT, edit)
}

/// A limit at a node so far within what its sensor reports that its calls begin and end.
pub(super) fn moved(ctx: &Ctx<'_>, zone: Found<'_, Zone>, node: NodeId, out: &mut Vec<Proposal>) {
    let target = Target::new(zone.id, zone.entry);
    for mode in Mode::ALL {
        // What follows a schedule is set there.
        let rules = zone.is.limits(mode).map(|limits| call_rules(&ctx.view, zone, limits));
        for rule in rules.into_iter().flatten() {
            let Some(limit) = within(&rule).filter(|_| rule.limit.is_some_and(|limit| limit.at == node))
            else {
                continue;
            };
            let title = format!("Move `{}` of `{}` while {} to {limit}", rule.key, zone.name(), mode.name());
            out.extend(Proposal::one(title, cost::VALUE, target.value(node, &limit.to_string())));
        }
    }
}

/// The nearest whole number to a rule's limit at which its call begins and ends within what the
/// sensor reports; nothing if it does already.
fn within(rule: &CallRule) -> Option<Quantity> {
    let limit = rule.limit?.value;
    // On the scale of the limit, how far inward it has to go.
    let inward = |si: f64| Quantity { value: si, unit: UnitOfMeasure::Kelvin }.step_in(limit.unit);
    let (below, value) = if let Some(beyond) = &rule.beyond {
        let short = inward((beyond.needs.si() - beyond.reports.si()).abs());
        let short = if beyond.past { short + 2.0 * HAIR } else { short };
        (rule.above, if rule.above { limit.value - short } else { limit.value + short })
    } else {
        let sensor = rule.past_other_end()?;
        let end = if rule.above { sensor.low } else { sensor.high };
        let short = inward((limit.si() - end.si()).abs());
        (!rule.above, if rule.above { limit.value + short } else { limit.value - short })
    };
    let value = if below { (value + HAIR).floor() } else { (value - HAIR).ceil() };
    Some(Quantity { value, unit: limit.unit })
}

/// Exchanges two limits that stand the wrong way round, each as it is written, or moves the upper
/// one above the lower.
pub(crate) fn exchange(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Some(zone) = ctx.view.as_found::<Zone>(ctx.id) else { return };
    let target = Target::new(ctx.id, ctx.entry);
    for limits in zone.is.each_limits() {
        let below = LimitKey::ALL.into_iter().filter(|key| !key.above());
        for (lower, upper) in below.filter_map(|key| Some((key, key.opposite()?))) {
            let Some((low, high)) = limits.value(lower).zip(limits.value(upper)) else { continue };
            if ![low.at, high.at].map(Some).contains(&finding.spot.node()) {
                continue;
            }
            let (down, up) = (high.value.to_string(), low.value.to_string());
            let edits = target.value(low.at, &down).zip(target.value(high.at, &up));
            let title = format!("Swap `{lower}` and `{upper}`: {down} and {up}");
            out.extend(Proposal::all(title, cost::VALUE, edits.map(|(a, b)| vec![a, b])));
            let apart = Quantity { value: low.value.value + band(low.value.unit), unit: low.value.unit };
            let title = format!("Move `{upper}` to {apart}, above `{lower}`");
            out.extend(Proposal::one(title, cost::VALUE + 2, target.value(high.at, &apart.to_string())));
            let apart = Quantity { value: high.value.value - band(high.value.unit), unit: high.value.unit };
            let title = format!("Move `{lower}` to {apart}, below `{upper}`");
            out.extend(Proposal::one(title, cost::VALUE + 2, target.value(low.at, &apart.to_string())));
        }
    }
}

/// How far two limits are set apart: for temperatures what ASHRAE 90.1-2016 §6.4.3.1.2 asks for; for
/// humidity common practice, no source.
fn band(unit: UnitOfMeasure) -> f64 {
    match unit {
        UnitOfMeasure::PercentRh => 10.0,
        UnitOfMeasure::Celsius | UnitOfMeasure::CelsiusDewPoint => 3.0,
        _ => 5.0,
    }
}
