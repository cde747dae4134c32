//! The humidity that a zone must keep: the owner's requirement, or where there is none the published
//! limit.

use air::drift::HumidityLimit;
use air::{Celsius, RelativeHumidity};
use model::{Found, Kind, Mode, Name, Place, Quantity, QuantityKind, Requirement, View, Zone};

/// One limit on a zone's humidity.
pub struct HumidityCriterion {
    pub limit: HumidityLimit,
    /// The limit in words: `58 °F dew point`.
    pub words: String,
    /// Who asks for it: `the requirement`, or a document.
    pub source: String,
    /// The modes it holds in.
    pub modes: Vec<Mode>,
    /// Whether the owner requires it of this zone.
    pub required: bool,
    /// Where it is written; nothing for a published limit.
    pub place: Option<Place>,
}

/// The criteria of a zone, in the order written.
pub fn humidity_criteria(view: &View<'_>, zone: Found<'_, Zone>) -> Vec<HumidityCriterion> {
    let mut criteria = Vec::new();
    for found in view.users::<Requirement>(Kind::Zone, &Name::new(zone.name())) {
        let asked = found.is;
        for limit in [asked.dew_point_at_most, asked.relative_humidity_at_most].into_iter().flatten() {
            criteria.push(HumidityCriterion {
                limit: humidity_limit(limit.value),
                words: words(limit.value),
                source: "the requirement".to_owned(),
                modes: asked.hours.modes().to_vec(),
                required: true,
                place: Some(found.place(limit.at)),
            });
        }
    }
    if criteria.is_empty()
        && let Some(limit) = view.limit("indoor-dew-point")
    {
        criteria.push(HumidityCriterion {
            limit: humidity_limit(limit.value),
            words: words(limit.value),
            source: limit.source.to_owned(),
            modes: Mode::ALL.to_vec(),
            required: false,
            place: limit.written,
        });
    }
    criteria
}

fn words(limit: Quantity) -> String {
    let dry_bulb = limit.is(QuantityKind::Temperature);
    if dry_bulb { format!("{limit} dew point") } else { limit.to_string() }
}

/// A humidity limit in the terms of the balance.
pub(crate) fn humidity_limit(limit: Quantity) -> HumidityLimit {
    if limit.is(QuantityKind::RelativeHumidity) {
        HumidityLimit::RelativeHumidity(RelativeHumidity::from_percent(limit.si()))
    } else {
        HumidityLimit::DewPoint(Celsius(limit.si()))
    }
}
