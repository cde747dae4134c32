//! The zone's room and unit in the terms of the balance, with all that is taken for granted.

use crate::unit::UnitAnalysis;
use air::drift::{self as balance, ASSUMPTIONS, Assumption};
use air::{AirChangesPerHour, Celsius, Metre, SquareMetre};
use model::{Found, Quantity, Service, Written, Zone};

/// A room, and what its numbers are.
pub struct Room {
    /// As the balance takes it.
    pub air: balance::ZoneModel,
    /// Every number it rests on, in a fixed order.
    pub taken: Vec<Taken>,
}

/// One number that a prediction rests on.
#[derive(Clone, PartialEq, Debug)]
pub struct Taken {
    /// What it is.
    pub name: &'static str,
    /// The value with its unit.
    pub value: String,
    /// Where it comes from: `the zone`, a unit type, or the source of a default.
    pub source: String,
    /// Whether it is a default that the job does not set.
    pub default: bool,
}

const NO_SOURCE: &str = "common practice, no source";

/// Floor area where a zone says none: 1000 ft².
const FLOOR_AREA: Assumption = Assumption { name: "floor area", value: 92.9, unit: "m²", source: NO_SOURCE };
/// Ceiling height where a zone says none: 9 ft.
const CEILING: Assumption = Assumption { name: "ceiling height", value: 2.74, unit: "m", source: NO_SOURCE };
/// People where a zone says none.
const PEOPLE: Assumption = Assumption {
    name: "people while occupied",
    value: 0.0,
    unit: "",
    source: "none, unless the zone says so",
};

/// The room of a zone that these units serve.
pub fn room(zone: Found<'_, Zone>, units: &[UnitAnalysis<'_>]) -> Room {
    let space = zone.is.space();
    let mut taken = Vec::new();
    let area = of_zone(&mut taken, FLOOR_AREA, space.floor_area);
    let ceiling = of_zone(&mut taken, CEILING, space.ceiling);
    match &space.people {
        Some(people) => taken.push(Taken::stated(PEOPLE.name, model::plain(people.value), "the zone")),
        None => taken.push(Taken::default(&PEOPLE)),
    }
    let mut air = balance::ZoneModel::of_room(SquareMetre(area), Metre(ceiling));
    let infiltration = of_zone(&mut taken, balance::INFILTRATION, space.infiltration);
    air.infiltration = AirChangesPerHour(infiltration);
    let coil = lowest_coil(units);
    for assumption in ASSUMPTIONS.iter().filter(|a| a.name != balance::INFILTRATION.name) {
        match &coil {
            Some((coil, of)) if assumption.name == balance::COIL_DEW_POINT.name => {
                air.unit.coil_dew_point = Celsius(coil.si());
                // Air does not leave a coil colder than its dew point.
                air.unit.coil_dry_bulb = Celsius(air.unit.coil_dry_bulb.0.max(coil.si()));
                taken.push(Taken::stated(assumption.name, coil.to_string(), &format!("unit type {of}")));
            }
            _ => taken.push(Taken::default(assumption)),
        }
    }
    Room { air, taken }
}

/// The lowest dew point that a coil of the units which dry the zone can make, and whose.
fn lowest_coil(units: &[UnitAnalysis<'_>]) -> Option<(Quantity, String)> {
    let drying = units.iter().filter(|unit| unit.service(Service::Dehumidification).is_some());
    let coils = drying.filter_map(|unit| {
        let coil = unit.unit_type.is.coil_leaving_dew_point?;
        Some((coil.value, unit.unit_type.name().to_owned()))
    });
    coils.min_by(|a, b| a.0.si().total_cmp(&b.0.si()))
}

fn of_zone(taken: &mut Vec<Taken>, assumption: Assumption, stated: Option<Written<Quantity>>) -> f64 {
    match stated {
        Some(stated) => {
            taken.push(Taken::stated(assumption.name, stated.value.to_string(), "the zone"));
            stated.value.si()
        }
        None => {
            taken.push(Taken::default(&assumption));
            assumption.value
        }
    }
}

impl Taken {
    fn stated(name: &'static str, value: String, source: &str) -> Taken {
        Taken { name, value, source: source.to_owned(), default: false }
    }

    fn default(assumption: &Assumption) -> Taken {
        let number = model::plain(assumption.value);
        let unit = assumption.unit;
        let space = if unit.is_empty() || unit.starts_with('/') { "" } else { " " };
        Taken {
            name: assumption.name,
            value: format!("{number}{space}{unit}"),
            source: assumption.source.to_owned(),
            default: true,
        }
    }
}
