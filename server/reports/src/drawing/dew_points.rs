//! The predicted dew point of a zone, the highest of each week, on the columns of the year below it.

use super::Link;
use super::marks::{escaped, share};
use super::words::{degrees, number};
use analysis::sheet::page::{DewPoints, UnitPage};
use std::fmt::Write as _;

/// Height of the field, and the room above it for a word.
const HIGH: f64 = 44.0;
const TOP: f64 = 14.0;

/// On so many columns of weeks.
pub(super) fn html(page: &UnitPage<Link>, columns: usize) -> String {
    let Some(dew_points) = &page.dew_points else {
        let zone = page.zone.as_ref().map_or_else(String::new, |zone| format!(" for {zone}"));
        return format!(
            "<h4>Predicted dew point</h4><p class=\"dry-mute\">No weather{}: nothing is predicted.</p>",
            escaped(&zone)
        );
    };
    let (low, high) = range(dew_points);
    let mut html = format!(
        "<h4>Predicted dew point, {}, highest of each week</h4><div class=\"dry-year\"><svg class=\"dry-axis\" width=\"34\" height=\"{}\" aria-hidden=\"true\">",
        escaped(&dew_points.scale),
        HIGH + TOP + 4.0
    );
    for value in [low, f64::midpoint(low, high), high] {
        let y = place(value, (low, high)) + 4.0;
        let _ = write!(
            html,
            "<text class=\"axis\" x=\"28\" y=\"{y:.1}\" text-anchor=\"end\">{}</text>",
            degrees(value)
        );
    }
    let _ = write!(
        html,
        "</svg><div class=\"dry-track\"><svg role=\"img\" width=\"100%\" height=\"{}\" overflow=\"visible\" aria-label=\"{}\">{}</svg></div></div>",
        HIGH + TOP + 4.0,
        escaped(&words(dew_points)),
        svg(dew_points, columns)
    );
    let at = dew_points.limit.as_ref().and_then(|limit| limit.at.as_ref());
    let at = at.map_or_else(String::new, |at| format!(" ({})", at.html()));
    let _ = write!(
        html,
        "<p class=\"dry-mute\">{}{at}. Weather: {}",
        escaped(&words(dew_points)),
        escaped(&dew_points.weather)
    );
    if dew_points.missing_hours > 0 {
        let _ = write!(
            html,
            "; no weather for {} of {} h, where nothing is drawn",
            number(dew_points.missing_hours as f64),
            number((dew_points.missing_hours + dew_points.hours) as f64)
        );
    }
    html + ".</p>"
}

/// `Predicted, which proves nothing: above the limit in 52 h, all of them in gaps; highest 59.2 °F, Mon May 17 08:00`.
fn words(dew_points: &DewPoints<Link>) -> String {
    let DewPoints { hours_above: above, hours_above_in_gaps: in_gaps, .. } = dew_points;
    let limit = dew_points.limit.as_ref().map_or_else(
        || "its limit".to_owned(),
        |limit| format!("{} {} ({})", degrees(limit.value), dew_points.scale, limit.source),
    );
    let where_ = match (*above, *in_gaps) {
        (0, _) => String::new(),
        (above, gaps) if above == gaps => ", all of them in gaps".to_owned(),
        (_, gaps) => format!(", {} of them in gaps", number(gaps as f64)),
    };
    let highest = dew_points.highest.as_ref().map_or_else(String::new, |peak| {
        format!("; highest {} {}, {}", degrees(peak.value), dew_points.scale, peak.at)
    });
    format!("Predicted, which proves nothing: above {limit} in {} h{where_}{highest}", number(*above as f64))
}

/// The lowest and highest value shown, to fives outward.
fn range(dew_points: &DewPoints<Link>) -> (f64, f64) {
    let limit = dew_points.limit.as_ref().map(|limit| limit.value);
    let values = || dew_points.weeks.iter().copied().chain([limit]).flatten();
    let low = (values().fold(f64::INFINITY, f64::min) / 5.0).floor() * 5.0;
    let high = (values().fold(f64::NEG_INFINITY, f64::max) / 5.0).ceil() * 5.0;
    if low.is_finite() && high.is_finite() { (low, high.max(low + 10.0)) } else { (0.0, 10.0) }
}

fn place(value: f64, (low, high): (f64, f64)) -> f64 {
    TOP + HIGH * (1.0 - (value - low) / (high - low))
}

/// A step a week; what lies above the limit is filled.
fn svg(dew_points: &DewPoints<Link>, columns: usize) -> String {
    let range = range(dew_points);
    let at = |week: usize| share(week as f64 / columns as f64);
    let mut svg = String::new();
    let y = |value| place(value, range);
    for value in [range.0, f64::midpoint(range.0, range.1), range.1] {
        let y = y(value);
        let _ = write!(svg, "<line class=\"grid\" x1=\"0\" x2=\"100%\" y1=\"{y:.1}\" y2=\"{y:.1}\"/>");
    }
    let limit = dew_points.limit.as_ref().map(|limit| y(limit.value));
    let mut before: Option<f64> = None;
    for (week, value) in dew_points.weeks.iter().enumerate() {
        let Some(value) = value.map(y) else {
            before = None;
            continue;
        };
        let (from, to) = (at(week), at(week + 1));
        if let (true, Some(limit)) =
            (dew_points.above.get(week) == Some(&true), limit.filter(|limit| value < *limit))
        {
            let _ = write!(
                svg,
                "<rect class=\"excess\" x=\"{from}\" width=\"{}\" y=\"{value:.1}\" height=\"{:.1}\"/>",
                share(1.0 / columns as f64),
                limit - value
            );
        }
        if let Some(before) = before.filter(|before| (before - value).abs() > 0.05) {
            let _ = write!(
                svg,
                "<line class=\"curve\" x1=\"{from}\" x2=\"{from}\" y1=\"{before:.1}\" y2=\"{value:.1}\"/>"
            );
        }
        let _ = write!(
            svg,
            "<line class=\"curve\" x1=\"{from}\" x2=\"{to}\" y1=\"{value:.1}\" y2=\"{value:.1}\"/>"
        );
        before = Some(value);
    }
    if let (Some(y), Some(limit)) = (limit, &dew_points.limit) {
        let _ = write!(
            svg,
            "<line class=\"limit\" x1=\"0\" x2=\"100%\" y1=\"{y:.1}\" y2=\"{y:.1}\"/><text class=\"strong\" x=\"2\" y=\"{:.1}\">limit {} {}</text>",
            y + 12.0,
            degrees(limit.value),
            escaped(&dew_points.scale)
        );
    }
    if let Some(peak) = &dew_points.highest {
        let (anchor, x) =
            if peak.week * 2 < columns { ("start", at(peak.week)) } else { ("end", at(peak.week + 1)) };
        let _ = write!(
            svg,
            "<text class=\"strong\" x=\"{x}\" y=\"{:.1}\" text-anchor=\"{anchor}\">{}, {}</text>",
            y(peak.value) - 6.0,
            degrees(peak.value),
            escaped(&peak.at)
        );
    }
    svg
}
