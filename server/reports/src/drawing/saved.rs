//! A unit's week as a drawing that stands alone: to be saved, sent and printed.

use super::headline::causes;
use super::marks::{Room, hatch, plain, width};
use super::words::{answer, met, totals};
use super::{Link, STYLE, legend, measure, week};
use crate::table::wrap;
use analysis::sheet::UnitPage;
use std::fmt::Write as _;

/// Width of the drawing, where a day's track begins, and how wide it is.
const WIDE: f64 = 760.0;
const LEFT: f64 = 124.0;
const TRACK: f64 = 556.0;
const MARGIN: f64 = 14.0;
/// Characters of a line of the headline, and of those below it.
const HEAD: usize = 84;
const LINES: usize = 116;

/// The week of a unit with the answer above it, as SVG.
pub fn week_svg(page: &UnitPage<Link>) -> String {
    let (mut body, mut y) = (String::new(), 12.0);
    let mut lines = |class: &str, words: &str, characters: usize, high: f64, y: &mut f64| {
        for line in wrap(&words.replace('`', ""), characters) {
            *y += high;
            let _ = write!(body, "<text class=\"{class}\" x=\"{MARGIN}\" y=\"{y}\">{}</text>", plain(&line));
        }
    };
    lines("head", &answer(page), HEAD, 19.0, &mut y);
    let causes: Vec<String> =
        causes(page).iter().map(|why| format!("{} ({})", why.text, why.at.label())).collect();
    if !causes.is_empty() {
        lines("mute", &causes.join("; "), LINES, 16.0, &mut y);
    }
    let mut told: Vec<String> = totals(page).into_iter().map(|words| words + ".").collect();
    told.extend(page.required.iter().map(|required| {
        let at = required.at.as_ref().map_or_else(String::new, |at| format!(" ({})", at.label()));
        format!("Requirement {}{at}: {}.", required.words, met(required.met))
    }));
    lines("mute", &told.join(" "), LINES, 16.0, &mut y);
    y += 14.0;
    let room = Room::Fixed(TRACK);
    let _ = write!(
        body,
        "<svg x=\"{LEFT}\" y=\"{y}\" width=\"{TRACK}\" height=\"18\" overflow=\"visible\">{}</svg>\
         <line class=\"tick\" x1=\"{MARGIN}\" x2=\"{}\" y1=\"{2}\" y2=\"{2}\"/>",
        week::scale(room),
        WIDE - MARGIN,
        y + 18.0
    );
    y += 20.0;
    for number in 0..page.week.days.len() {
        day(&mut body, page, number, y, room);
        y += week::DAY;
    }
    if let Some(rest) = measure::rest(page) {
        let _ = write!(
            body,
            "<text x=\"{}\" y=\"{}\" text-anchor=\"end\">{}</text>",
            LEFT + TRACK,
            y + 12.0,
            plain(&rest)
        );
        y += 18.0;
    }
    y += 10.0;
    let (marks, high) = legend::svg(MARGIN, y, Room::Fixed(WIDE - 2.0 * MARGIN));
    body += &marks;
    y += high + 18.0;
    let site = page.site.as_ref().map_or_else(String::new, |site| format!("{site}, "));
    let foot = format!("{site}review {} to {}, {}", page.period.from, page.period.to, page.period.time_zone);
    let _ = write!(body, "<text class=\"mute small\" x=\"{MARGIN}\" y=\"{y}\">{}</text>", plain(&foot));
    y += 14.0;
    let title = format!("{}, week from {}: {}", page.unit, page.week.from_words, page.service);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"dry-drawing\" width=\"{WIDE}\" height=\"{y}\" viewBox=\"0 0 {WIDE} {y}\" \
         role=\"img\" aria-labelledby=\"title desc\"><title id=\"title\">{}</title><desc id=\"desc\">{}</desc><style>{}</style>{}\
         <rect class=\"paper\" width=\"100%\" height=\"100%\"/>{body}</svg>\n",
        plain(&title),
        plain(&described(page)),
        STYLE.replace('&', "&amp;").replace('<', "&lt;"),
        hatch()
    )
}

fn day(body: &mut String, page: &UnitPage<Link>, number: usize, y: f64, room: Room) {
    let Some(day) = page.week.days.get(number) else { return };
    let _ = write!(body, "<text x=\"18\" y=\"{}\">{}</text>", y + 24.0, plain(&day.name));
    for (n, note) in week::shown_notes(page, number).into_iter().enumerate() {
        let fits: String = note
            .chars()
            .scan(0.0, |wide, c| {
                *wide += width(&c.to_string());
                (*wide < LEFT - 22.0).then_some(c)
            })
            .collect();
        let cut = if fits.len() < note.len() { "…" } else { "" };
        let _ = write!(
            body,
            "<text class=\"mute small\" x=\"18\" y=\"{}\">{}{cut}</text>",
            y + 34.0 + 10.0 * n as f64,
            plain(&fits)
        );
    }
    if !day.holidays.is_empty() {
        let _ = write!(
            body,
            "<path class=\"dim\" d=\"M10 {} v{}\"/><path class=\"dim\" d=\"M13 {0} v{1}\"/>",
            y + 8.0,
            week::DAY
        );
    }
    let high = week::DAY;
    let _ = write!(
        body,
        "<svg x=\"{LEFT}\" y=\"{y}\" width=\"{TRACK}\" height=\"{high}\" overflow=\"visible\">{}</svg>\
         <svg x=\"{}\" y=\"{y}\" width=\"70\" height=\"{high}\" overflow=\"visible\">{}</svg>",
        week::day(page, number, room, false),
        LEFT + TRACK,
        measure::day(page, number)
    );
}

/// The week in words: each day's stretches.
fn described(page: &UnitPage<Link>) -> String {
    let mut words = vec![answer(page)];
    for day in page.week.days.iter().filter(|day| day.inside) {
        let said = day.stretches.iter().map(|stretch| {
            let state = page.week.states.get(stretch.state).map_or_else(String::new, super::words::state);
            format!("{} to {} {state}", super::words::clock(stretch.from), super::words::clock(stretch.to))
        });
        words.push(format!("{}: {}", day.name, said.collect::<Vec<_>>().join(", ")));
    }
    words.join(". ")
}
