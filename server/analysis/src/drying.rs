//! When a zone may be dried: over all units that serve it.

use crate::analysis::Analysis;
use crate::unit::UnitAnalysis;
use crate::verdict::{Gap, longest};
use calendar::Period;
use model::{Found, Kind, Name, Unit, UnitType, View, Zone};
use std::sync::Arc;

/// The service that dries.
pub const DRYING: &str = "dehumidification";

/// The hours of a period in which some unit can dry a zone.
pub struct ZoneDrying {
    /// The period.
    pub period: Arc<Period>,
    /// Hours in which at least one unit can.
    pub hours: f64,
    /// The longest stretch in which none can, the earliest of equals.
    pub longest_gap: Option<Gap>,
}

/// The units that serve a zone and whose types can dehumidify.
pub fn drying_units<'j>(view: &View<'j>, zone: Found<'_, Zone>) -> Vec<Found<'j, Unit>> {
    let serves = |unit: &Found<'_, Unit>| unit.is.zone.as_ref().is_some_and(|z| z.value == zone.name());
    let units = view.users(Kind::Zone, &Name::new(zone.name()));
    units.into_iter().filter(|unit| serves(unit) && can_dry(view, unit.is)).collect()
}

/// Whether a unit's type dehumidifies.
pub fn can_dry(view: &View<'_>, unit: &Unit) -> bool {
    let unit_type: Option<Found<'_, UnitType>> = unit.type_.as_ref().and_then(|t| view.find(&t.value));
    unit_type.is_some_and(|t| t.is.serves.iter().any(|(service, _)| service.value == DRYING))
}

impl<'j> Analysis<'_, 'j> {
    /// When a zone may be dried; nothing where no unit can dry it.
    pub fn zone_drying(&self, zone: Found<'_, Zone>) -> Option<ZoneDrying> {
        let units: Option<Vec<UnitAnalysis<'j>>> =
            drying_units(self.view, zone).into_iter().map(|unit| self.unit(unit)).collect();
        let each = units?.into_iter().map(|unit| unit.gaps(DRYING));
        let gaps = each.reduce(|a, b| common(&a, &b))?;
        let idle: f64 = gaps.iter().map(Gap::hours).sum();
        let period = self.over.clone();
        Some(ZoneDrying { hours: period.hours() - idle, longest_gap: longest(&gaps), period })
    }
}

/// What two lists of gaps have in common; each is in order.
fn common(a: &[Gap], b: &[Gap]) -> Vec<Gap> {
    let (mut left, mut right) = (a.iter().peekable(), b.iter().peekable());
    let mut both = Vec::new();
    while let (Some(x), Some(y)) = (left.peek(), right.peek()) {
        let (from, to) = (x.from.max(y.from), x.to.min(y.to));
        if from < to {
            both.push(Gap { from, to });
        }
        if x.to < y.to {
            left.next()
        } else {
            right.next()
        };
    }
    both
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOURS: u32 = 7;

    /// The gaps that cover the hours whose bits are set.
    fn gaps(hours: u32) -> Vec<Gap> {
        let mut gaps: Vec<Gap> = Vec::new();
        for hour in (0..HOURS).filter(|hour| hours >> hour & 1 == 1).map(i64::from) {
            match gaps.last_mut() {
                Some(last) if last.to == hour => last.to += 1,
                _ => gaps.push(Gap { from: hour, to: hour + 1 }),
            }
        }
        gaps
    }

    #[test]
    fn gaps_in_common_are_hours_in_common() {
        for a in 0..1 << HOURS {
            for b in 0..1 << HOURS {
                assert_eq!(common(&gaps(a), &gaps(b)), gaps(a & b), "{a:b} {b:b}");
            }
        }
    }
}
