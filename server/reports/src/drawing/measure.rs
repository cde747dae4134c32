//! How long a gap is that runs over midnight: a line beside the rows that it runs through.

use super::Link;
use super::words::hours;
use analysis::sheet::UnitPage;
use std::fmt::Write as _;

/// Where the line stands, and where it bends into a day.
const X: f64 = 12.0;
const MIDDLE: f64 = 20.0;

/// The line beside a day, as high as the day is drawn.
pub(super) fn day(page: &UnitPage<Link>, number: usize) -> String {
    let mut svg = String::new();
    let (from, to) = goes_on(page, number);
    let last = number + 1 == page.week.days.len();
    match (from, to) {
        (Some(from), Some(to)) if from == to => {
            let _ = write!(svg, "<line class=\"dim\" x1=\"{X}\" x2=\"{X}\" y1=\"0\" y2=\"100%\"/>");
        }
        _ => {
            // A little apart, where one ends and another begins.
            if from.is_some() {
                let end = if to.is_some() { MIDDLE - 4.0 } else { MIDDLE };
                let _ = write!(
                    svg,
                    "<line class=\"dim\" x1=\"{X}\" x2=\"{X}\" y1=\"0\" y2=\"{end}\"/>\
                     <line class=\"dim\" x1=\"7\" x2=\"{X}\" y1=\"{end}\" y2=\"{end}\"/>"
                );
            }
            if to.is_some() {
                let begin = if from.is_some() { MIDDLE + 4.0 } else { MIDDLE };
                let _ = write!(
                    svg,
                    "<line class=\"dim\" x1=\"{X}\" x2=\"{X}\" y1=\"{begin}\" y2=\"100%\"/>\
                     <line class=\"dim\" x1=\"7\" x2=\"{X}\" y1=\"{begin}\" y2=\"{begin}\"/>"
                );
            }
        }
    }
    if last && to.is_some() {
        let _ = write!(
            svg,
            "<svg x=\"{X}\" y=\"100%\" overflow=\"visible\"><path class=\"wedge\" d=\"M0 5 l4 -7 h-8z\"/></svg>"
        );
    }
    for (gap, y) in labels(page, number) {
        if let Some(gap) = page.week.gaps.get(gap) {
            let words = hours(gap.hours);
            let _ = write!(
                svg,
                "<rect class=\"plate\" x=\"9\" y=\"{:.0}\" width=\"{:.0}\" height=\"14\"/>\
                 <text class=\"length\" x=\"{X}\" y=\"{y}\">{words}</text>",
                y - 11.0,
                super::marks::width(&words) + 8.0
            );
        }
    }
    svg
}

/// The line beside the calls that stand under a day.
pub(super) fn beside_calls(page: &UnitPage<Link>, number: usize) -> String {
    if goes_on(page, number).1.is_none() {
        return String::new();
    }
    format!(
        "<svg aria-hidden=\"true\" width=\"100%\" height=\"100%\"><line class=\"dim\" x1=\"{X}\" x2=\"{X}\" y1=\"0\" y2=\"100%\"/></svg>"
    )
}

/// The lengths that are written beside a day, each once in the middle of its rows.
fn labels(page: &UnitPage<Link>, number: usize) -> Vec<(usize, f64)> {
    let (from, to) = goes_on(page, number);
    let mut labels = Vec::new();
    for gap in from.into_iter().chain(to) {
        let rows: Vec<usize> = (0..page.week.days.len()).filter(|row| touches(page, *row, gap)).collect();
        let middle = rows.get(rows.len() / 2).copied().unwrap_or(number);
        // What only reaches into the first row is told in its stretch.
        let told = rows.len() == 1 && from == Some(gap);
        if middle == number && !told && !labels.iter().any(|(known, _)| *known == gap) {
            // Of two rows at their joint, else in the middle of a row.
            labels.push((gap, if rows.len() <= 2 { 4.0 } else { 24.0 }));
        }
    }
    labels
}

fn touches(page: &UnitPage<Link>, row: usize, gap: usize) -> bool {
    let (from, to) = goes_on(page, row);
    from == Some(gap) || to == Some(gap)
}

/// What is left of a gap behind the last day: `goes on 78.5 h more, to Mon Mar 15 07:30`.
pub(super) fn rest(page: &UnitPage<Link>) -> Option<String> {
    let last = page.week.days.len().checked_sub(1)?;
    let gap = page.week.gaps.get(goes_on(page, last).1?)?;
    let more = gap.hours_after_week?;
    Some(format!("goes on {} more, to {}", hours(more), gap.to_short))
}

/// The gap that goes on from the day before, and the one that goes on into the day after.
pub(super) fn goes_on(page: &UnitPage<Link>, number: usize) -> (Option<usize>, Option<usize>) {
    let Some(day) = page.week.days.get(number) else { return (None, None) };
    let first = day.stretches.first().filter(|stretch| stretch.from == 0 && stretch.goes_on_from);
    let last = day.stretches.last().filter(|stretch| stretch.to == 1440 && stretch.goes_on_to);
    (first.and_then(|stretch| stretch.gap), last.and_then(|stretch| stretch.gap))
}
