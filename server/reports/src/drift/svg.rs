//! A prediction as a drawing: dew point, limit, and the hours in which a unit may dry the zone.

use crate::drawing::escaped;
use analysis::sheet::{Forecast, Picture, PictureHour};
use model::plain;
use std::fmt::Write as _;

const WIDTH: f64 = 800.0;
const HEIGHT: f64 = 320.0;
/// The field of the curve: left, top, right, bottom.
const FIELD: [f64; 4] = [56.0, 48.0, 784.0, 256.0];
/// Most lines of the temperature scale.
const LINES: f64 = 8.0;

const STYLE: &str = "svg{font:13px system-ui,sans-serif}.paper{fill:#fff}text{fill:#222}.scale{stroke:#ccc}\
.dries{fill:#d6e8f5}.limit{fill:none;stroke:#b3261e;stroke-dasharray:6 4;stroke-width:1.5}\
.air{fill:none;stroke:#14507a;stroke-width:2}\
@media(prefers-color-scheme:dark){.paper{fill:#16191c}text{fill:#e4e6e8}.scale{stroke:#3a4046}\
.dries{fill:#1d3a4d}.limit{stroke:#ff8a80}.air{stroke:#8cc8f0}}";

/// So many characters of a name leave room for the rest of the title.
const NAME_FITS: usize = 60;

/// A name that fits the title.
fn short(name: &str) -> String {
    let mut kept: String = name.chars().take(NAME_FITS).collect();
    if kept.len() < name.len() {
        kept.push('…');
    }
    kept
}

/// The days around the worst gap of a zone as an SVG drawing, in light or dark as the reader has it.
///
/// # Errors
/// Why there is none, in plain words.
pub fn drift_svg(forecast: &Forecast) -> Result<String, String> {
    let name = forecast.zone.as_str();
    let picture = forecast.picture.as_ref().ok_or_else(|| format!("nothing can be drawn for `{name}`"))?;
    let [left, _, right, bottom] = FIELD;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" \
         aria-label=\"Predicted dew point of {0}\">\n<style>{STYLE}</style>\n\
         <rect class=\"paper\" width=\"{WIDTH}\" height=\"{HEIGHT}\"/>\n\
         <text x=\"{left}\" y=\"28\">{2}: dew point in {1}, prediction</text>\n",
        escaped(name),
        escaped(&picture.scale),
        escaped(&short(name))
    );
    let scale = Scale::of(picture);
    permitted(&mut svg, &picture.hours, &scale);
    let (low, high) = picture.range();
    let step = ((high - low) / LINES).ceil().max(1.0);
    let mut value = low;
    while value <= high {
        let y = scale.y(value);
        let _ = writeln!(
            svg,
            "<line class=\"scale\" x1=\"{left}\" x2=\"{right}\" y1=\"{y:.1}\" y2=\"{y:.1}\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
            left - 8.0,
            y + 4.0,
            plain(value)
        );
        value += step;
    }
    curve(&mut svg, "limit", &picture.hours, &scale, |hour| hour.limit);
    curve(&mut svg, "air", &picture.hours, &scale, |hour| Some(hour.dew_point));
    let _ = writeln!(
        svg,
        "<text x=\"{left}\" y=\"{0}\">{1}</text><text x=\"{right}\" y=\"{0}\" text-anchor=\"end\">{2}</text>",
        bottom + 20.0,
        escaped(&picture.from.words),
        escaped(&picture.to.words)
    );
    let _ = writeln!(
        svg,
        "<line class=\"air\" x1=\"{0}\" x2=\"{1}\" y1=\"{2}\" y2=\"{2}\"/><text x=\"{3}\" y=\"{4}\">dew point</text>\
         <line class=\"limit\" x1=\"{5}\" x2=\"{6}\" y1=\"{2}\" y2=\"{2}\"/><text x=\"{7}\" y=\"{4}\">limit</text>\
         <rect class=\"dries\" x=\"{8}\" y=\"{9}\" width=\"24\" height=\"12\"/>\
         <text x=\"{10}\" y=\"{4}\">a unit may dry it</text>",
        left,
        left + 24.0,
        bottom + 46.0,
        left + 32.0,
        bottom + 50.0,
        left + 120.0,
        left + 144.0,
        left + 152.0,
        left + 210.0,
        bottom + 40.0,
        left + 242.0
    );
    svg.push_str("</svg>\n");
    Ok(svg)
}

/// Hours and degrees to places in the drawing.
struct Scale {
    per_hour: f64,
    low: f64,
    per_degree: f64,
}

impl Scale {
    fn of(picture: &Picture) -> Scale {
        let [left, top, right, bottom] = FIELD;
        let (low, high) = picture.range();
        let hours = picture.hours.len().max(1) as f64;
        Scale { per_hour: (right - left) / hours, low, per_degree: (bottom - top) / (high - low) }
    }

    fn x(&self, hour: usize) -> f64 {
        let [left, ..] = FIELD;
        left + self.per_hour * hour as f64
    }

    fn y(&self, degrees: f64) -> f64 {
        let [.., bottom] = FIELD;
        bottom - (degrees - self.low) * self.per_degree
    }
}

/// A band for each run of hours in which a unit may dry the zone.
fn permitted(svg: &mut String, hours: &[PictureHour], scale: &Scale) {
    let [_, top, _, bottom] = FIELD;
    let mut at = 0;
    for run in hours.chunk_by(|a, b| a.may_dry == b.may_dry) {
        let (from, to) = (scale.x(at), scale.x(at + run.len()));
        at += run.len();
        if run.first().is_some_and(|hour| hour.may_dry) {
            let _ = writeln!(
                svg,
                "<rect class=\"dries\" x=\"{from:.1}\" y=\"{top}\" width=\"{:.1}\" height=\"{}\"/>",
                to - from,
                bottom - top
            );
        }
    }
}

/// A curve through the ends of hours, broken where there is no value.
fn curve(
    svg: &mut String,
    class: &str,
    hours: &[PictureHour],
    scale: &Scale,
    of: impl Fn(&PictureHour) -> Option<f64>,
) {
    let mut path = String::new();
    let mut drawing = false;
    for (n, hour) in hours.iter().enumerate() {
        let Some(value) = of(hour) else {
            drawing = false;
            continue;
        };
        let letter = if drawing { 'L' } else { 'M' };
        let _ = write!(path, "{letter}{:.1} {:.1}", scale.x(n + 1), scale.y(value));
        drawing = true;
    }
    let _ = writeln!(svg, "<path class=\"{class}\" d=\"{path}\"/>");
}
