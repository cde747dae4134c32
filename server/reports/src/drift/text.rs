//! A prediction for people, at 80 columns.

use crate::table::{table, wrap};
use air::RelativeHumidity;
use analysis::sheet::{Figures, Forecast, Picture};
use analysis::{hours_words, share_words};
use model::plain;
use std::fmt::Write as _;
use syntax::visible;

/// Columns of a sparkline.
const COLUMNS: usize = 72;
/// Columns of a terminal.
const WIDTH: usize = 80;

const BARS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// The prediction for a zone in words, with everything it takes for granted.
pub fn drift_text(forecast: &Forecast) -> String {
    let (zone, period) = (visible(&forecast.zone), &forecast.period);
    let time_zone = visible(&period.time_zone);
    let mut text = format!("{zone}: a prediction, {} to {}, {time_zone}\n", period.from, period.to);
    let _ = writeln!(text, "  weather  {}", visible(&forecast.weather));
    for held in &forecast.held_to {
        let _ = writeln!(text, "  held to  {} ({})", visible(&held.limit), visible(&held.source));
    }
    if forecast.missing_hours > 0 {
        let _ =
            writeln!(text, "  left out {} h for which the weather has no reading", forecast.missing_hours);
    }
    text.push('\n');
    figures(&mut text, forecast);
    if let Some(picture) = &forecast.picture {
        sparkline(&mut text, picture);
    }
    taken(&mut text, forecast);
    text.push_str("\nA prediction from typical weather; it proves nothing. What the job knows better,\n");
    text.push_str("let the zone's `space` or the unit's type say.\n");
    text
}

fn figures(text: &mut String, forecast: &Forecast) {
    let figures = &forecast.result;
    let humidity = |percent| format!("{:.0}", RelativeHumidity::from_percent(percent));
    let mut lines = vec![("above it", above(figures))];
    if let Some(worst) = &figures.worst_hour {
        let (at, dew_point) = (&worst.at.words, &worst.dew_point_words);
        let words = format!("{at}: a dew point of {dew_point}, {}", humidity(worst.relative_humidity));
        lines.push(("worst hour", words));
    }
    if let Some(worst) = &figures.worst_gap {
        let words = format!(
            "{} to {} ({}): passes it after {}, comes to a dew point of {}",
            worst.from.words,
            worst.to.words,
            hours_words(worst.hours),
            hours_words(worst.crosses_after),
            worst.worst.dew_point_words
        );
        lines.push(("worst gap", words));
    }
    if let Some(peak) = &figures.surface {
        let limit = forecast
            .mould
            .map_or_else(String::new, |limit| format!("; mould may grow from {}", humidity(limit)));
        let words = format!(
            "{} at {}, the most in {} days, to {}{limit}",
            humidity(peak.relative_humidity),
            peak.temperature_words,
            peak.days,
            peak.until.words
        );
        lines.push(("coldest surface", words));
    }
    for (label, other) in [("infiltration × 0.5", &forecast.tight), ("infiltration × 2", &forecast.leaky)] {
        let surface = other.surface.as_ref().map(|p| format!("; surface {}", humidity(p.relative_humidity)));
        lines.push((label, format!("above it {} h{}", other.above, surface.unwrap_or_default())));
    }
    for (label, words) in lines {
        for (n, line) in wrap(&words, WIDTH - 22).into_iter().enumerate() {
            let _ = writeln!(text, "  {:18}  {line}", if n == 0 { label } else { "" });
        }
    }
}

fn above(figures: &Figures) -> String {
    format!(
        "{}, {} of them while nothing may dry the zone",
        share_words(figures.above as f64, figures.hours as f64),
        hours_words(figures.above_in_gaps as f64)
    )
}

/// The dew point as bars, a column an hour or more, the highest of each.
fn sparkline(text: &mut String, picture: &Picture) {
    let per_column = picture.hours.len().div_ceil(COLUMNS).max(1);
    let (low, high) = picture.range();
    let (mut bars, mut limits, mut permitted) = (String::new(), String::new(), String::new());
    for hours in picture.hours.chunks(per_column) {
        let highest = hours.iter().map(|h| h.dew_point).fold(f64::NEG_INFINITY, f64::max);
        let step = ((highest - low) / (high - low) * BARS.len() as f64) as usize;
        bars.push(BARS.get(step.min(BARS.len() - 1)).copied().unwrap_or(' '));
        let over = hours.iter().any(|h| h.limit.is_some_and(|limit| h.dew_point > limit));
        limits.push(if over { '^' } else { ' ' });
        permitted.push(if hours.iter().all(|h| h.may_dry) { '#' } else { '.' });
    }
    let unit = &picture.scale;
    let _ = writeln!(
        text,
        "\ndew point from {}, {} h a column, {} to {} {unit} (prediction)",
        picture.from.words,
        per_column,
        plain(low),
        plain(high)
    );
    for (line, meaning) in
        [(bars, ""), (limits, "^ above the limit"), (permitted, "# a unit may dry it, . nothing may")]
    {
        if !line.trim().is_empty() {
            let _ = writeln!(text, "  {}", line.trim_end());
        }
        if !meaning.is_empty() && !line.trim().is_empty() {
            let _ = writeln!(text, "  {meaning}");
        }
    }
}

fn taken(text: &mut String, forecast: &Forecast) {
    text.push_str("\nTaken for granted (* a default)\n");
    let rows = forecast.assumptions.iter().map(|taken| {
        let name = format!("{}{}", visible(&taken.name), if taken.default { " *" } else { "" });
        vec![name, visible(&taken.value).into_owned()]
    });
    let columns = table(&rows.collect::<Vec<_>>(), 2, &[1]);
    for (line, taken) in columns.lines().zip(&forecast.assumptions) {
        let _ = writeln!(text, "{line}");
        for source in wrap(&visible(&taken.source), WIDTH - 6) {
            let _ = writeln!(text, "      {source}");
        }
    }
}
