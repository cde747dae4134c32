//! # What it finds
//!
//! An unoccupied temperature limit tighter than the occupied one: cooling that starts lower, or
//! heating that starts higher, while nobody is there. Relative humidity is left out, since the same
//! moisture reads higher in a cooler room and lower in a warmer one; so are limits that follow a schedule.
//!
//! # Why it matters
//!
//! A setback is there to spare energy. Turned round it spends more at night than by day, and at
//! the first occupied hour the unit works the other way.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   reading-room:
//!     occupied:   {heat-below: 70 °F, cool-above: 75 °F}
//!     unoccupied: {heat-below: 72 °F, cool-above: 73 °F}
//!     #                                           ^^^^^ 73 °F while unoccupied
//!     #                        ^^^^^ 72 °F while unoccupied
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
//! Exchange the two limits, or set both alike where the space needs the same at every hour.
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
            let (side, other) = if above { ("lower", "up") } else { ("higher", "down") };
            let message = format!(
                "{does} starts at {} while unoccupied and at {} while occupied: {side} while nobody is there; set it {other}",
                night.value, day.value
            );
            out.report(About::of(noun::LIMIT, key), night.at, message)
                .because(zone.place(day.at), format!("`{key}` is {} while occupied", day.value))
                .instead([day.value.to_string()]);
        }
    }
}
