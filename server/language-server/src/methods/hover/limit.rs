//! Hover over a limit of a zone: which call it makes, and the dew point beside a humidity limit.

use super::{Look, Sheet};
use crate::markdown::code;
use air::{Celsius, RelativeHumidity};
use analysis::{call_rules, degrees_words};
use model::{
    FollowedLimit, Found, LimitKey, Mode, ModeLimits, Quantity, QuantityKind, Schedule, Thermostat, Zone,
    plain,
};

impl<'j> Look<'_, 'j> {
    /// What a limit does in its mode.
    pub(super) fn limit(&self, sheet: &mut Sheet, zone: Found<'j, Zone>, mode: &str, key: &str) {
        let (Some(mode), Some(key)) = (Mode::of(mode), LimitKey::of(key)) else { return };
        let (Some(limits), Some(call)) = (zone.is.limits(mode), key.call()) else { return };
        let words = call.plain_words();
        if let Some(followed) = limits.followed(key) {
            self.followed_limit(sheet, followed, (mode, words));
        }
        let Some(limit) = limits.value(key).map(|limit| limit.value) else { return };
        let rules = call_rules(self.view, zone, limits);
        let rule = rules.iter().find(|rule| rule.call == call);
        let Some((begins, step)) = rule.and_then(|rule| rule.begins_at().zip(rule.differential())) else {
            return;
        };
        let side = if key.above() { "above" } else { "below" };
        sheet.line(format!(
            "while {mode}, the {words} call begins {side} {begins} and ends at {limit}; {}",
            differential_words(&zone.is.thermostat, key, step)
        ));
        if !key.is_temperature() {
            at_setpoints(sheet, limits, limit);
        }
    }
}

impl Look<'_, '_> {
    /// The values of the schedule that a limit follows.
    fn followed_limit(&self, sheet: &mut Sheet, limit: &FollowedLimit, (mode, call): (Mode, &str)) {
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

/// The differential past a limit and where it comes from.
fn differential_words(thermostat: &Thermostat, key: LimitKey, step: Quantity) -> String {
    let written =
        if key.is_temperature() { thermostat.differential } else { thermostat.humidity_differential };
    let shown = format!("{} {}", plain(step.value), step.unit.symbol());
    match written {
        _ if step.value == 0.0 && written.is_none_or(|written| written.value.value != 0.0) => {
            "no differential, since one in %RH does not apply to a dew point".to_owned()
        }
        Some(written) => format!("differential {}", written.value),
        None => format!("differential {shown}, the default: common practice"),
    }
}

/// What a humidity limit means at the mode's temperatures.
fn at_setpoints(sheet: &mut Sheet, limits: &ModeLimits, limit: Quantity) {
    for key in LimitKey::SETPOINTS {
        let Some(setpoint) = limits.value(key).map(|setpoint| setpoint.value) else { continue };
        let meaning = if limit.is(QuantityKind::RelativeHumidity) {
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
