//! # What it finds
//!
//! A zone whose dehumidify call is wired but never made: the limit plus its differential is past what
//! the humidity sensor can read, or there is no limit. Where a requirement says `always`, each mode
//! needs a limit.
//!
//! # Why it matters
//!
//! The thermostat waits for a reading that cannot come, and the unit waits for a call that is never
//! made.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   conservation-lab:
//!     occupied: {cool-above: 75 °F, dehumidify-above: 98 %RH}
//!     #                                               ^^^^^^ starts at 101 %RH
//!     thermostat: {humidity-differential: 3 %RH, sensor-range: {humidity: 0..100 %RH}}
//! points:
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: conservation-lab}}
//! ```
//! ```yaml bad
//! zones:
//!   stacks:
//! # ^^^^^^ has no `dehumidify-above`
//!     occupied: {cool-above: 75 °F}
//! points:
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! ```
//! ```yaml bad
//! zones:
//!   stacks:
//!     schedule: staff-hours
//!     occupied: {cool-above: 75 °F, dehumidify-above: 55 %RH}
//!     unoccupied: {cool-above: 80 °F}
//!    #^^^^^^^^^^ `stacks` has no `dehumidify-above` while unoccupied, so its dehumidify call is never made then
//! points:
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//! ```
//! ```yaml good
//! zones:
//!   conservation-lab:
//!     occupied: {cool-above: 75 °F, dehumidify-above: 55 %RH}
//!     thermostat: {humidity-differential: 3 %RH, sensor-range: {humidity: 0..100 %RH}}
//! points:
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: conservation-lab}}
//! ```
//! ```yaml near
//! zones:
//!   conservation-lab:
//!     occupied: {cool-above: 75 °F, dehumidify-above: 97 %RH}
//!     thermostat: {humidity-differential: 3 %RH, sensor-range: {humidity: 0..100 %RH}}
//!   staff-office:
//!     occupied: {cool-above: 75 °F}
//! points:
//!   HP3-DEHUM: {driven-by: {call: dehumidify, zone: conservation-lab}}
//! ```
//!
//! # Repair
//!
//! Set a limit that the sensor can read, differential included.
//!
//! # Source
//!
//! Common practice, no source, for a call that starts one differential past its limit.

use crate::about::{About, noun};
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{CallFault, call_faults, requirements};
use crate::repair::{self, Proposal};
use crate::settings;
use analysis::Mode;
use model::{Found, Kind, LimitKey, ModeLimits, Name, Quantity, Requirement, UnitOfMeasure, Zone};

/// Limits to begin with. Common practice, no source; the dew point lies below the ventilation standard's.
const USUAL_LIMITS: [(f64, UnitOfMeasure); 2] =
    [(55.0, UnitOfMeasure::PercentRh), (58.0, UnitOfMeasure::FahrenheitDewPoint)];

pub(crate) static CHECK: Check = Check {
    id: "dehumidification-call-never-made",
    severity: Severity::Error,
    source: include_str!("dehumidification_call_never_made.rs"),
    run: Run::Zone(run),
    repairs: &[repair::facts, limit],
};

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    for fault in call_faults(ctx, zone) {
        match fault {
            CallFault::Beyond(mode, rule) => {
                let (Some(limit), Some(beyond)) = (rule.limit, &rule.beyond) else {
                    continue;
                };
                let message = format!(
                    "The dehumidify call is never made while {}: it starts {}, but the sensor reads at most {}. Set a lower limit.",
                    mode.name(),
                    beyond.begins(),
                    beyond.reports
                );
                let because = beyond.sensor.because();
                let finding = out
                    .report(About::of(noun::MODE, mode.name()), limit.at, message)
                    .because(because.place, because.text);
                if let Some(schedule) = &rule.follows {
                    settings::because(ctx, finding, schedule, limit.value);
                }
            }
            CallFault::NoLimit(modes) => no_limit(ctx, zone, &modes, out),
        }
    }
}

fn no_limit(ctx: &Ctx<'_>, zone: Found<'_, Zone>, modes: &[Mode], out: &mut Sink) {
    let (name, key) = (zone.name(), LimitKey::DehumidifyAbove);
    let about = modes.iter().fold(About::entry(), |about, mode| about.and(noun::MODE, mode.name()));
    let [mode] = modes else {
        let message = format!("`{name}` has no `{key}`, so its dehumidify call is never made. Set a limit.");
        out.report(about, zone.entry.part.key_node(), message);
        return;
    };
    let at = zone.is.limits(*mode).map_or(zone.entry.part.key_node(), |limits| limits.at);
    let message = format!(
        "`{name}` has no `{key}` while {0}, so its dehumidify call is never made then. The requirement is `always`. Set a limit.",
        mode.name()
    );
    let finding = out.report(about, at, message);
    for (requirement, demand) in requirements(&ctx.view, &Name::new(name)) {
        finding.because(requirement.place(demand.at), "The requirement is `dehumidification: always`");
    }
}

/// The limits that requirements state, or else usual ones, in each mode that sets none.
fn limit(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let Some(zone) = ctx.view.as_found::<Zone>(ctx.id) else { return };
    let requirements = ctx.view.users::<Requirement>(Kind::Zone, &Name::new(zone.name()));
    let required = requirements.iter().filter_map(|r| r.is.relative_humidity_at_most).map(|most| most.value);
    let mut limits: Vec<(Quantity, &str)> =
        required.map(|most| (most, ", as the requirement says")).collect();
    if limits.is_empty() {
        let usual = ", a usual limit (the design engineer decides)";
        limits.extend(USUAL_LIMITS.map(|(value, unit)| (Quantity { value, unit }, usual)));
    }
    // Without a schedule a zone is always occupied.
    let modes = Mode::ALL.into_iter().take(if zone.is.schedule.is_some() { 2 } else { 1 });
    let without = modes.filter(|mode| !zone.is.limits(*mode).is_some_and(ModeLimits::dries));
    for mode in without {
        let set = |(value, why)| repair::set_limit(zone, mode, LimitKey::DehumidifyAbove, value, why);
        out.extend(limits.iter().copied().filter_map(set));
    }
}
