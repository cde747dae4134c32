//! What a zone's sensors can report: a measuring point's range, else the thermostat's.

use crate::reasons::Because;
use model::bacnet::Quality;
use model::{Found, Kind, Name, Place, Point, Quantity, QuantityKind, Range, UnitOfMeasure, View, Zone};

/// The sensors that a zone's thermostat may go by.
pub(crate) struct Sensors {
    found: Vec<Sensor>,
}

/// The range of one sensor.
#[derive(Clone)]
pub struct Sensor {
    /// What it measures.
    pub measure: QuantityKind,
    /// The lowest it can report.
    pub low: Quantity,
    /// The highest it can report.
    pub high: Quantity,
    source: Source,
    place: Place,
    range: Range,
}

/// Where a range comes from.
#[derive(Clone)]
enum Source {
    /// The point that measures.
    Point(Name),
    /// What is written of the thermostat's own sensor.
    Thermostat,
    /// Nothing is written, and air itself has no other humidity.
    Air,
}

impl Sensor {
    /// Where its range is written, and what it says there.
    pub fn because(&self) -> Because {
        let text = match &self.source {
            Source::Point(point) => format!("`{point}` reads {}", self.range),
            Source::Thermostat => format!("The sensor reads {}", self.range),
            Source::Air => format!("Air is always within {}", self.range),
        };
        Because::new(self.place.clone(), text)
    }
}

impl Sensors {
    /// The sensors of a zone. Ranges that make no sense, or whose units do not fit, are reported
    /// already, and say nothing.
    pub(crate) fn of(view: &View<'_>, zone: Found<'_, Zone>) -> Self {
        let name = Name::new(zone.name());
        let mut found: Vec<Sensor> = Vec::new();
        for point in view.users::<Point>(Kind::Zone, &name) {
            found.extend(measuring(point, &name));
        }
        let t = &zone.is.thermostat;
        let written = [
            (&t.temperature_range, QuantityKind::Temperature),
            (&t.humidity_range, QuantityKind::RelativeHumidity),
        ];
        for (range, measure) in written {
            let Some(range) = range.as_ref().filter(|_| !found.iter().any(|s| s.measure == measure)) else {
                continue;
            };
            let fallback = (measure == QuantityKind::RelativeHumidity).then_some(UnitOfMeasure::PercentRh);
            found.extend(sensor(measure, range.value, fallback, Source::Thermostat, zone.place(range.at)));
        }
        if !found.iter().any(|s| s.measure == QuantityKind::RelativeHumidity) {
            let range = Range { low: 0.0, high: 100.0, unit: Some(UnitOfMeasure::PercentRh) };
            found.extend(sensor(QuantityKind::RelativeHumidity, range, None, Source::Air, zone.head()));
        }
        Sensors { found }
    }

    /// The sensor for limits of a measure that reaches furthest to one side. Which of several the
    /// thermostat goes by is not written, so only what none can report is beyond them.
    pub(crate) fn furthest(&self, measure: QuantityKind, above: bool) -> Option<&Sensor> {
        let fit = self.found.iter().filter(|s| s.measure == measure);
        fit.max_by(|a, b| {
            let order =
                if above { a.high.si().total_cmp(&b.high.si()) } else { b.low.si().total_cmp(&a.low.si()) };
            // Of equals the first.
            order.then(std::cmp::Ordering::Greater)
        })
    }
}

fn measuring(point: Found<'_, Point>, zone: &Name) -> Option<Sensor> {
    let measures = point.is.measures.as_ref()?;
    if measures.zone.as_ref()?.value != *zone {
        return None;
    }
    let measure = match measures.quantity.as_ref()?.value {
        "temperature" => QuantityKind::Temperature,
        "humidity" => QuantityKind::RelativeHumidity,
        "dew-point" => QuantityKind::DewPoint,
        _ => return None,
    };
    let range = point.is.scale().range.as_ref()?;
    let humidity = measure == QuantityKind::RelativeHumidity;
    let unit = match &point.is.scale().units {
        Some(units) if humidity => matches!(units.value.quality, Quality::RelativeHumidity | Quality::Share)
            .then_some(UnitOfMeasure::PercentRh),
        Some(units) => UnitOfMeasure::parse(units.value.name),
        None => humidity.then_some(UnitOfMeasure::PercentRh),
    };
    sensor(measure, range.value, unit, Source::Point(Name::new(point.name())), point.place(range.at))
}

/// A sensor with this range, if the range can be one of its measure.
fn sensor(
    measure: QuantityKind,
    range: Range,
    fallback: Option<UnitOfMeasure>,
    source: Source,
    place: Place,
) -> Option<Sensor> {
    let (low, high) = range.ends(range.unit.or(fallback)?);
    let fits = low.is(measure) || (measure == QuantityKind::DewPoint && low.is(QuantityKind::Temperature));
    // 0..1 is what a transmitter's data sheet says where per cent is meant.
    let fraction = measure == QuantityKind::RelativeHumidity && range.high <= 1.0;
    (fits && !fraction && range.low < range.high).then_some(Sensor {
        measure,
        low,
        high,
        source,
        place,
        range,
    })
}
