//! # What it finds
//!
//! A mode whose limits call for humidifying and dehumidifying at the same reading: the upper limit is
//! not above the lower one.
//!
//! # Why it matters
//!
//! The humidifier feeds the dehumidifier day and night.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   conservation-lab:
//!     occupied: {humidify-below: 55 %RH, dehumidify-above: 50 %RH}
//!     #                                                    ^^^^^^ drying starts above 50 %RH
//! ```
//! ```yaml good
//! zones:
//!   conservation-lab:
//!     occupied: {humidify-below: 40 %RH, dehumidify-above: 55 %RH}
//! ```
//! ```yaml bad
//! zones:
//!   conservation-lab:
//!     occupied: {heat-below: 70 °F, cool-above: 75 °F, humidify-below: 60 %RH, dehumidify-above: 55 °F dew point}
//!     #                                                                                          ^^^^^^^^^^^^^^^ 60 %RH at 75 °F is a dew point of 60.2 °F
//! ```
//! ```yaml bad
//! zones:
//!   conservation-lab:
//!     occupied: {humidify-below: 50 %RH, dehumidify-above: 50 %RH}
//!     #                                                    ^^^^^^ While occupied, drying starts above 50 %RH but humidifying starts below 50 %RH
//! ```
//! ```yaml near
//! zones:
//!   conservation-lab:
//!     occupied:   {humidify-below: 40 %RH, dehumidify-above: 45 %RH}
//!     unoccupied: {humidify-below: 50 %RH, dehumidify-above: 58 °F dew point}
//! ```
//!
//! # Repair
//!
//! Set the upper limit above the lower one, with a differential of each between them.
//!
//! # Source
//!
//! ASHRAE 90.1-2019 §6.4.3.6 (from memory): not both at once. Local code and the design engineer
//! decide.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::space_air::corners;
use crate::{repair, settings};
use analysis::{Setting, call_rules};
use model::{Call, Found, LimitKey, Quantity, QuantityKind, Written, Zone};

pub(crate) static CHECK: Check = Check {
    id: "humidify-and-dehumidify-together",
    severity: Severity::Error,
    source: include_str!("humidify_and_dehumidify_together.rs"),
    run: Run::Zone(run),
    repairs: &[repair::exchange],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    settings::each(ctx, zone, out, |setting, out| {
        let limits = &setting.limits;
        let Some((low, high)) =
            limits.value(LimitKey::HumidifyBelow).zip(limits.value(LimitKey::DehumidifyAbove))
        else {
            return;
        };
        let of = |limit: Written<Quantity>| limit.value.is(QuantityKind::RelativeHumidity);
        if of(low) != of(high) {
            return unlike(setting, zone, low, high, out);
        }
        if high.value.si() > low.value.si() {
            return;
        }
        let rules = call_rules(&ctx.view, zone, limits);
        let rule = |call: Call| rules.iter().find(|r| r.call == call);
        let meet =
            rule(Call::Humidify).zip(rule(Call::Dehumidify)).and_then(|(a, b)| a.meets(b)) == Some(true);
        let both = if meet { "Both run at once." } else { "One undoes the other." };
        let message = format!(
            "While {}, drying starts above {} but humidifying starts below {}. {both} Set the upper limit above the lower.",
            setting.mode.name(),
            high.value,
            low.value
        );
        out.report(About::of(noun::MODE, setting.mode.name()), high.at, message)
            .because(zone.place(low.at), format!("Humidifying starts below {}", low.value));
    });
}

/// A relative humidity against a dew point: they meet at one end of the mode's temperatures, if at any.
fn unlike(
    setting: &Setting,
    zone: Found<'_, Zone>,
    low: Written<Quantity>,
    high: Written<Quantity>,
    out: &mut Sink,
) {
    let relative = if low.value.is(QuantityKind::RelativeHumidity) { low } else { high };
    let corners = corners(&setting.limits, relative.value);
    let meet = if relative.at == low.at {
        corners.first().filter(|corner| corner.dew_point.0 > high.value.si())
    } else {
        corners.last().filter(|corner| corner.dew_point.0 < low.value.si())
    };
    let Some(corner) = meet else { return };
    let message = format!(
        "While {}, drying starts above {} but humidifying starts below {}. Both run at once: {}. Set the upper limit above the lower.",
        setting.mode.name(),
        high.value,
        low.value,
        corner.words(relative.value)
    );
    let finding = out.report(About::of(noun::MODE, setting.mode.name()), high.at, message);
    finding.because(zone.place(low.at), format!("Humidifying starts below {}", low.value));
    if let Some((key, setpoint)) = &corner.setpoint {
        finding.because(zone.place(setpoint.at), format!("`{key}` is {}", setpoint.value));
    }
}
