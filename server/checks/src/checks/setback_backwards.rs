//! # What it finds
//!
//! An unoccupied temperature limit tighter than the occupied one: cooling that starts lower, or heating
//! that starts higher, when nobody is there. Relative humidity is left out, because the same moisture
//! reads higher in a cooler room. So are limits that follow a schedule.
//!
//! # Why it matters
//!
//! A setback saves energy. Backwards, it spends more at night than by day, and at the first occupied
//! hour the unit works the other way.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   reading-room:
//!     occupied:   {heat-below: 70 °F, cool-above: 75 °F}
//!     unoccupied: {heat-below: 72 °F, cool-above: 73 °F}
//!     #                                           ^^^^^ 73 °F is below
//!     #                        ^^^^^ 72 °F is above
//! ```
//! ```yaml good
//! zones:
//!   reading-room:
//!     occupied:   {heat-below: 70 °F, cool-above: 75 °F}
//!     unoccupied: {heat-below: 62 °F, cool-above: 80 °F}
//! ```
//! ```yaml near
//! zones:
//!   stacks:
//!     occupied:   {heat-below: 64 °F, cool-above: 70 °F, dehumidify-above: 55 %RH}
//!     unoccupied: {heat-below: 64 °F, cool-above: 78 °F, dehumidify-above: 45 %RH}
//! ```
//!
//! # Repair
//!
//! Swap the two limits, or set them equal where the space needs the same around the clock.
//!
//! # Source
//!
//! ASHRAE Guideline 36-2021 §3.1.1.1 and §5.3.2: unoccupied setpoints are never tighter than
//! occupied ones.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use model::{Found, LimitKey, Mode, Zone};

pub(crate) static CHECK: Check = Check {
    id: "setback-backwards",
    severity: Severity::Warning,
    source: include_str!("setback_backwards.rs"),
    run: Run::Zone(run),
    repairs: &[repair::another],
};

fn run(_: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    let (Some(occupied), Some(unoccupied)) =
        (zone.is.limits(Mode::Occupied), zone.is.limits(Mode::Unoccupied))
    else {
        return;
    };
    for key in [LimitKey::CoolAbove, LimitKey::HeatBelow] {
        let (Some(day), Some(night), Some(does)) =
            (occupied.value(key), unoccupied.value(key), key.service())
        else {
            continue;
        };
        let above = key.above();
        let (d, n) = (day.value.si(), night.value.si());
        // A hair's breadth for the rounding of °F beside °C.
        if if above { n < d - 1e-9 } else { n > d + 1e-9 } {
            let (side, other) = if above { ("below", "Raise") } else { ("above", "Lower") };
            let message = format!(
                "The unoccupied `{key}` of {} is {side} the occupied one of {}. That spends more on {does} when nobody is there. {other} it.",
                night.value, day.value
            );
            out.report(About::of(noun::LIMIT, key), night.at, message)
                .because(zone.place(day.at), format!("`{key}` is {} while occupied", day.value))
                .instead([day.value.to_string()]);
        }
    }
}
