//! The review for people: one line a finding in the GNU form, its reasons under it, a summary.

use crate::review::{Line, Place, Review};
use crate::table::table;
use analysis::{ServiceVerdict, Verdict, hours_words, moment_words};
use anstyle::{AnsiColor, Style};
use calendar::Period;
use checks::Severity;
use std::fmt::Write as _;

/// What stands before the name of a library file: it is in no folder.
pub(crate) const LIBRARY: &str = "library:";

const BOLD: Style = Style::new().bold();
const DIM: Style = Style::new().dimmed();

fn colour(severity: Severity) -> Style {
    let colour = match severity {
        Severity::Error => AnsiColor::Red,
        Severity::Warning => AnsiColor::Yellow,
        Severity::Note => AnsiColor::Cyan,
    };
    colour.on_default().bold()
}

/// The review as text with colours, which the caller may strip. Files are told with `prefix`, the
/// job folder as the user named it, before them; findings below `from` are left out.
pub fn review_text(review: &Review, prefix: &str, from: Severity) -> String {
    let mut text = String::new();
    for line in review.findings.iter().filter(|f| f.severity >= from) {
        finding(&mut text, line, prefix);
    }
    deviations(&mut text, review, prefix);
    if let Some(period) = &review.period {
        verdicts(&mut text, review, period);
    }
    let _ = writeln!(text, "{}", counts(review));
    text
}

fn shown(place: &Place, prefix: &str) -> String {
    let folder = if place.library { LIBRARY } else { prefix };
    format!("{folder}{}:{}:{}", place.file, place.from.0, place.from.1)
}

fn finding(text: &mut String, line: &Line, prefix: &str) {
    let style = colour(line.severity);
    let _ = writeln!(
        text,
        "{BOLD}{}:{BOLD:#} {style}{}:{style:#} {} {DIM}[{}]{DIM:#}",
        shown(&line.place, prefix),
        line.severity.word(),
        line.message,
        line.check
    );
    let rows: Vec<Vec<String>> =
        line.because.iter().map(|(place, why)| vec![shown(place, prefix) + ":", why.clone()]).collect();
    text.push_str(&table(&rows, 4, &[]));
}

fn deviations(text: &mut String, review: &Review, prefix: &str) {
    if review.deviations.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{BOLD}Deviations{BOLD:#}");
    for d in &review.deviations {
        let reason = if d.reason.is_empty() { "no reason given" } else { &d.reason };
        let _ = writeln!(text, "  {}: {}: {reason}", shown(&d.place, prefix), d.check);
        for hidden in &d.hidden {
            let _ = writeln!(text, "      {DIM}hides: {hidden}{DIM:#}");
        }
    }
}

fn verdicts(text: &mut String, review: &Review, period: &Period) {
    if review.units.is_empty() {
        return;
    }
    let _ = writeln!(
        text,
        "\n{BOLD}When each unit can dehumidify{BOLD:#}, {} to {}, {}",
        period.first_date(),
        period.last_date(),
        period.zone()
    );
    let mut rows = vec![["unit", "verdict", "h a week", "longest gap", ""].map(str::to_owned).to_vec()];
    for unit in &review.units {
        let service = unit.verdicts.services.iter().find(|s| s.service == "dehumidification");
        rows.push(match service {
            Some(s) => row(&unit.unit, s, unit.verdicts.period_hours, period),
            None => vec![unit.unit.to_string(), "no dehumidification".to_owned()],
        });
    }
    text.push_str(&table(&rows, 2, &[2, 3]));
    text.push('\n');
}

fn row(unit: &str, s: &ServiceVerdict, period_hours: f64, period: &Period) -> Vec<String> {
    let week = if period_hours > 0.0 { s.hours / period_hours * 168.0 } else { 0.0 };
    let gap = s.longest_gap.map_or_else(String::new, |g| hours_words(g.hours()));
    let dates = s.longest_gap.map_or_else(String::new, |g| {
        format!("{} to {}", moment_words(period, g.from), moment_words(period, g.to))
    });
    vec![unit.to_owned(), verdict_words(s), format!("{week:.1}"), gap, dates]
}

/// `never`, `always`, or `unless` with what blocks it.
fn verdict_words(s: &ServiceVerdict) -> String {
    match s.verdict {
        Verdict::Unless if s.unless.is_empty() => "in part of the hours".to_owned(),
        Verdict::Unless => match s.unless.as_slice() {
            [only] => format!("unless {only}"),
            [first, second] => format!("unless {first} or {second}"),
            [first, rest @ ..] => format!("unless {first} or {} others", rest.len()),
            [] => String::new(),
        },
        verdict => verdict.word().to_owned(),
    }
}

/// `3 errors, 1 warning, 0 notes, 2 deviations`.
fn counts(review: &Review) -> String {
    let [errors, warnings, notes] = review.counts();
    let one = |n: usize, what: &str| format!("{n} {what}{}", if n == 1 { "" } else { "s" });
    [
        one(errors, "error"),
        one(warnings, "warning"),
        one(notes, "note"),
        one(review.deviations.len(), "deviation"),
    ]
    .join(", ")
}
