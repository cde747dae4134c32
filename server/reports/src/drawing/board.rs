//! All units on one scale of 168 hours, the worst first.

use super::Link;
use super::marks::{bar, diamond, escaped, look, share};
use super::words::{hours, html as prose, met, number};
use analysis::Verdict;
use analysis::sheet::page::{Board, BoardRow, DaySpan};
use std::fmt::Write as _;

/// The sentence above the board: `1 of 8 units misses its requirement; 2 never dehumidify`.
pub(super) fn answer<P>(board: &Board<P>) -> String {
    let Board { units, missed, never, with_gaps, not_proven, verb, .. } = board;
    let all = if *units == 1 { "The one unit".to_owned() } else { format!("{units} units") };
    let verbs =
        |count: usize, one: &str, more: &str| if count == 1 { one.to_owned() } else { more.to_owned() };
    let mut told = Vec::new();
    if *missed > 0 {
        let miss = verbs(*missed, "misses its requirement", "miss their requirements");
        told.push(format!("{missed} of {all} {miss}"));
    }
    if *never > 0 {
        let whose = if told.is_empty() { format!("{never} of {all}") } else { never.to_string() };
        told.push(format!("{whose} never {}", verbs(*never, &third(verb), verb)));
    }
    if *not_proven > 0 {
        told.push(format!("{not_proven} not proven"));
    }
    if told.is_empty() {
        return match with_gaps {
            0 => format!("{all} can {verb} at every hour"),
            some => format!("{some} of {all} cannot {verb} at some hours; no requirement is missed"),
        };
    }
    told.join("; ")
}

/// `dehumidifies` of `dehumidify`.
fn third(verb: &str) -> String {
    match verb.strip_suffix('y') {
        Some(stem) => format!("{stem}ies"),
        None => format!("{verb}s"),
    }
}

/// The board as a table; `shown` is the unit whose page it stands on.
pub(super) fn html(board: &Board<Link>, shown: &str) -> String {
    let mut html = "<div class=\"dry-board\" role=\"table\" aria-label=\"All units, worst first\">\
                    <div class=\"dry-head\" role=\"row\"><span role=\"columnheader\">Unit</span><span role=\"columnheader\">Zone</span>\
                    <span role=\"columnheader\" class=\"dry-week-head\"><span class=\"dry-hidden\">Week</span>"
        .to_owned();
    for (n, day) in board.days.iter().enumerate() {
        // The month once, and the day of the month where there is room.
        let words = if n == 0 { day.clone() } else { without_month(day) };
        let _ = write!(html, "<span aria-hidden=\"true\">{}</span>", escaped(&words));
    }
    html += "</span><span role=\"columnheader\" class=\"dry-number\">h a week</span><span role=\"columnheader\">Longest gap</span>\
             <span role=\"columnheader\">Verdict</span><span role=\"columnheader\">Requirement</span></div>";
    for row in &board.rows {
        html += &self::row(row, shown);
    }
    html += "</div>";
    if board.units > board.rows.len() {
        let _ = write!(
            html,
            "<p class=\"dry-mute\">The worst {} of {} units; choose any other by its name.</p>",
            board.rows.len(),
            number(board.units as f64)
        );
    }
    html
}

/// `Sat 6` of `Sat Mar 6`.
fn without_month(day: &str) -> String {
    let parts: Vec<&str> = day.split(' ').collect();
    match parts.as_slice() {
        [day, _, date] => format!("{day} {date}"),
        _ => day.to_owned(),
    }
}

fn row(row: &BoardRow<Link>, shown: &str) -> String {
    let unit = escaped(&row.unit);
    let current = if row.unit == shown { " aria-current=\"true\"" } else { "" };
    let gap = match &row.longest_gap {
        Some(gap) => format!("<span class=\"dry-only-narrow\">gap </span>{}", hours(gap.hours)),
        None if row.gaps.is_none() => "not proven".to_owned(),
        None => "<span class=\"dry-only-narrow dry-mute\">no gap</span><span class=\"dry-only-wide dry-mute\">none</span>".to_owned(),
    };
    let weekly = row.hours_a_week.map_or_else(|| "–".to_owned(), |hours| format!("{hours:.1}"));
    let mut html = format!(
        "<div class=\"dry-row\" role=\"row\"{current}><span role=\"cell\" class=\"dry-unit\"><a href=\"#\" data-unit=\"{unit}\">{unit}</a></span>\
         <span role=\"cell\" class=\"dry-zone\">{}</span><span role=\"cell\" class=\"dry-bar\"><svg role=\"img\" width=\"100%\" height=\"21\" aria-label=\"{}\">{}</svg></span>\
         <span role=\"cell\" class=\"dry-number\"><b>{weekly}</b><span class=\"dry-only-narrow\"> h</span></span><span role=\"cell\" class=\"dry-gap\">{gap}</span>\
         <span role=\"cell\" class=\"dry-verdict\">{}</span><span role=\"cell\" class=\"dry-asked\">",
        row.zone.as_deref().map_or_else(String::new, escaped),
        escaped(&words(row)),
        marks(row),
        verdict(row),
    );
    if row.required.is_empty() {
        html += "<span class=\"dry-mute\">none</span>";
    }
    for required in &row.required {
        let _ = write!(
            html,
            "<span class=\"dry-required\">{}<b>{}</b>: {}</span> ",
            diamond(required.met),
            met(required.met),
            escaped(&required.words)
        );
    }
    html + "</span></div>"
}

fn verdict(row: &BoardRow<Link>) -> String {
    match row.verdict {
        Verdict::Never => "<b>Never</b>".to_owned(),
        Verdict::Always => "Every call is honored".to_owned(),
        Verdict::NotProven => "Not proven".to_owned(),
        _ if row.yields.is_empty() => "In part of the hours".to_owned(),
        Verdict::Conditional => {
            let mut letters = row.yields.chars();
            let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
            prose(&(first + letters.as_str()))
        }
    }
}

/// A unit's week as one bar.
fn marks(row: &BoardRow<Link>) -> String {
    let mut svg = String::new();
    let days = row.week.len().max(1) as f64;
    let at = |day: usize, minute: u16| (day as f64 + f64::from(minute) / 1440.0) / days;
    for day in 0..=row.week.len() {
        let x = share(day as f64 / days);
        let _ = write!(svg, "<line class=\"grid\" x1=\"{x}\" x2=\"{x}\" y1=\"5\" y2=\"19\"/>");
    }
    let lines = |svg: &mut String, spans: &[Vec<DaySpan>], class: &str, y: f64| {
        for (day, span) in spans.iter().enumerate().flat_map(|(day, all)| all.iter().map(move |s| (day, s))) {
            let (from, to) = (share(at(day, span.from)), share(at(day, span.to)));
            let _ = write!(svg, "<line class=\"{class}\" x1=\"{from}\" x2=\"{to}\" y1=\"{y}\" y2=\"{y}\"/>");
        }
    };
    // What goes on over midnight is one bar, so that no edge stands where nothing changes.
    let mut bars: Vec<(f64, f64, Verdict)> = Vec::new();
    for (day, (span, verdict)) in
        row.week.iter().enumerate().flat_map(|(d, all)| all.iter().map(move |s| (d, s)))
    {
        let (from, to) = (at(day, span.from), at(day, span.to));
        match bars.last_mut() {
            Some((_, end, last)) if last == verdict && (*end - from).abs() < 1e-6 => *end = to,
            _ => bars.push((from, to, *verdict)),
        }
    }
    for (from, to, verdict) in bars {
        svg += &bar(look(verdict), from, to, 8.0, 9.0);
    }
    lines(&mut svg, &row.broken, "breaks", 19.0);
    lines(&mut svg, &row.occupied, "busy", 4.0);
    svg
}

/// The bar in words.
fn words(row: &BoardRow<Link>) -> String {
    let all = row.week.iter().flatten();
    let minutes = |of: &dyn Fn(Verdict) -> bool| {
        all.clone().filter(|(_, v)| of(*v)).map(|(s, _)| f64::from(s.to - s.from)).sum::<f64>() / 60.0
    };
    let can = minutes(&|verdict| matches!(look(verdict), "can" | "yields"));
    let cannot = minutes(&|verdict| verdict == Verdict::Never);
    format!("{} of this week: can run {}, cannot {}", row.unit, hours(can), hours(cannot))
}

#[cfg(test)]
mod tests {
    use super::{answer, without_month};
    use crate::drawing::Link;
    use analysis::sheet::page::Board;

    fn board(units: usize, missed: usize, never: usize, with_gaps: usize) -> Board<Link> {
        let (from, service, verb) = (String::new(), String::new(), "dehumidify".to_owned());
        Board {
            from,
            days: Vec::new(),
            service,
            verb,
            rows: Vec::new(),
            units,
            missed,
            never,
            with_gaps,
            not_proven: 0,
        }
    }

    #[test]
    fn one_sentence_tells_of_the_job() {
        let told = |units, missed, never, gaps| answer(&board(units, missed, never, gaps));
        assert_eq!(told(8, 1, 2, 3), "1 of 8 units misses its requirement; 2 never dehumidify");
        assert_eq!(told(8, 0, 1, 1), "1 of 8 units never dehumidifies");
        assert_eq!(told(8, 0, 0, 0), "8 units can dehumidify at every hour");
        assert_eq!(
            told(8, 0, 0, 2),
            "2 of 8 units cannot dehumidify at some hours; no requirement is missed"
        );
    }

    #[test]
    fn the_month_stands_once() {
        assert_eq!(without_month("Sat Mar 6"), "Sat 6");
    }
}
