//! Published limits that setpoints are held against, and the values a site puts in their place.

use super::reader::Reader;
use crate::fields::{Field, ValueShape, free};
use crate::names::Written;
use crate::quantity::{Quantity, QuantityKind, UnitOfMeasure};
use syntax::NodeId;

/// A limit that a document publishes.
#[derive(Debug)]
pub struct PublishedLimit {
    /// Its key in `site: {limits: …}`.
    pub name: &'static str,
    /// The published value; nothing where it holds only for those who ask for it.
    pub value: Option<Quantity>,
    /// Document, edition and clause.
    pub source: &'static str,
    /// What its value measures.
    measures: &'static [QuantityKind],
    /// A value as one would write it.
    example: &'static str,
}

const fn quantity(value: f64, unit: UnitOfMeasure) -> Option<Quantity> {
    Some(Quantity { value, unit })
}

/// Every limit a site may adopt another edition of, or a local value. Editions whose figures are
/// given from memory say so in the pages of the checks that use them.
pub const PUBLISHED: &[PublishedLimit] = &[
    PublishedLimit {
        name: "indoor-dew-point",
        value: quantity(60.0, UnitOfMeasure::Fahrenheit),
        source: "ASHRAE 62.1-2022 §5.12",
        measures: &[QuantityKind::Temperature, QuantityKind::DewPoint],
        example: "60 °F",
    },
    PublishedLimit {
        name: "overnight-hours",
        value: quantity(12.0, UnitOfMeasure::Hour),
        source: "ASHRAE 62.1-2022 §5.12, exception",
        measures: &[QuantityKind::Duration],
        example: "12 h",
    },
    PublishedLimit {
        name: "overnight-relative-humidity",
        value: quantity(65.0, UnitOfMeasure::PercentRh),
        source: "ASHRAE 62.1-2022 §5.12, exception",
        measures: &[QuantityKind::RelativeHumidity],
        example: "65 %RH",
    },
    PublishedLimit {
        name: "occupied-relative-humidity",
        value: None,
        source: "ASHRAE 62.1-2016",
        measures: &[QuantityKind::RelativeHumidity],
        example: "65 %RH",
    },
    PublishedLimit {
        name: "surface-humidity",
        value: quantity(80.0, UnitOfMeasure::PercentRh),
        source: "ASHRAE 160-2009",
        measures: &[QuantityKind::RelativeHumidity],
        example: "80 %RH",
    },
    PublishedLimit {
        name: "deadband",
        value: quantity(5.0, UnitOfMeasure::Fahrenheit),
        source: "ASHRAE 90.1-2016 §6.4.3.1.2",
        measures: &[QuantityKind::Temperature],
        example: "5 °F",
    },
];

const fn or_none(quantity: &'static [ValueShape]) -> ValueShape {
    ValueShape::Either(quantity)
}

pub(crate) const FIELDS: &[Field] = &[
    free(
        "indoor-dew-point",
        or_none(&[ValueShape::Quantity("60 °F"), NONE]),
        "the highest dew point of a cooled space; 60 °F by ASHRAE 62.1-2022 when left out",
    ),
    free(
        "overnight-hours",
        or_none(&[ValueShape::Quantity("12 h"), NONE]),
        "the longest unoccupied stretch in which `overnight-relative-humidity` is enough; 12 h when left out",
    ),
    free(
        "overnight-relative-humidity",
        or_none(&[ValueShape::Quantity("65 %RH"), NONE]),
        "what is enough in place of the dew point through a short unoccupied stretch; 65 %RH when left out",
    ),
    free(
        "occupied-relative-humidity",
        or_none(&[ValueShape::Quantity("65 %RH"), NONE]),
        "the highest relative humidity while occupied; for those under ASHRAE 62.1-2016, which says 65 %RH",
    ),
    free(
        "surface-humidity",
        or_none(&[ValueShape::Quantity("80 %RH"), NONE]),
        "the 30-day mean of the surface humidity from which mold may grow; 80 %RH by ASHRAE 160-2009 when left out",
    ),
    free(
        "deadband",
        or_none(&[ValueShape::Quantity("5 °F"), NONE]),
        "the least difference between a heating and a cooling setpoint; 5 °F (3 °C) by ASHRAE 90.1-2016 when left out",
    ),
];

const NONE: ValueShape = ValueShape::Word(&["none"]);

/// The limit of a name.
pub fn published(name: &str) -> Option<&'static PublishedLimit> {
    PUBLISHED.iter().find(|limit| limit.name == name)
}

/// A limit as the site has it: its key, and the value, which is nothing for `none`.
pub type OwnLimit = (&'static str, Written<Option<Quantity>>);

pub(super) fn lower(r: &mut Reader<'_>, node: NodeId) -> Vec<OwnLimit> {
    let fields = r.fields(node, FIELDS, "`limits`");
    let mut limits = Vec::new();
    for (key, _, at) in fields.iter() {
        let Some(limit) = published(key) else { continue };
        let value = if r.part.scalar(at) == Some("none") {
            Some(None)
        } else {
            r.quantity(at, limit.measures, limit.example).map(|q| Some(q.value))
        };
        limits.extend(value.map(|value| (limit.name, Written::new(value, at))));
    }
    limits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_tables_are_one() {
        let keys: Vec<&str> = FIELDS.iter().map(|field| field.key).collect();
        let names: Vec<&str> = PUBLISHED.iter().map(|limit| limit.name).collect();
        assert_eq!(keys, names);
        for limit in PUBLISHED {
            assert!(Quantity::parse(limit.example, limit.measures).is_ok(), "{}", limit.name);
        }
    }
}
