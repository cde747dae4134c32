//! Where each call of a unit begins and where it ends.

use super::Locate;
use super::dew_points::on;
use crate::analysis::Analysis;
use crate::calls::{CallRule, call_rules};
use crate::unit::UnitAnalysis;
use air::{Celsius, RelativeHumidity, dew_point};
use model::{
    Call, Kind, LimitKey, Mode, ModeLimits, Name, Quantity, QuantityKind, Requirement, UnitOfMeasure,
};
use serde::Serialize;

/// The limits of a unit's calls. Temperatures are on one scale.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Ladder<P> {
    /// The scale of its temperatures: `°F`.
    pub scale: String,
    /// The room's temperatures for which dew points are told: from where heating begins to where cooling does.
    pub room: Option<LadderBand>,
    /// The calls that are wired, in the order of their table, a line a limit.
    pub lines: Vec<LadderLine<P>>,
    /// The lowest dew point that the coil can make.
    pub coil: Option<LadderMark<P>>,
    /// The lowest dew point that the owner requires.
    pub required: Option<LadderMark<P>>,
    /// Calls with a limit that no terminal of the unit takes.
    pub unwired: Vec<String>,
}

/// A limit of a call.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LadderLine<P> {
    /// The call.
    pub call: String,
    /// While the zone is so; nothing where it is the same in all modes that set it.
    pub mode: Option<String>,
    /// The limit as written: `55 %RH`.
    pub limit: String,
    /// The key it is written under.
    pub key: String,
    /// Where it is written.
    pub at: Option<P>,
    /// Whether it is made above the limit, else below.
    pub above: bool,
    /// What is wrong with it, if anything.
    pub fault: Option<LimitFault>,
    /// Whether it is a temperature, else a humidity.
    pub temperature: bool,
    /// The reading that begins the call, as it is written.
    pub begins: String,
    /// The reading that ends it.
    pub ends: String,
    /// The same on the scale: a temperature, or the dew points it means.
    pub begins_at: Option<LadderBand>,
    /// The same of its end.
    pub ends_at: Option<LadderBand>,
}

/// What makes a limit one that is not meant, or cannot be reached.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LimitFault {
    /// No room is ever so: a slip of the pen is likely.
    Implausible,
    /// No sensor reports what would begin the call.
    BeyondSensor,
}

/// From here to there; one value where both are the same.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
pub struct LadderBand {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// A value and where it is written.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct LadderMark<P> {
    /// On the scale.
    pub value: f64,
    /// Where it is written.
    pub at: Option<P>,
}

/// Relative humidities that a room may be set to, %RH: what lies outside is likely a slip of the pen.
const PLAUSIBLE: std::ops::RangeInclusive<f64> = 5.0..=95.0;

impl<P: Clone + PartialEq> Ladder<P> {
    pub(super) fn of(
        over: &Analysis<'_, '_>,
        analysis: &UnitAnalysis<'_>,
        locate: Locate<'_, P>,
    ) -> Ladder<P> {
        let mut ladder = Ladder {
            scale: String::new(),
            room: None,
            lines: Vec::new(),
            coil: None,
            required: None,
            unwired: Vec::new(),
        };
        let mut scale = UnitOfMeasure::Fahrenheit;
        if let Some(zone) = analysis.zone {
            let [heat, cool] = LimitKey::SETPOINTS;
            let mut written = zone.is.each_limits().flat_map(|l| [l.value(cool), l.value(heat)]).flatten();
            scale = written.next().map_or(scale, |q| q.value.unit);
            for setting in over.settings(zone) {
                let room = room(&setting.limits);
                let on_scale = |band: LadderBand| LadderBand {
                    low: on(scale, Celsius(band.low)),
                    high: on(scale, Celsius(band.high)),
                };
                if let Some(here) = room.map(on_scale) {
                    let wider = |known: LadderBand| LadderBand {
                        low: known.low.min(here.low),
                        high: known.high.max(here.high),
                    };
                    ladder.room = Some(ladder.room.map_or(here, wider));
                }
                for rule in call_rules(over.view, zone, &setting.limits) {
                    ladder.add(analysis, setting.mode, &rule, (scale, room), locate);
                }
            }
            let name = Name::new(zone.name());
            let asked = over.view.users::<Requirement>(Kind::Zone, &name).into_iter().filter_map(|found| {
                let limit = found.is.dew_point_at_most?;
                let value = on(scale, Celsius(limit.value.si()));
                Some(LadderMark { value, at: locate(&found.place(limit.at)) })
            });
            ladder.required = asked.min_by(|a, b| a.value.total_cmp(&b.value));
        }
        scale.symbol().clone_into(&mut ladder.scale);
        ladder.coil = analysis.unit_type.is.coil_leaving_dew_point.map(|written| LadderMark {
            value: on(scale, Celsius(written.value.si())),
            at: locate(&analysis.unit_type.place(written.at)),
        });
        ladder
    }

    fn add(
        &mut self,
        analysis: &UnitAnalysis<'_>,
        mode: Mode,
        rule: &CallRule,
        (scale, room): (UnitOfMeasure, Option<LadderBand>),
        locate: Locate<'_, P>,
    ) {
        let (Some(limit), Some((begins, ends)), Some(zone)) = (rule.limit, rule.readings(), analysis.zone)
        else {
            return;
        };
        if !is_wired(analysis, rule.call) {
            let call = rule.call.to_string();
            if !self.unwired.contains(&call) {
                self.unwired.push(call);
            }
            return;
        }
        let is_relative = limit.value.is(QuantityKind::RelativeHumidity);
        let implausible = is_relative && !PLAUSIBLE.contains(&limit.value.si());
        let at = |reading: Quantity| band(reading, scale, room).filter(|_| !implausible);
        let line = LadderLine {
            call: rule.call.to_string(),
            mode: Some(mode.name().to_owned()),
            limit: limit.value.to_string(),
            key: rule.key.to_string(),
            at: locate(&zone.place(limit.at)),
            above: rule.above,
            fault: match (implausible, rule.possible()) {
                (true, _) => Some(LimitFault::Implausible),
                (_, false) => Some(LimitFault::BeyondSensor),
                _ => None,
            },
            temperature: rule.key.is_temperature(),
            begins: begins.to_string(),
            ends: ends.to_string(),
            begins_at: at(begins),
            ends_at: at(ends),
        };
        let same = |known: &LadderLine<P>| {
            let alike = LadderLine { mode: line.mode.clone(), at: line.at.clone(), ..known.clone() };
            alike == line
        };
        match self.lines.iter_mut().find(|known| same(known)) {
            Some(known) if known.mode != line.mode => known.mode = None,
            Some(_) => {}
            None => {
                // Lines of one call stand together.
                let behind = self.lines.iter().rposition(|known| known.call == line.call);
                self.lines.insert(behind.map_or(self.lines.len(), |at| at + 1), line);
            }
        }
    }
}

/// Whether something may turn a call's terminal on.
fn is_wired(analysis: &UnitAnalysis<'_>, call: Call) -> bool {
    let signal = analysis.signal(call.name());
    signal.is_some_and(|signal| !signal.hangs_free && !signal.atoms(&analysis.wires).is_empty())
}

/// The room's temperatures under some limits, °C.
fn room(limits: &ModeLimits) -> Option<LadderBand> {
    let [heat, cool] = LimitKey::SETPOINTS.map(|key| limits.value(key).map(|q| q.value.si()));
    let (low, high) = (heat.or(cool)?, cool.or(heat)?);
    (low <= high).then_some(LadderBand { low, high })
}

/// A reading on the scale: a temperature, a dew point, or the dew points that a relative humidity means in the room.
fn band(reading: Quantity, scale: UnitOfMeasure, room: Option<LadderBand>) -> Option<LadderBand> {
    if !reading.is(QuantityKind::RelativeHumidity) {
        let value = on(scale, Celsius(reading.si()));
        return Some(LadderBand { low: value, high: value });
    }
    let humidity = RelativeHumidity::from_percent(reading.si());
    let at = |dry_bulb| dew_point(Celsius(dry_bulb), humidity).ok().map(|dew_point| on(scale, dew_point));
    let room = room?;
    Some(LadderBand { low: at(room.low)?, high: at(room.high)? })
}
