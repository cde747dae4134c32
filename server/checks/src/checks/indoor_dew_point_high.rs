//! # What it finds
//!
//! A humidity limit that allows a dew point above the ventilation standard's limit for cooled spaces: a
//! relative humidity at the mode's own setpoints, at the worse end of the band between them, or a dew
//! point itself. While unoccupied nothing is reported where no unoccupied stretch of the zone's
//! schedule is longer than `overnight-hours` and the limit is at most `overnight-relative-humidity`:
//! the standard exempts that.
//!
//! # Why it matters
//!
//! Relative humidity says little without a temperature. 60 %RH is a dew point of 60 °F at 75 °F, but 70
//! °F under an unoccupied setpoint of 85 °F. The thermostat is satisfied while ducts and books grow
//! mold.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   reading-room:
//!     schedule: staff-hours
//!     occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 55 %RH}
//!     unoccupied: {heat-below: 60 °F, cool-above: 85 °F, dehumidify-above: 60 %RH}
//!     #                                                                    ^^^^^^ 69.6 °F
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! ```
//! ```yaml good
//! zones:
//!   reading-room:
//!     schedule: staff-hours
//!     occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 55 %RH}
//!     unoccupied: {heat-below: 60 °F, cool-above: 85 °F, dehumidify-above: 58 °F dew point}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! ```
//! ```yaml near
//! # The same limit is fine under a setpoint of 72 °F.
//! zones:
//!   reading-room:
//!     schedule: staff-hours
//!     unoccupied: {heat-below: 60 °F, cool-above: 72 °F, dehumidify-above: 60 %RH}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! ```
//! ```yaml near
//! # Closed for no more than 12 hours at a time: the standard exempts that up to 65 %RH.
//! zones:
//!   loading-bay:
//!     schedule: bay-hours
//!     unoccupied: {cool-above: 85 °F, dehumidify-above: 60 %RH}
//! schedules:
//!   bay-hours: {values: occupancy, default: unoccupied, week: {mon-sun: 07:00-19:00}}
//! ```
//! ```yaml bad
//! # The edition of 2016 limits the relative humidity while occupied instead.
//! site:
//!   limits: {indoor-dew-point: none, occupied-relative-humidity: 65 %RH}
//! zones:
//!   reading-room:
//!     occupied: {cool-above: 74 °F, dehumidify-above: 70 %RH}
//!     #                                               ^^^^^^ at most 65 %RH
//! ```
//! ```yaml bad
//! site:
//!   limits: {indoor-dew-point: 57 °F}
//! zones:
//!   reading-room:
//!     occupied: {cool-above: 74 °F, dehumidify-above: 58 °F dew point}
//!     #                                               ^^^^^^^^^^^^^^^ While occupied, the limit is 58 °F dew point
//! ```
//!
//! # Repair
//!
//! Write the limit as a dew point, `58 °F dew point`: it means the same under any setpoint. Or lower
//! the relative humidity or the cooling setpoint. Where another edition or a local code is adopted,
//! write it once for the site: `site: {limits: {indoor-dew-point: 62 °F}}`, or `none`.
//!
//! # Source
//!
//! ASHRAE 62.1-2022 §5.12 (62.1-2019 §5.10): in mechanically cooled spaces a dew point of at most 60 °F
//! (15 °C), occupied and unoccupied. The exception for unoccupied nights of at most 12 h at 65 %RH is
//! from memory. ASHRAE 62.1-2016: at most 65 %RH while occupied, under `occupied-relative-humidity`.
//! Dew points by ASHRAE Fundamentals 2017 ch. 1.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::schedules::{is_switch, misread};
use crate::space_air::corners;
use crate::{repair, settings};
use analysis::{Mode, Setting, degrees_words};
use calendar::ClockChangeKind;
use model::{Found, LimitInForce, LimitKey, Quantity, QuantityKind, Schedule, UnitOfMeasure, Written, Zone};

pub(crate) static CHECK: Check = Check {
    id: "indoor-dew-point-high",
    severity: Severity::Warning,
    source: include_str!("indoor_dew_point_high.rs"),
    run: Run::Zone(run),
    repairs: &[repair::another],
};

/// For the rounding of °F.
const HAIR: f64 = 1e-9;

fn run(ctx: &Ctx<'_>, zone: Found<'_, Zone>, out: &mut Sink) {
    settings::each(ctx, zone, out, |setting, out| {
        if let Some(limit) = setting.limits.value(LimitKey::DehumidifyAbove) {
            dew_point(ctx, zone, setting, limit, out);
            relative_humidity(ctx, setting.mode, limit, out);
        }
    });
}

fn dew_point(
    ctx: &Ctx<'_>,
    zone: Found<'_, Zone>,
    Setting { mode, limits }: &Setting,
    limit: Written<Quantity>,
    out: &mut Sink,
) {
    let Some(most) = ctx.view.limit("indoor-dew-point") else { return };
    let corners = corners(limits, limit.value);
    if corners.is_empty() {
        out.held_back(None, "humidity-limit-implausible", ctx.id);
    }
    let Some(worst) = corners.first().filter(|worst| worst.dew_point.0 > most.value.si() + HAIR) else {
        return;
    };
    // A dew point at or above the temperature at which cooling starts is implausible, and reported so.
    let implausible = worst.setpoint.is_none()
        && limits.value(LimitKey::CoolAbove).is_some_and(|cool| limit.value.si() >= cool.value.si());
    if implausible {
        return out.held_back(None, "humidity-limit-implausible", ctx.id);
    }
    if *mode == Mode::Unoccupied && excepted(ctx, zone, limit.value) {
        return;
    }
    let most_words = degrees_words(air::Celsius(most.value.si()), worst.scale);
    let cure =
        if worst.setpoint.is_some() { "Write the limit as a dew point, or lower it." } else { "Lower it." };
    let message = format!(
        "While {}, {}. {} allows at most {most_words}. {cure}",
        mode.name(),
        worst.words(limit.value),
        capital(most.source)
    );
    let about = About::of(noun::MODE, mode.name()).and(noun::LIMIT, "indoor-dew-point");
    let finding = out.report(about, limit.at, message);
    finding.instead([dew_point_within(most.value, worst.scale).to_string()]);
    if let Some((key, setpoint)) = &worst.setpoint {
        finding.because(zone.place(setpoint.at), format!("`{key}` is {}", setpoint.value));
    }
    named(finding, &most);
}

/// The highest whole dew point that is not above a limit, on a scale of the zone's.
fn dew_point_within(most: Quantity, scale: UnitOfMeasure) -> Quantity {
    let most = air::Celsius(most.si());
    let (value, unit) = match scale {
        UnitOfMeasure::Fahrenheit | UnitOfMeasure::FahrenheitDewPoint => {
            (air::Fahrenheit::from(most).0, UnitOfMeasure::FahrenheitDewPoint)
        }
        _ => (most.0, UnitOfMeasure::CelsiusDewPoint),
    };
    Quantity { value: (value + HAIR).floor(), unit }
}

fn relative_humidity(ctx: &Ctx<'_>, mode: Mode, limit: Written<Quantity>, out: &mut Sink) {
    let Some(most) = ctx.view.limit("occupied-relative-humidity") else { return };
    let relative = mode == Mode::Occupied && limit.value.is(QuantityKind::RelativeHumidity);
    if relative && limit.value.si() > most.value.si() {
        let message = format!(
            "{} is too humid while occupied: {} allows at most {}. Lower the limit.",
            limit.value, most.source, most.value
        );
        let about = About::of(noun::MODE, mode.name()).and(noun::LIMIT, "occupied-relative-humidity");
        named(out.report(about, limit.at, message).instead([most.value.to_string()]), &most);
    }
}

/// Gives a finding the place where the site sets a limit.
fn named(finding: &mut crate::check::FindingBuilder, limit: &LimitInForce) {
    if let Some(place) = &limit.written {
        finding.because(place.clone(), format!("The limit of the site is {}", limit.value));
    }
}

/// With a capital first letter.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}

/// Whether the standard's exception for short unoccupied stretches holds.
fn excepted(ctx: &Ctx<'_>, zone: Found<'_, Zone>, limit: Quantity) -> bool {
    let (Some(hours), Some(humidity)) =
        (ctx.view.limit("overnight-hours"), ctx.view.limit("overnight-relative-humidity"))
    else {
        return false;
    };
    limit.is(QuantityKind::RelativeHumidity)
        && limit.si() <= humidity.value.si()
        && longer_unoccupied(ctx, zone, hours.value.si()) == Some(false)
}

/// Whether any unoccupied stretch of a zone's schedule in the review period is longer than so many hours of the
/// clock on the wall, whose repeated hour makes no night longer; nothing where it is not known.
fn longer_unoccupied(ctx: &Ctx<'_>, zone: Found<'_, Zone>, hours: f64) -> Option<bool> {
    let schedule: Found<'_, Schedule> = ctx.view.find(&zone.is.schedule.as_ref()?.value)?;
    if misread(schedule) || !is_switch(schedule.is) {
        return None;
    }
    let timed = ctx.timed(schedule)?;
    let on: Vec<bool> = schedule.is.states.iter().map(model::schedule::ScheduleValue::is_on).collect();
    let repeated: Vec<_> =
        timed.period.clock_changes().iter().filter(|c| c.change == ClockChangeKind::Repeated).collect();
    let mut since = None;
    let longer = |span: calendar::Span| {
        if on.get(usize::from(span.value)).is_some_and(|on| *on) {
            since = None;
            return false;
        }
        let from = *since.get_or_insert(span.from);
        let within = repeated.iter().filter(|c| (from..span.to).contains(&c.at));
        let repeated: i64 = within.map(|c| 60 * i64::from(c.to - c.from)).sum();
        (span.to - from - repeated) as f64 / 3600.0 > hours
    };
    Some(timed.timeline.spans().any(longer))
}
