//! # What it finds
//!
//! A humidity limit that no room can mean: a fraction where per cent is meant, a relative humidity
//! of nothing or above saturation, a dew point at or above the temperature at which cooling starts.
//!
//! # Why it matters
//!
//! At 0.55 %RH the unit dries without end. A dew point above the room's temperature would be rain.
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
//! Write the limit in per cent, `55 %RH`, or as a dew point below the room's temperature.
//!
//! # Source
//!
//! By definition: relative humidity is a share of saturation, and air holds no dew point above its
//! own temperature.

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
                    .because(zone.place(at), "no dew point is above the air's own temperature");
            }
        }
    });
}

fn relative(key: LimitKey, limit: Quantity) -> Option<String> {
    let value = limit.value;
    if value > 100.0 {
        return Some(format!(
            "`{key}` is {limit}, and air holds no more than 100 %RH; write the limit that is meant"
        ));
    }
    if value <= 0.0 {
        return Some(format!(
            "`{key}` is {limit}, which no air is drier than; write the limit that is meant"
        ));
    }
    (value < 1.0).then(|| {
        let meant = Quantity { value: value * 100.0, unit: UnitOfMeasure::PercentRh };
        format!("`{key}` is {limit}, less than one per cent; if {meant} is meant, write that")
    })
}

fn dew_point(key: LimitKey, limit: Quantity, limits: &ModeLimits) -> Option<(String, syntax::NodeId)> {
    let cool = limits.value(LimitKey::CoolAbove)?;
    (limit.si() >= cool.value.si()).then(|| {
        let words = format!(
            "`{key}` is {limit}, and cooling starts at {}: the room would have to be wetter than saturated; set a lower dew point",
            cool.value
        );
        (words, cool.at)
    })
}
