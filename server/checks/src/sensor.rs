//! A point that measures a zone: on which scale, and what the zone does at which reading.

use crate::context::Ctx;
use analysis::{Setting, call_rules};
use model::{
    Found, Point, Quantity, QuantityKind, UnitOfMeasure, View, Written, Zone, bacnet::Quality, zone,
};

/// A point that measures what a zone's thermostat goes by.
pub(crate) struct ZoneSensor<'j> {
    pub(crate) zone: Found<'j, Zone>,
    /// The scale of its readings.
    pub(crate) scale: UnitOfMeasure,
}

/// The point as a sensor; nothing where its zone, quantity or units are not known, or do not fit,
/// which other checks report.
pub(crate) fn sensor<'j>(view: &View<'j>, point: &Point) -> Option<ZoneSensor<'j>> {
    let measures = point.measures.as_ref()?;
    let units = point.scale().units.as_ref()?.value;
    let degrees = UnitOfMeasure::parse(units.name).filter(|_| units.quality == Quality::Temperature);
    let scale = match (measures.quantity.as_ref()?.value, degrees) {
        ("temperature", degrees) => degrees?,
        ("dew-point", Some(UnitOfMeasure::Fahrenheit)) => UnitOfMeasure::FahrenheitDewPoint,
        ("dew-point", Some(UnitOfMeasure::Celsius)) => UnitOfMeasure::CelsiusDewPoint,
        ("humidity", None) if is_per_cent(units.quality) => UnitOfMeasure::PercentRh,
        _ => return None,
    };
    let zone: Found<'j, Zone> = view.find(&measures.zone.as_ref()?.value)?;
    (!zone.entry.facts.broken).then_some(ZoneSensor { zone, scale })
}

/// Whether a unit can be that of a measured quantity.
pub(crate) fn fits(quantity: &str, quality: Quality) -> bool {
    match quantity {
        "temperature" | "dew-point" => quality == Quality::Temperature,
        "humidity" => is_per_cent(quality) || quality == Quality::HumidityRatio,
        "carbon-dioxide" => quality == Quality::Concentration,
        "pressure" => quality == Quality::Pressure,
        // Occupancy as a count has no unit of its own.
        _ => quality == Quality::Other,
    }
}

/// Whether a unit is a share of a hundred. Controllers without the standard's own unit for relative
/// humidity report it in plain per cent.
fn is_per_cent(quality: Quality) -> bool {
    matches!(quality, Quality::RelativeHumidity | Quality::Share)
}

/// A reading at which a call of a mode begins.
pub(crate) struct Begins {
    pub(crate) mode: &'static str,
    /// What begins: `cooling`.
    pub(crate) what: &'static str,
    /// The limit as written.
    pub(crate) limit: Written<Quantity>,
    /// The reading: the limit with the differential past it.
    pub(crate) reading: Quantity,
}

/// Differential of the calls that go by a sensor, as a step, and where it is written.
pub(crate) struct Differential {
    /// As written, or the default.
    pub(crate) step: Quantity,
    /// Where; nothing for the default.
    pub(crate) written: Option<Written<Quantity>>,
}

impl ZoneSensor<'_> {
    /// The differential past a limit on this sensor's scale; nothing where it is one of another
    /// measure, say relative humidity beside dew points.
    pub(crate) fn differential(&self) -> Option<Differential> {
        let t = &self.zone.is.thermostat;
        let temperature = matches!(self.scale, UnitOfMeasure::Fahrenheit | UnitOfMeasure::Celsius);
        let (written, default) = if temperature {
            (t.differential, Quantity { value: zone::DIFFERENTIAL_K, unit: UnitOfMeasure::Kelvin })
        } else {
            (
                t.humidity_differential,
                Quantity { value: zone::HUMIDITY_DIFFERENTIAL, unit: UnitOfMeasure::PercentRh },
            )
        };
        let step = written.map_or(default, |d| d.value);
        let fits = if temperature { step.is(QuantityKind::TemperatureStep) } else { self.same_measure(step) };
        fits.then_some(Differential { step, written })
    }

    /// The highest reading at which a call from above begins, and the lowest at which one from
    /// below does, over all modes and all values of the schedules that limits follow.
    pub(crate) fn band(&self, ctx: &Ctx<'_>) -> (Option<Begins>, Option<Begins>) {
        let temperature = matches!(self.scale, UnitOfMeasure::Fahrenheit | UnitOfMeasure::Celsius);
        let settings = ctx.settings(self.zone);
        let begins = |above: bool| {
            let rules = settings.iter().flat_map(|Setting { mode, limits }| {
                call_rules(&ctx.view, self.zone, limits).into_iter().map(|rule| (*mode, rule))
            });
            rules.filter_map(move |(mode, rule)| {
                let of_this = rule.key.is_temperature() == temperature && rule.above == above;
                let limit = rule.limit.filter(|l| of_this && self.same_measure(l.value))?;
                if rule.call.first_stage().is_some() {
                    return None;
                }
                let what = rule.call.service()?.name();
                Some(Begins { mode: mode.name(), what, limit, reading: rule.begins_at()? })
            })
        };
        let order = |a: &Begins, b: &Begins| a.reading.si().total_cmp(&b.reading.si());
        (begins(true).max_by(order), begins(false).min_by(order))
    }

    fn same_measure(&self, quantity: Quantity) -> bool {
        let own = Quantity { value: 0.0, unit: self.scale };
        [QuantityKind::Temperature, QuantityKind::RelativeHumidity, QuantityKind::DewPoint]
            .iter()
            .any(|m| own.is(*m) && quantity.is(*m))
    }
}
