//! What a zone's thermostat can call for, and which calls exclude each other.
//!
//! A call begins one differential past its limit and ends at the limit. So two calls on one
//! measurement can be on together exactly when some reading begins the one while it holds the
//! other; a single reading cannot be in two places. All thresholds are in SI: °C, %RH.

use crate::reasons::Because;
use logic::{Function, Var};
use model::{
    Found, Kind, Limits, Measure, Measured, Name, Point, Quantity, Range, View, Written, Zone, zone,
};

/// What the zone's schedule says.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Mode {
    /// Occupied limits hold.
    Occupied,
    /// Unoccupied limits hold.
    Unoccupied,
}

impl Mode {
    /// `occupied` or `unoccupied`.
    pub fn word(self) -> &'static str {
        match self {
            Mode::Occupied => "occupied",
            Mode::Unoccupied => "unoccupied",
        }
    }
}

/// What one call can do in one mode.
#[derive(Clone, Debug)]
pub struct CallRule {
    /// The call: `heat-1`.
    pub call: &'static str,
    /// The limit it ends at; nothing if the mode sets none, so that it is never made.
    pub limit: Option<Written<Quantity>>,
    /// Distance from the limit at which it ends, and at which it begins, outward; SI.
    ends: f64,
    begins: f64,
    /// Whether it is made when the reading is above its limit, or below.
    above: bool,
    /// Why its sensor cannot report what would begin it.
    pub beyond: Option<Beyond>,
}

/// A limit that a sensor cannot report and pass.
#[derive(Clone, Debug)]
pub struct Beyond {
    /// The reading that would begin the call, in the limit's unit.
    pub needs: Quantity,
    /// The end of the sensor's range on that side.
    pub reports: Quantity,
    /// Where the range is written.
    pub because: Because,
}

impl CallRule {
    /// Whether the call can be made at all.
    pub fn possible(&self) -> bool {
        self.limit.is_some() && self.beyond.is_none()
    }

    /// The readings that can hold the call on, as (lowest, highest), and the reading that begins it.
    fn threshold(&self, distance: f64) -> Option<f64> {
        let limit = self.limit.as_ref()?.value.si();
        Some(if self.above { limit + distance } else { limit - distance })
    }

    /// Whether this call and `other`, on the other side of the same measurement, can be on at once.
    fn meets(&self, other: &CallRule) -> Option<bool> {
        let (up, down) = if self.above { (self, other) } else { (other, self) };
        let same = |a: &Written<Quantity>, b: &Written<Quantity>| {
            [Measure::Temperature, Measure::RelativeHumidity, Measure::DewPoint]
                .iter()
                .any(|m| a.value.is(*m) && b.value.is(*m))
        };
        if !same(up.limit.as_ref()?, down.limit.as_ref()?) {
            return Some(true);
        }
        let up_begins_while_down_holds = up.threshold(up.begins)? < down.threshold(down.ends)?;
        let down_begins_while_up_holds = down.threshold(down.begins)? > up.threshold(up.ends)?;
        Some(up_begins_while_down_holds || down_begins_while_up_holds)
    }
}

/// The rules of every call of a zone in one mode.
pub fn call_rules(view: &View<'_>, zone: Found<'_, Zone>, mode: Mode) -> Vec<CallRule> {
    let limits = match mode {
        Mode::Occupied => zone.is.occupied.as_ref(),
        Mode::Unoccupied => zone.is.unoccupied.as_ref(),
    };
    let t = &zone.is.thermostat;
    let step = |q: &Option<Written<Quantity>>, default| q.as_ref().map_or(default, |q| q.value.si_step());
    let differential = step(&t.differential, zone::DIFFERENTIAL_K);
    let offset = step(&t.stage_2_offset, zone::STAGE_2_OFFSET_K);
    let humid = step(&t.humidity_differential, zone::HUMIDITY_DIFFERENTIAL);
    let get = |field: fn(&Limits) -> &Option<Written<Quantity>>| limits.and_then(|l| *field(l));
    let sensors = Sensors::of(view, zone);
    let rule = |call, limit: Option<Written<Quantity>>, ends: f64, differential: f64, above| {
        let mut rule = CallRule { call, limit, ends, begins: ends + differential, above, beyond: None };
        rule.beyond = sensors.beyond(&rule);
        rule
    };
    let (heat, cool) = (get(|l| &l.heat_below), get(|l| &l.cool_above));
    vec![
        rule("heat-1", heat, 0.0, differential, false),
        rule("heat-2", heat, offset, differential, false),
        rule("cool-1", cool, 0.0, differential, true),
        rule("cool-2", cool, offset, differential, true),
        rule("humidify", get(|l| &l.humidify_below), 0.0, humid, false),
        rule("dehumidify", get(|l| &l.dehumidify_above), 0.0, humid, true),
    ]
}

/// The states that the calls `vars` of one zone may take together.
pub(crate) fn allowed(rules: &[CallRule], vars: &[(&'static str, Var)]) -> Function {
    let mut all = Function::constant(true);
    let rule = |call: &str| rules.iter().find(|r| r.call == call);
    for (i, (call, var)) in vars.iter().enumerate() {
        let on = Function::var(*var);
        if rule(call).is_some_and(|r| !r.possible()) {
            all = all.and(&on.not());
        }
        for (other, other_var) in vars.iter().skip(i + 1) {
            let other_on = Function::var(*other_var);
            let pair = match (stage(call), stage(other)) {
                ((a, 1), (b, 2)) if a == b => Some(other_on.implication(&on)),
                ((a, 2), (b, 1)) if a == b => Some(on.implication(&other_on)),
                _ => match (rule(call), rule(other)) {
                    (Some(a), Some(b)) if a.above != b.above && measured(call) == measured(other) => {
                        (a.meets(b) == Some(false)).then(|| on.and(&other_on).not())
                    }
                    _ => None,
                },
            };
            if let Some(pair) = pair {
                all = all.and(&pair);
            }
        }
    }
    all
}

fn stage(call: &str) -> (&str, u8) {
    match call.rsplit_once('-') {
        Some((name, "1")) => (name, 1),
        Some((name, "2")) => (name, 2),
        _ => (call, 0),
    }
}

/// Which of the zone's two measurements a call goes by.
fn measured(call: &str) -> bool {
    matches!(call, "humidify" | "dehumidify")
}

/// What the zone's sensors can report: a measuring point's range, else the thermostat's.
struct Sensors {
    temperature: Option<(Quantity, Quantity, Because)>,
    humidity: Option<(Quantity, Quantity, Because)>,
    dew_point: Option<(Quantity, Quantity, Because)>,
}

impl Sensors {
    fn of(view: &View<'_>, zone: Found<'_, Zone>) -> Self {
        let name = Name::new(zone.name());
        let points = view.users::<Point>(Kind::Zone, &name);
        let measuring = |quantity: &str, fallback| {
            points.iter().find_map(|point| {
                let measures = point.is.measures.as_ref()?;
                let zone_named = measures.zone.as_ref().is_some_and(|z| z.value == name);
                if !zone_named || measures.quantity.as_ref()?.value != quantity {
                    return None;
                }
                let range = point.is.range.as_ref()?;
                let unit = point.is.units.as_ref().and_then(|u| Measured::parse(u.value.name)).unwrap_or(fallback);
                let text = format!("`{}` reports {}", point.name(), range.value);
                ends(&range.value, unit).map(|(low, high)| (low, high, Because::new(point.place(range.at), text)))
            })
        };
        let written = |range: &Option<Written<Range>>, fallback| {
            let range = range.as_ref()?;
            let text = format!("the sensor reports {}", range.value);
            ends(&range.value, fallback).map(|(low, high)| (low, high, Because::new(zone.place(range.at), text)))
        };
        let t = &zone.is.thermostat;
        Sensors {
            temperature: measuring("temperature", Measured::Fahrenheit)
                .or_else(|| written(&t.temperature_range, Measured::Fahrenheit)),
            humidity: measuring("humidity", Measured::PercentRh)
                .or_else(|| written(&t.humidity_range, Measured::PercentRh)),
            dew_point: measuring("dew-point", Measured::FahrenheitDewPoint),
        }
    }

    fn beyond(&self, rule: &CallRule) -> Option<Beyond> {
        let limit = rule.limit.as_ref()?.value;
        let sensor = if limit.is(Measure::Temperature) {
            &self.temperature
        } else if limit.is(Measure::RelativeHumidity) {
            &self.humidity
        } else {
            &self.dew_point
        };
        let (low, high, because) = sensor.as_ref()?;
        let begins = rule.threshold(rule.begins)?;
        let step = Quantity { value: rule.begins, unit: limit.unit };
        let outward = in_steps_of(limit, step.value);
        let needs = Quantity {
            value: if rule.above { limit.value + outward } else { limit.value - outward },
            unit: limit.unit,
        };
        let reports = if rule.above { *high } else { *low };
        // A hair's breadth for the rounding of °F.
        let past = if rule.above { begins > reports.si() + 1e-9 } else { begins < reports.si() - 1e-9 };
        past.then(|| Beyond { needs, reports, because: because.clone() })
    }
}

/// A distance in SI on the scale of a limit's unit.
fn in_steps_of(limit: Quantity, si: f64) -> f64 {
    match limit.unit {
        Measured::Fahrenheit | Measured::FahrenheitDewPoint => si * 1.8,
        _ => si,
    }
}

/// The ends of a range that runs the right way.
fn ends(range: &Range, fallback: Measured) -> Option<(Quantity, Quantity)> {
    (range.low < range.high).then(|| range.ends(fallback))
}
