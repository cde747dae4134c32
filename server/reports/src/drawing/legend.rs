//! What the marks mean.

use super::marks::{Room, bar, escaped, width};
use analysis::Mode;
use std::fmt::Write as _;

/// A mark, 26 by 16 pixels, and what it means.
fn marks() -> [(String, &'static str); 7] {
    let line = |class: &str, from: u32, to: u32, y: u32| {
        format!("<line class=\"{class}\" x1=\"{from}\" x2=\"{to}\" y1=\"{y}\" y2=\"{y}\"/>")
    };
    let at = |look: &str, y: f64, height: f64| bar(look, 1.0 / 26.0, 25.0 / 26.0, y, height);
    [
        (at("can", 3.0, 10.0), "can run when called"),
        (at("yields", 3.0, 10.0), "yields to the calls named"),
        (at("cannot", 3.0, 10.0), "cannot run"),
        (at("cannot", 1.0, 9.0) + &line("breaks", 1, 25, 13), "breaks a requirement"),
        (line("idle", 0, 26, 8) + &line("busy", 6, 20, 8), Mode::Occupied.name()),
        (at("free", 3.0, 10.0) + &line("rail", 1, 25, 3) + &line("rail", 1, 25, 13), "call may be on or off"),
        (at("blocks", 3.0, 10.0), "what blocks here"),
    ]
}

/// As a list of a page.
pub(super) fn html() -> String {
    let mut html = "<ul class=\"dry-legend\" aria-label=\"Legend\">".to_owned();
    for (mark, words) in marks() {
        let _ = write!(
            html,
            "<li><svg width=\"26\" height=\"16\" aria-hidden=\"true\">{mark}</svg>{}</li>",
            escaped(words)
        );
    }
    html + "</ul>"
}

/// In a drawing: the marks of a week, in rows from a place on. Gives the height they take.
pub(super) fn svg(x: f64, y: f64, room: Room) -> (String, f64) {
    let Room::Fixed(room) = room else { return (String::new(), 0.0) };
    let (mut svg, mut at, mut row) = (String::new(), 0.0, 0.0);
    for (mark, words) in marks().into_iter().take(5) {
        let wide = 32.0 + width(words) + 18.0;
        if at > 0.0 && at + wide > room {
            (at, row) = (0.0, row + 22.0);
        }
        let _ = write!(
            svg,
            "<svg x=\"{:.0}\" y=\"{:.0}\" width=\"26\" height=\"16\">{mark}</svg><text x=\"{:.0}\" y=\"{:.0}\">{}</text>",
            x + at,
            y + row,
            x + at + 32.0,
            y + row + 12.0,
            escaped(words)
        );
        at += wide;
    }
    (svg, row + 22.0)
}
