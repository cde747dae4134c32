//! Hover over a limit of a zone: which call it makes, and the dew point beside a humidity limit.

use super::{Look, Sheet};
use crate::markdown::code;
use air::{Celsius, RelativeHumidity};
use analysis::degrees_words;
use model::{FollowedLimit, Found, Limits, Measure, Measured, Quantity, Schedule, Zone, plain, zone};

impl<'j> Look<'_, 'j> {
    /// What a limit does in its mode.
    pub(super) fn limit(&self, sheet: &mut Sheet, zone: Found<'j, Zone>, mode: &str, key: &str) {
        let limits = if mode == "occupied" { &zone.is.occupied } else { &zone.is.unoccupied };
        let Some(limits) = limits else { return };
        let (limit, call, above) = match key {
            "heat-below" => (limits.heat_below, "heating", false),
            "cool-above" => (limits.cool_above, "cooling", true),
            "dehumidify-above" => (limits.dehumidify_above, "dehumidify", true),
            "humidify-below" => (limits.humidify_below, "humidify", false),
            _ => return,
        };
        if let Some(followed) = limits.followed(key) {
            self.followed_limit(sheet, followed, (mode, call));
        }
        let Some(limit) = limit.map(|limit| limit.value) else { return };
        let (begins, shown) = begins(zone.is, limit, above);
        let side = if above { "above" } else { "below" };
        sheet.line(format!(
            "while {mode}, the {call} call begins {side} {begins} and ends at {limit}; differential {shown}"
        ));
        if !limit.is(Measure::Temperature) {
            at_setpoints(sheet, limits, limit);
        }
    }
}

impl Look<'_, '_> {
    /// The values of the schedule that a limit follows.
    fn followed_limit(&self, sheet: &mut Sheet, limit: &FollowedLimit, (mode, call): (&str, &str)) {
        let name = &limit.schedule.value;
        let Some(schedule) = self.view.find::<Schedule>(name) else { return };
        let mut values: Vec<Quantity> =
            schedule.is.states.iter().filter_map(|state| state.quantity).collect();
        values.sort_by(|a, b| a.si().total_cmp(&b.si()));
        let values: Vec<String> = values.iter().map(Quantity::to_string).collect();
        sheet.line(format!(
            "while {mode}, the {call} call goes by schedule {}: {}",
            code(name),
            values.join(", ")
        ));
    }
}

/// The reading that begins the call, and the differential with where it comes from.
fn begins(zone: &Zone, limit: Quantity, above: bool) -> (Quantity, String) {
    let t = &zone.thermostat;
    let temperature = limit.is(Measure::Temperature);
    let written = if temperature { &t.differential } else { &t.humidity_differential };
    // The same as in the verdicts: a step in SI, on the scale of the limit.
    let default = if temperature { zone::DIFFERENTIAL_K } else { zone::HUMIDITY_DIFFERENTIAL };
    let si = written.as_ref().map_or(default, |w| w.value.si_step());
    let step = Quantity { value: si, unit: Measured::Kelvin }.step_in(limit.unit);
    let value = if above { limit.value + step } else { limit.value - step };
    let source = written.as_ref().map_or_else(
        || format!("{} {}, the default: common practice", plain(step), limit.unit.symbol()),
        |w| w.value.to_string(),
    );
    (Quantity { value, unit: limit.unit }, source)
}

/// What a humidity limit means at the mode's temperatures.
fn at_setpoints(sheet: &mut Sheet, limits: &Limits, limit: Quantity) {
    for (key, setpoint) in [("heat-below", limits.heat_below), ("cool-above", limits.cool_above)] {
        let Some(setpoint) = setpoint.map(|setpoint| setpoint.value) else { continue };
        let meaning = if limit.is(Measure::RelativeHumidity) {
            dew_point_at(setpoint, limit).map(|dew_point| format!("a dew point of {dew_point}"))
        } else {
            let humidity = air::relative_humidity(Celsius(setpoint.si()), Celsius(limit.si()));
            humidity.ok().map(|humidity| format!("{humidity}"))
        };
        if let Some(meaning) = meaning {
            sheet.line(format!("at {setpoint} ({key}) that is {meaning}"));
        }
    }
}

/// The dew point of air at a setpoint and a relative humidity, on the setpoint's scale.
pub(in crate::methods) fn dew_point_at(setpoint: Quantity, limit: Quantity) -> Option<String> {
    let humidity = RelativeHumidity::from_percent(limit.si());
    let dew_point = air::dew_point(Celsius(setpoint.si()), humidity).ok()?;
    Some(degrees_words(dew_point, setpoint.unit))
}
