//! When a zone may be dried: over all units that serve it.

use crate::analysis::Analysis;
use crate::unit::UnitAnalysis;
use crate::verdict::{Gap, longest, shared};
use calendar::Period;
use model::{Found, Kind, Name, Service, Unit, UnitType, View, Zone};
use std::sync::Arc;

/// The hours of a period in which some unit can dry a zone.
pub struct ZoneDrying {
    pub period: Arc<Period>,
    /// Hours in which at least one unit can; nothing where that is not proven.
    pub hours: Option<f64>,
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
    unit_type.is_some_and(|t| t.is.service(Service::Dehumidification).is_some())
}

impl<'j> Analysis<'_, 'j> {
    /// When a zone may be dried; nothing where no unit can dry it.
    pub fn zone_drying(&self, zone: Found<'_, Zone>) -> Option<ZoneDrying> {
        let units: Option<Vec<UnitAnalysis<'j>>> =
            drying_units(self.view, zone).into_iter().map(|unit| self.unit(unit)).collect();
        let each: Vec<Option<Vec<Gap>>> =
            units?.iter().map(|unit| unit.gaps(Service::Dehumidification)).collect();
        if each.is_empty() {
            return None;
        }
        let period = self.over.clone();
        let all_proven = each.iter().all(Option::is_some);
        let gaps = shared(each.into_iter().flatten());
        // Where those that are proven leave no gap, the others do not matter.
        let Some(gaps) = gaps.filter(|gaps| all_proven || gaps.is_empty()) else {
            return Some(ZoneDrying { hours: None, longest_gap: None, period });
        };
        let idle: f64 = gaps.iter().map(Gap::hours).sum();
        Some(ZoneDrying { hours: Some(period.hours() - idle), longest_gap: longest(&gaps), period })
    }
}
