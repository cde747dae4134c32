//! The limits of a unit's calls, from where each begins to where it ends.

use super::Link;
use super::marks::{Room, escaped, share};
use super::words::{degrees, html as prose};
use analysis::sheet::page::{Ladder, LadderBand, LadderLine, LimitFault, UnitPage};
use std::fmt::Write as _;

/// Height of a line and where its bar runs.
const LINE: f64 = 24.0;
const Y: f64 = 12.0;

/// A scale: its ends, and the step of its marks.
#[derive(Clone, Copy)]
struct Scale {
    low: f64,
    high: f64,
    step: f64,
}

impl Scale {
    /// Nothing where there is nothing to show.
    fn of(values: &[f64]) -> Option<Scale> {
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if !low.is_finite() || !high.is_finite() {
            return None;
        }
        let wide = (high - low).max(1.0);
        let step =
            [1.0, 2.0, 5.0, 10.0, 20.0, 50.0].into_iter().find(|step| wide / step <= 7.0).unwrap_or(100.0);
        Some(Scale {
            low: ((low - wide * 0.18) / step).floor() * step,
            high: ((high + wide * 0.18) / step).ceil() * step,
            step,
        })
    }

    fn at(self, value: f64) -> f64 {
        ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
    }

    fn marks(self) -> impl Iterator<Item = f64> {
        let count = ((self.high - self.low) / self.step).round().max(0.0) as usize;
        (0..=count).map(move |n| self.low + self.step * n as f64)
    }
}

pub(super) fn html(page: &UnitPage<Link>) -> String {
    let ladder = &page.ladder;
    let mut html = "<h3>Limits, where each call begins and ends</h3>".to_owned();
    if ladder.lines.is_empty() {
        html += "<p class=\"dry-mute\">No call with a limit is wired to this unit.</p>";
        return html + &unwired(ladder);
    }
    html += KEY;
    let (temperatures, humidities): (Vec<&LadderLine<Link>>, Vec<_>) =
        ladder.lines.iter().partition(|line| line.temperature);
    html += &axis(&format!("temperature, {}", ladder.scale), &ladder.scale, &temperatures, &[]);
    let mut marks = Vec::new();
    marks.extend(ladder.coil.as_ref().map(|mark| ("coil leaves", mark.value, mark.at.as_ref())));
    marks.extend(ladder.required.as_ref().map(|mark| ("requirement", mark.value, mark.at.as_ref())));
    if !humidities.is_empty() {
        html += &axis(&format!("dew point, {}", ladder.scale), &ladder.scale, &humidities, &marks);
    }
    let mut told = Vec::new();
    if let Some(room) = ladder.room.filter(|_| humidities.iter().any(|line| line.limit.contains("%RH"))) {
        told.push(format!(
            "Dew points of a %RH limit at room temperatures from {} to {} {}.",
            degrees(room.low),
            degrees(room.high),
            escaped(&ladder.scale)
        ));
    }
    for line in ladder.lines.iter().filter(|line| line.fault == Some(LimitFault::Implausible)) {
        told.push(format!(
            "<code>{}: {}</code>{} is not drawn: no room is ever so{}.",
            escaped(&line.key),
            escaped(&line.limit),
            line.mode.as_ref().map_or_else(String::new, |mode| format!(" while {}", escaped(mode))),
            line.at.as_ref().map_or_else(String::new, |at| format!(" ({})", at.html()))
        ));
    }
    for line in ladder.lines.iter().filter(|line| line.fault == Some(LimitFault::BeyondSensor)) {
        told.push(prose(&format!(
            "`{}` is never called: its sensor does not reach {}.",
            line.call, line.begins
        )));
    }
    if !told.is_empty() {
        let _ = write!(html, "<p class=\"dry-mute\">{}</p>", told.join(" "));
    }
    html + &unwired(ladder)
}

const KEY: &str = "<ul class=\"dry-legend\" aria-label=\"Legend\">\
    <li><svg width=\"34\" height=\"14\" aria-hidden=\"true\"><line class=\"on\" x1=\"2\" x2=\"26\" y1=\"7\" y2=\"7\"/><line class=\"begins\" x1=\"26\" x2=\"26\" y1=\"1\" y2=\"13\"/></svg>call on, up to where it begins</li>\
    <li><svg width=\"34\" height=\"14\" aria-hidden=\"true\"><line class=\"holds\" x1=\"2\" x2=\"24\" y1=\"7\" y2=\"7\"/><circle class=\"ends\" cx=\"27\" cy=\"7\" r=\"3.5\"/></svg>holds, then ends</li></ul>";

fn unwired(ladder: &Ladder<Link>) -> String {
    if ladder.unwired.is_empty() {
        return String::new();
    }
    let names: Vec<String> =
        ladder.unwired.iter().map(|call| format!("<code>{}</code>", escaped(call))).collect();
    let have = if names.len() == 1 { "has" } else { "have" };
    format!("<p class=\"dry-mute\">{} {have} a limit but no wire to this unit.</p>", names.join(" and "))
}

/// The lines on one scale, and marks below them.
fn axis(
    title: &str,
    unit: &str,
    lines: &[&LadderLine<Link>],
    marks: &[(&str, f64, Option<&Link>)],
) -> String {
    let mut values: Vec<f64> =
        lines.iter().flat_map(|l| [l.begins_at, l.ends_at]).flatten().flat_map(|b| [b.low, b.high]).collect();
    values.extend(marks.iter().map(|(_, value, _)| *value));
    let Some(scale) = Scale::of(&values) else { return String::new() };
    let mut html = "<div class=\"dry-ladder\">".to_owned();
    for line in lines.iter().filter(|line| line.begins_at.is_some()) {
        let mode = line
            .mode
            .as_ref()
            .map_or_else(String::new, |mode| format!("<small>while {}</small>", escaped(mode)));
        let mut svg = grid(scale);
        svg += &rung(scale, line);
        let words = words(line);
        let _ = write!(
            html,
            "<div class=\"dry-name\"><code>{}</code>{mode}</div><div class=\"dry-track\"><svg role=\"img\" width=\"100%\" height=\"{LINE}\" overflow=\"visible\" aria-label=\"{}\">{svg}</svg></div>\
             <div class=\"dry-said\">{}{}</div>",
            escaped(&line.call),
            escaped(&format!("{}: {words}", line.call)),
            escaped(&words),
            line.at.as_ref().map_or_else(String::new, |at| format!(" {}", at.html()))
        );
    }
    for (name, value, at) in marks {
        let x = share(scale.at(*value));
        let dashed = if at.is_some_and(|_| name.starts_with("req")) { " dashed" } else { "" };
        let at_most = if name.starts_with("req") { "at most " } else { "" };
        let words = format!("{at_most}{} {unit}", degrees(*value));
        let _ = write!(
            html,
            "<div class=\"dry-name\">{}</div><div class=\"dry-track\"><svg role=\"img\" width=\"100%\" height=\"{LINE}\" overflow=\"visible\" aria-label=\"{}\">{}<line class=\"begins{dashed}\" x1=\"{x}\" x2=\"{x}\" y1=\"4\" y2=\"20\"/></svg></div>\
             <div class=\"dry-said\">{}{}</div>",
            escaped(name),
            escaped(&format!("{name} {words}")),
            grid(scale),
            escaped(&words),
            at.map_or_else(String::new, |at| format!(" {}", at.html()))
        );
    }
    let mut numbers = String::new();
    for (n, mark) in scale.marks().enumerate() {
        let Some(class) = (if n % 2 == 1 { Room::Fluid.needs(240.0) } else { Some(String::new()) }) else {
            continue;
        };
        let _ = write!(
            numbers,
            "<text class=\"axis{class}\" x=\"{}\" y=\"12\" text-anchor=\"middle\">{}</text>",
            share(scale.at(mark)),
            degrees(mark)
        );
    }
    let _ = write!(
        html,
        "<div class=\"dry-name dry-mute\">{}</div><div class=\"dry-track dry-scale\"><svg aria-hidden=\"true\" width=\"100%\" height=\"18\" overflow=\"visible\">{numbers}</svg></div><div class=\"dry-said\"></div></div>",
        escaped(title)
    );
    html
}

fn grid(scale: Scale) -> String {
    let mut svg = String::new();
    for mark in scale.marks() {
        let x = share(scale.at(mark));
        let _ = write!(svg, "<line class=\"grid thin\" x1=\"{x}\" x2=\"{x}\" y1=\"0\" y2=\"{LINE}\"/>");
    }
    svg
}

/// One call: thick where it is on, thin where it only holds, a tick where it begins, a circle where it ends.
fn rung(scale: Scale, line: &LadderLine<Link>) -> String {
    let (Some(begins), Some(ends)) = (line.begins_at, line.ends_at) else { return String::new() };
    // Of a band that part from which on it is surely on.
    let surely = |band: LadderBand| if line.above { band.high } else { band.low };
    let (begin, end) = (scale.at(surely(begins)), scale.at(surely(ends)));
    let edge = if line.above { 1.0 } else { 0.0 };
    let mut svg = String::new();
    for (band, class) in [(begins, "band"), (ends, "band open-band")] {
        if band.high - band.low > 1e-6 {
            let (from, to) = (scale.at(band.low), scale.at(band.high));
            let (y, height) = if class == "band" { (Y - 5.0, 5.0) } else { (Y, 5.0) };
            let _ = write!(
                svg,
                "<rect class=\"{class}\" x=\"{}\" width=\"{}\" y=\"{y}\" height=\"{height}\"/>",
                share(from),
                share(to - from)
            );
        }
    }
    let (from, to) = (begin.min(edge), begin.max(edge));
    let _ = write!(
        svg,
        "<line class=\"on\" x1=\"{}\" x2=\"{}\" y1=\"{Y}\" y2=\"{Y}\"/><line class=\"holds\" x1=\"{}\" x2=\"{}\" y1=\"{Y}\" y2=\"{Y}\"/>\
         <line class=\"begins\" x1=\"{b}\" x2=\"{b}\" y1=\"{}\" y2=\"{}\"/><circle class=\"ends\" cx=\"{}\" cy=\"{Y}\" r=\"3.5\"/>",
        share(from),
        share(to),
        share(begin.min(end)),
        share(begin.max(end)),
        Y - 6.0,
        Y + 6.0,
        share(end),
        b = share(begin)
    );
    svg
}

/// `begins above 70 °F, ends at 69 °F`.
fn words(line: &LadderLine<Link>) -> String {
    let side = if line.above { "above" } else { "below" };
    let mut words = format!("begins {side} {}, ends at {}", line.begins, line.ends);
    if let (Some(begins), Some(ends)) = (line.begins_at, line.ends_at)
        && begins.high - begins.low > 1e-6
    {
        let band = |band: LadderBand| format!("{} to {}", degrees(band.low), degrees(band.high));
        let _ = write!(words, "; dew point {}, ends {}", band(begins), band(ends));
    }
    words
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::Scale;

    #[test]
    fn a_scale_holds_all_its_values() {
        for values in [&[64.0, 65.0, 69.0, 70.0][..], &[52.0], &[-3.0, 40.0], &[46.0, 46.0]] {
            let scale = Scale::of(values).unwrap();
            assert!(values.iter().all(|value| (0.01..0.99).contains(&scale.at(*value))), "{values:?}");
            assert!((2..=12).contains(&scale.marks().count()), "{values:?}");
        }
        assert!(Scale::of(&[]).is_none());
    }
}
