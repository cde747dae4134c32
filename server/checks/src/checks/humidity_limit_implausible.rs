//! # What it finds
//!
//! A humidity limit that no room can have: a fraction instead of percent, a relative humidity of zero
//! or above 100 %, or a dew point at or above the temperature at which cooling starts.
//!
//! # Why it matters
//!
//! At 0.55 %RH the unit dries without end. Air with a dew point above its own temperature would be fog.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {cool-above: 70 °F, dehumidify-above: 0.55 %RH}
//!     #                                               ^^^^^^^^ 55 %RH
//! ```
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {cool-above: 70 °F, dehumidify-above: 72 °F dew point}
//!     #                                               ^^^^^^^^^^^^^^^ cooling starts at 70 °F
//! ```
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {cool-above: 70 °F, dehumidify-above: 120 %RH, humidify-below: 0 %RH}
//!     #                                               ^^^^^^^ `dehumidify-above` cannot be 120 %RH: air holds at most 100 %RH
//!     #                                                                        ^^^^^ `humidify-below` cannot be 0 %RH: no air is that dry
//! ```
//! ```yaml good
//! zones:
//!   stacks:
//!     occupied: {cool-above: 70 °F, dehumidify-above: 55 %RH}
//! ```
//! ```yaml near
//! zones:
//!   stacks:
//!     occupied:   {cool-above: 70 °F, dehumidify-above: 98 %RH}
//!     unoccupied: {dehumidify-above: 72 °F dew point}
//! ```
//!
//! # Repair
//!
//! Write the limit in percent, `55 %RH`, or as a dew point below the temperature of the room.
//!
//! # Source
//!
//! By definition: relative humidity is a share of saturation, and no air has a dew point above its own
//! temperature.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::{repair, settings};
use model::{Found, LimitKey, ModeLimits, Quantity, QuantityKind, UnitOfMeasure, Zone};

pub(crate) static CHECK: Check = Check {
    id: "humidity-limit-implausible",
    severity: Severity::Error,
    source: include_str!("humidity_limit_implausible.rs"),
    run: Run::Zone(run),
    repairs: &[repair::another],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    settings::each(ctx, zone, out, |setting, out| {
        let limits = &setting.limits;
        for (key, limit) in
            [LimitKey::DehumidifyAbove, LimitKey::HumidifyBelow].map(|key| (key, limits.value(key)))
        {
            let Some(limit) = limit else { continue };
            let about = About::of(noun::MODE, setting.mode.name()).and(noun::LIMIT, key);
            if limit.value.is(QuantityKind::RelativeHumidity) {
                if let Some(wrong) = relative(key, limit.value) {
                    let share = limit.value.value > 0.0 && limit.value.value < 1.0;
                    let meant = Quantity { value: limit.value.value * 100.0, ..limit.value };
                    out.report(about, limit.at, wrong).instead(share.then(|| meant.to_string()));
                }
            } else if let Some((wrong, at)) = dew_point(key, limit.value, limits) {
                out.report(about, limit.at, wrong)
                    .because(zone.place(at), "No air has a dew point above its own temperature");
            }
        }
    });
}

fn relative(key: LimitKey, limit: Quantity) -> Option<String> {
    let value = limit.value;
    if value > 100.0 {
        return Some(format!(
            "`{key}` cannot be {limit}: air holds at most 100 %RH. Write the limit you mean."
        ));
    }
    if value <= 0.0 {
        return Some(format!("`{key}` cannot be {limit}: no air is that dry. Write the limit you mean."));
    }
    (value < 1.0).then(|| {
        let meant = Quantity { value: value * 100.0, unit: UnitOfMeasure::PercentRh };
        format!("`{key}` cannot be {limit}: no air is that dry. Did you mean `{meant}`?")
    })
}

fn dew_point(key: LimitKey, limit: Quantity, limits: &ModeLimits) -> Option<(String, syntax::NodeId)> {
    let cool = limits.value(LimitKey::CoolAbove)?;
    (limit.si() >= cool.value.si()).then(|| {
        let words = format!(
            "`{key}` cannot be {limit}: no room is that humid when cooling starts at {}. Set a lower dew point.",
            cool.value
        );
        (words, cool.at)
    })
}
