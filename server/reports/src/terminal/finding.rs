//! One finding in full: its headline, its line, what it means, why, and what would mend it.

use super::frame::frame;
use super::window::Window;
use crate::form::Form;
use crate::review::{FileSpan, FindingLine, Review};
use crate::table::width;
use crate::text::LIBRARY;
use crate::words::{clause, headline};
use anstyle::Style;
use std::borrow::Cow;
use std::collections::HashMap;
use syntax::visible;

/// Columns before what stands under a finding, and before what stands behind `why`, `fix` and `with`.
const INDENT: usize = 5;
const LABELLED: usize = 11;

/// So many repairs, and findings at the places of the reasons, are told.
const MOST_REPAIRS: usize = 2;
const MOST_RELATED: usize = 3;

/// Findings by where they begin: what stands at the place of a reason is told beside it.
pub(super) type ByPlace<'r, 'w> = HashMap<(&'w str, (u32, u32)), Vec<&'r FindingLine<'w>>>;

/// Where each finding begins.
pub(super) fn by_place<'r, 'w>(review: &'r Review<'w>) -> ByPlace<'r, 'w> {
    let mut by_place = ByPlace::new();
    for finding in &review.findings {
        by_place.entry((finding.place.file, finding.place.from)).or_default().push(finding);
    }
    by_place
}

/// Writes a finding, and a blank line behind it.
pub(super) fn finding(
    window: &mut Window,
    review: &Review<'_>,
    line: &FindingLine<'_>,
    others: &ByPlace<'_, '_>,
    form: &Form,
) {
    let (plain, bold, dim) = (Style::new(), window.paint.bold(), window.paint.dim());
    let message = visible(&line.message);
    let (said, rest) = headline(&message);
    window.pad(2);
    window.words(window.paint.severity(line.severity), &format!("{}:", line.severity.word()), 4);
    window.words(bold, said, 4);
    window.at_right(dim, line.check);
    window.end();
    if let Some(text) = review.texts.get(line.place.file) {
        frame(window, line, text);
    }
    if !rest.is_empty() {
        window.paragraph(plain, rest, INDENT);
    }
    why(window, line, form);
    fix(window, line);
    with(window, line, others);
    window.end();
}

/// `units.yaml:19`, of the library `library:NAME:61`.
fn place(place: &FileSpan<'_>) -> String {
    format!("{}{}:{}", if place.library { LIBRARY } else { "" }, visible(place.file), place.from.0)
}

/// A label in its column, on a line of its own rows.
fn label(window: &mut Window, word: &str) {
    window.pad(INDENT);
    let dim = window.paint.dim();
    window.put(dim, word);
    window.pad(LABELLED);
}

/// Places, each with what is said of it. A place that is too long for its column has a line of its own.
fn placed(window: &mut Window, word: &str, rows: &[(String, Cow<'_, str>, &str)]) {
    let most = (window.width / 2).saturating_sub(LABELLED).max(16);
    let column = rows.iter().map(|(at, ..)| width(at)).filter(|w| *w <= most).max().unwrap_or(0);
    for (number, (at, text, check)) in rows.iter().enumerate() {
        label(window, if number == 0 { word } else { "" });
        window.put(Style::new(), at);
        if width(at) > column {
            window.end();
        }
        window.pad(LABELLED + column + 2);
        window.words(Style::new(), text, LABELLED + column + 2);
        if !check.is_empty() {
            let dim = window.paint.dim();
            window.at_right(dim, check);
        }
        window.end();
    }
}

fn why(window: &mut Window, line: &FindingLine<'_>, form: &Form) {
    let facts = line.because.iter().filter(|(place, _)| !place.library || form.reasons);
    let rows: Vec<_> = facts.map(|(at, why)| (place(at), visible(why), "")).collect();
    placed(window, "why", &rows);
    let folded = line.because.len() - rows.len();
    if folded > 0 {
        label(window, if rows.is_empty() { "why" } else { "" });
        let lines = if folded == 1 { "1 line".to_owned() } else { format!("{folded} lines") };
        let dim = window.paint.dim();
        window.words(dim, &format!("the unit type's logic, {lines} (--reasons)"), LABELLED);
        window.end();
    }
}

fn fix(window: &mut Window, line: &FindingLine<'_>) {
    let Some(repairs) = &line.repairs else { return };
    for (number, repair) in repairs.iter().take(MOST_REPAIRS).enumerate() {
        label(window, if number == 0 { "fix" } else { "or" });
        let title = visible(&repair.title);
        let effect = repair.effect.as_deref().map_or_else(String::new, |e| format!(": {}", visible(e)));
        let safe = if repair.safe { " (safe to apply)" } else { "" };
        window.words(Style::new(), &format!("{}{effect}.{safe}", title.trim_end_matches('.')), LABELLED);
        window.end();
    }
    if repairs.len() > MOST_REPAIRS {
        label(window, "");
        let dim = window.paint.dim();
        window.words(dim, &format!("{} more (drycall repair)", repairs.len() - MOST_REPAIRS), LABELLED);
        window.end();
    }
}

/// Other findings where the reasons stand.
fn with(window: &mut Window, line: &FindingLine<'_>, others: &ByPlace<'_, '_>) {
    let mut related: Vec<&FindingLine<'_>> = Vec::new();
    for (at, _) in line.because.iter().filter(|(at, _)| !at.library) {
        for other in others.get(&(at.file, at.from)).into_iter().flatten() {
            let is_it = |a: &FindingLine<'_>| (a.entry, a.number) == (other.entry, other.number);
            if !is_it(line) && !related.iter().any(|r| is_it(r)) && related.len() < MOST_RELATED {
                related.push(other);
            }
        }
    }
    let rows: Vec<(String, Cow<'_, str>, &str)> = related
        .iter()
        .map(|other| {
            let said = clause(headline(&other.message).0);
            (place(&other.place), Cow::Owned(visible(said).into_owned()), other.check)
        })
        .collect();
    placed(window, "with", &rows);
}
