//! What a zone's thermostat can call for, and at which readings.
//!
//! A call begins one differential past its limit and ends at the limit; a second stage does so one
//! offset further out. All thresholds are in SI: °C, %RH.

use crate::sensors::{Sensor, Sensors};
use model::{Call, Found, LimitKey, ModeLimits, Name, Quantity, QuantityKind, View, Written, Zone, zone};

/// What one call can do in one mode.
#[derive(Clone)]
pub struct CallRule {
    pub call: Call,
    /// Its limit.
    pub key: LimitKey,
    /// The limit it ends at; nothing if there is none, so that it is never made, or it follows a
    /// schedule whose value is not known.
    pub limit: Option<Written<Quantity>>,
    /// The schedule that the limit follows.
    pub follows: Option<Name>,
    /// Distance from the limit at which it ends, and at which it begins, outward; SI.
    ends: f64,
    begins: f64,
    /// Whether it is made when the reading is above its limit, or below.
    pub above: bool,
    /// Why its sensor cannot report what would begin it.
    pub beyond: Option<Beyond>,
    /// The sensor that reports nothing short of the limit.
    other_end: Option<Sensor>,
}

/// A limit that a sensor cannot report and pass.
#[derive(Clone)]
pub struct Beyond {
    /// The reading that would begin the call, in the limit's unit.
    pub needs: Quantity,
    /// Whether the reading must pass that: without a differential the call ends where it begins.
    pub past: bool,
    /// The end of the sensor's range on that side.
    pub reports: Quantity,
    pub sensor: Sensor,
}

impl Beyond {
    /// Where the call begins: `at 64 %RH`, or `past 58 °F dew point`.
    pub fn begins(&self) -> String {
        format!("{} {}", if self.past { "past" } else { "at" }, self.needs)
    }
}

/// A hair's breadth, for the rounding of °F.
const HAIR: f64 = 1e-9;

impl CallRule {
    /// Whether the call can be made at all.
    pub fn possible(&self) -> bool {
        self.limit.is_some() && self.beyond.is_none()
    }

    /// The sensor that reports nothing short of the limit, so that every reading makes the call.
    pub fn past_other_end(&self) -> Option<&Sensor> {
        self.other_end.as_ref()
    }

    /// The readings that begin the call and that end it, in the limit's unit.
    pub fn readings(&self) -> Option<(Quantity, Quantity)> {
        Some((self.reading(self.begins)?, self.reading(self.ends)?))
    }

    /// The reading at a distance from the limit.
    fn reading(&self, distance: f64) -> Option<Quantity> {
        let limit = self.limit?.value;
        let outward = in_unit_of(limit, distance);
        let value = if self.above { limit.value + outward } else { limit.value - outward };
        Some(Quantity { value, unit: limit.unit })
    }

    fn threshold(&self, distance: f64) -> Option<f64> {
        let limit = self.limit.as_ref()?.value.si();
        Some(if self.above { limit + distance } else { limit - distance })
    }

    /// Whether this call and `other`, on the other side of the same measurement, can be on at
    /// once: some reading begins the one while it holds the other. Nothing if a limit is missing.
    pub fn meets(&self, other: &CallRule) -> Option<bool> {
        let (up, down) = if self.above { (self, other) } else { (other, self) };
        if measure(up.limit?.value) != measure(down.limit?.value) {
            return Some(true);
        }
        let up_begins_while_down_holds = up.threshold(up.begins)? < down.threshold(down.ends)? - HAIR;
        let down_begins_while_up_holds = down.threshold(down.begins)? > up.threshold(up.ends)? + HAIR;
        Some(up_begins_while_down_holds || down_begins_while_up_holds)
    }

    /// The reading at which the call begins, in the limit's unit.
    pub fn begins_at(&self) -> Option<Quantity> {
        self.reading(self.begins)
    }

    /// How far apart it begins and ends, in the limit's unit.
    pub fn differential(&self) -> Option<Quantity> {
        let limit = self.limit?.value;
        Some(Quantity { value: in_unit_of(limit, self.begins - self.ends), unit: limit.unit })
    }

    fn beyond(&self, sensors: &Sensors) -> Option<Beyond> {
        let limit = self.limit?.value;
        let sensor = sensors.furthest(measure(limit)?, self.above)?;
        let begins = self.threshold(self.begins)?;
        let reports = if self.above { sensor.high } else { sensor.low };
        let short = if self.above { begins - reports.si() } else { reports.si() - begins };
        let past = self.begins - self.ends < HAIR;
        let beyond = if past { short > -HAIR } else { short > HAIR };
        let needs = self.begins_at()?;
        beyond.then(|| Beyond { needs, past, reports, sensor: sensor.clone() })
    }
}

/// A distance in SI as a step of a limit's unit.
fn in_unit_of(limit: Quantity, distance: f64) -> f64 {
    Quantity { value: distance, unit: model::UnitOfMeasure::Kelvin }.step_in(limit.unit)
}

/// The sensor that reports nothing short of a rule's limit.
fn other_end(rule: &CallRule, sensors: &Sensors) -> Option<Sensor> {
    let limit = rule.limit?.value;
    let sensor = sensors.furthest(measure(limit)?, !rule.above)?;
    let short =
        if rule.above { limit.si() < sensor.low.si() - HAIR } else { limit.si() > sensor.high.si() + HAIR };
    short.then(|| sensor.clone())
}

/// What a limit is a limit of.
fn measure(limit: Quantity) -> Option<QuantityKind> {
    [QuantityKind::Temperature, QuantityKind::RelativeHumidity, QuantityKind::DewPoint]
        .into_iter()
        .find(|m| limit.is(*m))
}

/// The rules of every call of a zone while these limits of it hold.
pub fn call_rules(view: &View<'_>, zone: Found<'_, Zone>, limits: &ModeLimits) -> Vec<CallRule> {
    rules_with(&Sensors::of(view, zone), zone.is, Some(limits))
}

/// The same of a mode that may set no limits at all.
pub(crate) fn rules_with(sensors: &Sensors, zone: &Zone, limits: Option<&ModeLimits>) -> Vec<CallRule> {
    let t = &zone.thermostat;
    let step = |q: &Option<Written<Quantity>>, default| q.as_ref().map_or(default, |q| q.value.si_step());
    let differential = step(&t.differential, zone::DIFFERENTIAL_K);
    let offset = step(&t.stage_2_offset, zone::STAGE_2_OFFSET_K);
    let rule = |call: Call| {
        let key = call.limit()?;
        let limit = limits.and_then(|limits| limits.value(key));
        let differential = if key.is_temperature() { differential } else { humidity_step(zone, limit) };
        let ends = if call.first_stage().is_some() { offset } else { 0.0 };
        let mut rule = CallRule {
            call,
            key,
            limit,
            follows: limits.and_then(|l| l.followed(key)).map(|followed| followed.schedule.value.clone()),
            ends,
            begins: ends + differential,
            above: key.above(),
            beyond: None,
            other_end: None,
        };
        rule.beyond = rule.beyond(sensors);
        rule.other_end = other_end(&rule, sensors);
        Some(rule)
    };
    Call::ALL.into_iter().filter_map(rule).collect()
}

/// The differential past a humidity limit. One in %RH says nothing certain past a dew point, so
/// that there it counts as none.
fn humidity_step(zone: &Zone, limit: Option<Written<Quantity>>) -> f64 {
    let default = Quantity { value: zone::HUMIDITY_DIFFERENTIAL, unit: model::UnitOfMeasure::PercentRh };
    let step = zone.thermostat.humidity_differential.map_or(default, |d| d.value);
    let same = limit.is_some_and(|limit| measure(limit.value) == measure(step));
    if same { step.si_step() } else { 0.0 }
}
