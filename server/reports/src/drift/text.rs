//! A prediction for people, at 80 columns.

use super::picture::Picture;
use super::{Predicted, predicted};
use crate::table::{table, wrap};
use analysis::drift::{Prediction, SurfacePeak};
use analysis::{degrees_words, hours_words, moment_words};
use model::{View, plain};
use std::fmt::Write as _;
use workspace::Workspace;

/// Columns of a sparkline.
const COLUMNS: usize = 72;
/// Columns of a terminal.
const WIDTH: usize = 80;

const BARS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// The prediction for a zone in words, with everything it takes for granted.
///
/// # Errors
/// Why there is none, in plain words.
pub fn drift_text(workspace: &Workspace, name: &str) -> Result<String, String> {
    let view = View::new(workspace.job());
    let predicted = predicted(&view, workspace, name)?;
    let (zone, period) = (&predicted.zone, &predicted.zone.period);
    let mut text = format!(
        "{name}: a prediction, {} to {}, {}\n",
        period.first_date(),
        period.last_date(),
        period.zone()
    );
    let _ = writeln!(text, "  weather  {}", predicted.weather());
    for held in &zone.held {
        let _ = writeln!(text, "  held to  {} ({})", held.words, held.source);
    }
    let missing = zone.outdoors.missing.len();
    if missing > 0 {
        let _ = writeln!(text, "  left out {missing} h for which the weather has no reading");
    }
    text.push('\n');
    figures(&mut text, &predicted);
    if let Some(picture) = Picture::of(&predicted) {
        sparkline(&mut text, &predicted, &picture);
    }
    taken(&mut text, &predicted);
    text.push_str("\nA prediction from typical weather; it proves nothing. What the job knows better,\n");
    text.push_str("let the zone's `space` or the unit's type say.\n");
    Ok(text)
}

fn figures(text: &mut String, predicted: &Predicted<'_>) {
    let (zone, figures) = (&predicted.zone, &predicted.prediction);
    let degrees = |t| degrees_words(t, zone.scale());
    let mut lines = vec![("above it", above(figures))];
    if let Some(worst) = &figures.worst {
        let (at, dew_point) = (moment_words(&zone.period, worst.at), degrees(worst.dew_point()));
        let words = format!("{at}: a dew point of {dew_point}, {:.0}", worst.air.relative_humidity());
        lines.push(("worst hour", words));
    }
    if let Some(worst) = &figures.worst_gap {
        let words = format!(
            "{} to {} ({}): passes it after {}, comes to a dew point of {}",
            moment_words(&zone.period, worst.gap.from),
            moment_words(&zone.period, worst.gap.to),
            hours_words(worst.gap.hours()),
            hours_words((worst.crosses_after * 10.0).round() / 10.0),
            degrees(worst.worst.dew_point())
        );
        lines.push(("worst gap", words));
    }
    if let Some(peak) = &figures.surface {
        let limit = zone.mould.map_or_else(String::new, |limit| format!("; mould may grow from {limit:.0}"));
        let words = format!(
            "{:.0} at {}, the most in {} days, to {}{limit}",
            peak.mean.humidity,
            degrees(peak.mean.temperature),
            SurfacePeak::DAYS,
            moment_words(&zone.period, peak.until)
        );
        lines.push(("coldest surface", words));
    }
    for (label, other) in [("infiltration × 0.5", &predicted.tight), ("infiltration × 2", &predicted.leaky)]
    {
        let surface = other.surface.map(|p| format!("; surface {:.0}", p.mean.humidity)).unwrap_or_default();
        lines.push((label, format!("above it {} h{surface}", other.above)));
    }
    for (label, words) in lines {
        for (n, line) in wrap(&words, WIDTH - 22).into_iter().enumerate() {
            let _ = writeln!(text, "  {:18}  {line}", if n == 0 { label } else { "" });
        }
    }
}

fn above(figures: &Prediction) -> String {
    format!(
        "{} h of {} h, {} h of them while nothing may dry the zone",
        figures.above, figures.hours, figures.above_in_gaps
    )
}

/// The dew point as bars, a column an hour or more, the highest of each.
fn sparkline(text: &mut String, predicted: &Predicted<'_>, picture: &Picture) {
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
    let unit = picture.scale.symbol();
    let _ = writeln!(
        text,
        "\ndew point from {}, {} h a column, {} to {} {unit} (prediction)",
        moment_words(&predicted.zone.period, picture.from),
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

fn taken(text: &mut String, predicted: &Predicted<'_>) {
    text.push_str("\nTaken for granted (* a default)\n");
    let rows = predicted.zone.room.taken.iter().map(|taken| {
        let name = format!("{}{}", taken.name, if taken.default { " *" } else { "" });
        vec![name, taken.value.clone()]
    });
    let columns = table(&rows.collect::<Vec<_>>(), 2, &[1]);
    for (line, taken) in columns.lines().zip(&predicted.zone.room.taken) {
        let _ = writeln!(text, "{line}");
        for source in wrap(&taken.source, WIDTH - 6) {
            let _ = writeln!(text, "      {source}");
        }
    }
}
