//! The inputs of a unit through a day, as thin tracks under it: low is off, high is on, both may be either.

use super::marks::{Label, Room, escaped, grid, of_day, share};
use super::words::clock;
use super::{Link, measure};
use analysis::sheet::page::{InputBlocks, InputLevel, Track, TrackStretch, UnitPage};
use std::fmt::Write as _;

/// Height of a track, and its two rails.
const HEIGHT: f64 = 20.0;
const ON: f64 = 4.0;
const OFF: f64 = 16.0;

/// The tracks of a day, those that block it first.
pub(super) fn html(page: &UnitPage<Link>, number: usize) -> String {
    let Some(day) = page.week.days.get(number).filter(|day| day.inside) else { return String::new() };
    let mut tracks: Vec<&Track> = day.tracks.iter().collect();
    tracks.sort_by_key(|track| !track.stretches.iter().any(|s| s.blocks == InputBlocks::Here));
    let mut html = String::new();
    for track in tracks {
        let lit = track.stretches.iter().any(|s| s.blocks == InputBlocks::Here);
        let words = words(page, track);
        let _ = write!(
            html,
            "<div class=\"dry-call{}\" role=\"row\" hidden><div class=\"dry-name\" role=\"rowheader\"><code>{}</code></div>\
             <div class=\"dry-track\" role=\"gridcell\" aria-label=\"{}\"><svg aria-hidden=\"true\" width=\"100%\" height=\"{HEIGHT}\" overflow=\"visible\">{}</svg></div>\
             <div class=\"dry-measure\" role=\"none\">{}</div></div>",
            if lit { " lit" } else { "" },
            escaped(&track.input),
            escaped(&words),
            svg(track, Room::Fluid),
            measure::beside_calls(page, number)
        );
    }
    html
}

/// A track's marks.
pub(super) fn svg(track: &Track, room: Room) -> String {
    let mut svg = String::new();
    grid(&mut svg, 0.0, HEIGHT);
    let mut before: Option<&TrackStretch> = None;
    for stretch in &track.stretches {
        let (from, to) = (of_day(stretch.from), of_day(stretch.to));
        let (x, width, end) = (share(from), share(to - from), share(to));
        let rail = |y: f64| format!("<line class=\"rail\" x1=\"{x}\" x2=\"{end}\" y1=\"{y}\" y2=\"{y}\"/>");
        let high = OFF - ON;
        match stretch.level {
            InputLevel::Free | InputLevel::NotProven => {
                let _ = write!(
                    svg,
                    "<rect class=\"free\" x=\"{x}\" width=\"{width}\" y=\"{ON}\" height=\"{high}\"/>"
                );
                svg += &rail(ON);
                svg += &rail(OFF);
            }
            InputLevel::On => svg += &rail(ON),
            InputLevel::Off => svg += &rail(OFF),
        }
        let change = before.is_some_and(|b| {
            matches!(
                (b.level, stretch.level),
                (InputLevel::On, InputLevel::Off) | (InputLevel::Off, InputLevel::On)
            )
        });
        if change {
            let _ = write!(svg, "<line class=\"rail\" x1=\"{x}\" x2=\"{x}\" y1=\"{ON}\" y2=\"{OFF}\"/>");
        }
        let box_class = match stretch.blocks {
            InputBlocks::Here => "blocks",
            InputBlocks::IfOn | InputBlocks::IfOff => "blocks-if",
            InputBlocks::No => "",
        };
        if !box_class.is_empty() {
            let _ = write!(
                svg,
                "<rect class=\"{box_class}\" x=\"{x}\" width=\"{width}\" y=\"{}\" height=\"{}\"/>",
                ON - 1.5,
                high + 3.0
            );
        }
        let again = before.is_some_and(|b| (b.level, b.blocks) == (stretch.level, stretch.blocks));
        if !again {
            let (long, short) = said(track, *stretch);
            let class = if stretch.blocks == InputBlocks::Here { "on-solid strong" } else { "mute" };
            svg +=
                &Label { long: &long, short: &short, of: to - from, at: from, y: 14.0, class, plate: false }
                    .svg(room);
        }
        before = Some(stretch);
    }
    svg
}

/// What stands in a stretch, long and short.
fn said(track: &Track, stretch: TrackStretch) -> (String, String) {
    let level = match stretch.level {
        InputLevel::On => "on",
        InputLevel::Off => "off",
        InputLevel::Free => "may be on or off",
        InputLevel::NotProven => "not proven",
    };
    let wired = track.wired.starts_with("not ") || track.wired.starts_with("tied");
    match stretch.blocks {
        InputBlocks::Here if wired => (format!("{}: blocks", track.wired), "blocks".to_owned()),
        InputBlocks::Here => (format!("{level}: blocks"), "blocks".to_owned()),
        InputBlocks::IfOn => ("blocks when on".to_owned(), "if on".to_owned()),
        InputBlocks::IfOff => ("blocks when off".to_owned(), "if off".to_owned()),
        InputBlocks::No if wired => (track.wired.clone(), String::new()),
        InputBlocks::No if matches!(stretch.level, InputLevel::On | InputLevel::Off) => {
            (String::new(), String::new())
        }
        InputBlocks::No => (level.to_owned(), String::new()),
    }
}

/// A day of an input, for a reader of the screen.
fn words(page: &UnitPage<Link>, track: &Track) -> String {
    let verb = &page.verb;
    let parts = track.stretches.iter().map(|stretch| {
        let level = match stretch.level {
            InputLevel::On => "on",
            InputLevel::Off => "off",
            InputLevel::Free => "may be on or off",
            InputLevel::NotProven => "not proven",
        };
        let blocks = match stretch.blocks {
            InputBlocks::Here => format!(", so it cannot {verb}"),
            InputBlocks::IfOn => ", blocks when on".to_owned(),
            InputBlocks::IfOff => ", blocks when off".to_owned(),
            InputBlocks::No => String::new(),
        };
        format!("{} to {} {level}{blocks}", clock(stretch.from), clock(stretch.to))
    });
    format!("{}, {}: {}", track.input, track.wired, parts.collect::<Vec<_>>().join("; "))
}
