//! A year as 53 weeks by seven days: the filled height of a cell is the hours in which the service can run.

use super::marks::{escaped, share};
use super::words::{hours, number};
use super::{Link, dew_points};
use analysis::sheet::page::{LongGap, UnitPage, Year};
use std::fmt::Write as _;

/// Height of a cell, and of a row.
const CELL: f64 = 10.0;
const ROW: f64 = 12.0;
const TOP: f64 = 1.0;
/// Width of a cell as a part of its column.
const PART: f64 = 0.84;

const WEEKDAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// How many columns a year takes.
pub(super) fn columns(year: &Year) -> usize {
    (year.first_weekday + year.hours.len()).div_ceil(7).max(1)
}

/// The year with the predicted dew point above it.
pub(super) fn html(page: &UnitPage<Link>) -> String {
    let year = &page.year;
    let mut html = format!("<h3>The year {}</h3>", year.year);
    html += &dew_points::html(page, columns(year));
    let _ = write!(
        html,
        "<h4>Hours a day</h4><div class=\"dry-year\"><svg class=\"dry-axis\" width=\"34\" height=\"{0}\" aria-hidden=\"true\">",
        ROW * 7.0 + 20.0
    );
    for (n, day) in WEEKDAYS.iter().enumerate() {
        let _ =
            write!(html, "<text class=\"axis\" x=\"0\" y=\"{:.0}\">{day}</text>", TOP + ROW * n as f64 + 9.0);
    }
    let _ = write!(
        html,
        "</svg><div class=\"dry-track\"><svg role=\"img\" width=\"100%\" height=\"{0}\" aria-label=\"{1}\">{2}</svg></div></div>",
        ROW * 7.0 + 20.0,
        escaped(&words(page)),
        svg(year)
    );
    html + &caption(page)
}

/// The cells, the outlines of long gaps, and the months.
pub(super) fn svg(year: &Year) -> String {
    let columns = columns(year) as f64;
    let mut svg = String::new();
    for (n, hours) in year.hours.iter().enumerate() {
        let (column, row) = place(year, n);
        let (x, width) = (share(column as f64 / columns), share(PART / columns));
        let y = TOP + ROW * row as f64;
        match hours {
            Some(hours) if *hours > 0.0 => {
                let height = (CELL * (hours / 24.0).min(1.0)).max(1.0);
                let _ = write!(
                    svg,
                    "<rect class=\"can\" x=\"{x}\" width=\"{width}\" y=\"{:.2}\" height=\"{height:.2}\"/>",
                    y + CELL - height
                );
            }
            Some(_) => {
                let (from, to) =
                    ((column as f64 + PART * 0.25) / columns, (column as f64 + PART * 0.75) / columns);
                let middle = y + CELL / 2.0;
                let _ = write!(
                    svg,
                    "<line class=\"none\" x1=\"{}\" x2=\"{}\" y1=\"{middle}\" y2=\"{middle}\"/>",
                    share(from),
                    share(to)
                );
            }
            None => {
                let _ = write!(
                    svg,
                    "<rect class=\"open\" x=\"{x}\" width=\"{width}\" y=\"{y}\" height=\"{CELL}\"/>"
                );
            }
        }
    }
    // The longest last, over the others.
    let mut gaps: Vec<&LongGap> = year.long_gaps.iter().collect();
    gaps.sort_by_key(|gap| gap.longest);
    for gap in gaps {
        outline(&mut svg, year, gap);
    }
    months(&mut svg, year);
    if let Some(week) = year.week {
        // Seven days from any weekday on lie in up to two columns.
        let (first, _) = place(year, week);
        let last = place(year, (week + 6).min(year.hours.len().saturating_sub(1))).0;
        let (from, to) = (share(first as f64 / columns), share((last as f64 + PART) / columns));
        let y = ROW * 7.0 + 17.5;
        let _ = write!(svg, "<line class=\"busy\" x1=\"{from}\" x2=\"{to}\" y1=\"{y}\" y2=\"{y}\"/>");
    }
    svg
}

/// The column and the row of a day.
fn place(year: &Year, day: usize) -> (usize, usize) {
    let n = year.first_weekday + day;
    (n / 7, n % 7)
}

/// A line round the days of a gap.
fn outline(svg: &mut String, year: &Year, gap: &LongGap) {
    let columns = columns(year) as f64;
    let class = if gap.longest { "gap longest" } else { "gap" };
    let inside = |column: i64, row: i64| {
        let n = column * 7 + row - year.first_weekday as i64;
        (0..7).contains(&row) && (gap.first as i64..=gap.last as i64).contains(&n)
    };
    let last = gap.last.min(year.hours.len().saturating_sub(1));
    for day in gap.first..=last {
        let (column, row) = place(year, day);
        let (c, r) = (column as i64, row as i64);
        let (left, right) = (column as f64 - (1.0 - PART) / 2.0, column as f64 + f64::midpoint(1.0, PART));
        let (left, right) = (share(left.max(0.0) / columns), share((right / columns).min(1.0)));
        let (top, bottom) = (TOP + ROW * row as f64 - 1.0, TOP + ROW * (row as f64 + 1.0) - 1.0);
        let mut side = |x1: &str, x2: &str, y1: f64, y2: f64| {
            let _ = write!(svg, "<line class=\"{class}\" x1=\"{x1}\" x2=\"{x2}\" y1=\"{y1}\" y2=\"{y2}\"/>");
        };
        if !inside(c, r - 1) {
            side(&left, &right, top, top);
        }
        if !inside(c, r + 1) {
            side(&left, &right, bottom, bottom);
        }
        if !inside(c - 1, r) {
            side(&left, &left, top, bottom);
        }
        if !inside(c + 1, r) {
            side(&right, &right, top, bottom);
        }
    }
}

/// The months by name, or by a letter where there is little room.
fn months(svg: &mut String, year: &Year) {
    let columns = columns(year) as f64;
    for (day, month) in &year.months {
        let (column, _) = place(year, *day);
        let at = column as f64 / columns;
        let name = usize::try_from(*month - 1).ok().and_then(|m| MONTHS.get(m)).copied().unwrap_or_default();
        // What begins in the last column would run over the edge.
        if at > 0.97 {
            continue;
        }
        let (x, y) = (share(at), ROW * 7.0 + 12.0);
        let _ = write!(
            svg,
            "<text class=\"axis need-390\" x=\"{x}\" y=\"{y}\">{name}</text><text class=\"axis below-390\" x=\"{x}\" y=\"{y}\">{}</text>",
            name.get(..1).unwrap_or_default()
        );
    }
}

fn caption(page: &UnitPage<Link>) -> String {
    let long = &page.year.long_gaps;
    let mut told = vec![
        "One cell a day; its filled height is the hours in which it can run, a dash is none.".to_owned(),
    ];
    match (page.gaps, long.len()) {
        (Some(0), _) => told.push("There is no gap.".to_owned()),
        (Some(1), 1) => told.push("Outlined: the one gap.".to_owned()),
        (Some(all), some) if some > 0 => {
            let longest = page.longest_gap.as_ref().map_or_else(String::new, |gap| {
                format!(", the longest ({}) in a heavy line", hours(gap.hours))
            });
            told.push(format!(
                "Outlined: the {some} of {} gaps that last a whole day or more{longest}.",
                number(all as f64)
            ));
        }
        (Some(all), _) => told.push(format!("{} gaps, none of a whole day.", number(all as f64))),
        (None, _) => told.push("Hours are not proven.".to_owned()),
    }
    if page.year.week.is_some() {
        told.push("The bar below is the week shown.".to_owned());
    }
    format!("<p class=\"dry-mute\">{}</p>", escaped(&told.join(" ")))
}

/// The year in words.
fn words(page: &UnitPage<Link>) -> String {
    let mut words = match page.hours {
        Some(all) => format!("{}: can run {} of {}", page.year.year, hours(all), hours(page.period.hours)),
        None => format!("{}: not proven", page.year.year),
    };
    for gap in page.year.long_gaps.iter().take(10) {
        let _ = write!(words, "; gap {}, {}", gap.words, hours(gap.hours));
    }
    if page.year.long_gaps.len() > 10 {
        let _ = write!(words, "; and {} more of a day or longer", page.year.long_gaps.len() - 10);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    fn year(first_weekday: usize, hours: Vec<Option<f64>>, long_gaps: Vec<LongGap>) -> Year {
        Year {
            from: "2027-01-01".to_owned(),
            first_weekday,
            year: 2027,
            months: vec![(0, 1)],
            hours,
            long_gaps,
            week: None,
        }
    }

    #[test]
    fn a_year_takes_53_columns() {
        assert_eq!(columns(&year(4, vec![None; 365], Vec::new())), 53);
        assert_eq!(columns(&year(0, vec![None; 364], Vec::new())), 52);
        assert_eq!(columns(&year(0, Vec::new(), Vec::new())), 1);
    }

    #[test]
    fn a_gap_over_a_weekend_has_one_outline() {
        let gap = LongGap { first: 5, last: 7, hours: 72.0, longest: false, words: String::new() };
        let drawn = svg(&year(0, vec![Some(0.0); 14], vec![gap]));
        // Saturday and Sunday share no side; Monday stands alone at the top of the next column.
        assert_eq!(drawn.matches("class=\"gap\"").count(), 6 + 4);
    }

    #[test]
    fn a_cell_is_as_high_as_its_hours() {
        let drawn = svg(&year(0, vec![Some(24.0), Some(12.0), Some(0.0), None], Vec::new()));
        for part in ["height=\"10.00\"", "height=\"5.00\"", "class=\"none\"", "class=\"open\""] {
            assert!(drawn.contains(part), "{part}: {drawn}");
        }
    }
}
