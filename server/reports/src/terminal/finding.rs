//! One finding in full: its headline, its line, what it means, why, and what would mend it.

use super::frame::frame;
use super::groups::Headed;
use super::window::Window;
use crate::form::Form;
use crate::review::{FileSpan, FindingLine, Review};
use crate::table::width;
use crate::text::LIBRARY;
use crate::words::{clause, headline};
use anstyle::Style;
use std::borrow::Cow;
use syntax::visible;

/// Columns before what stands under a finding, and before what stands behind `why`, `fix` and `with`.
const INDENT: usize = 5;
const LABELLED: usize = 11;

/// So many repairs, and findings that follow from one, are told.
const MOST_REPAIRS: usize = 2;
const MOST_BELOW: usize = 8;

/// Writes a finding, and a blank line behind it.
pub(super) fn finding(window: &mut Window, review: &Review<'_>, headed: &Headed<'_, '_>, form: &Form) {
    let line = headed.line;
    let (plain, bold, dim) = (Style::new(), window.paint.bold(), window.paint.dim());
    let message = visible(&line.message);
    let (said, rest) = headline(&message);
    window.pad(2);
    window.words(window.paint.severity(headed.severity), &format!("{}:", headed.severity.word()), 4);
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
    let repaired = headed.all().find(|f| f.repairs.as_ref().is_some_and(|repairs| !repairs.is_empty()));
    fix(window, repaired.unwrap_or(line));
    so(window, &headed.below);
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

/// What follows from it.
fn so(window: &mut Window, below: &[&FindingLine<'_>]) {
    let row = |other: &&FindingLine<'_>| {
        let said = visible(clause(headline(&other.message).0)).into_owned();
        (place(&other.place), Cow::Owned(said), other.check)
    };
    let rows: Vec<(String, Cow<'_, str>, &str)> = below.iter().take(MOST_BELOW).map(row).collect();
    placed(window, "so", &rows);
    if below.len() > MOST_BELOW {
        label(window, "");
        let dim = window.paint.dim();
        window.words(dim, &format!("{} more (--format lines)", below.len() - MOST_BELOW), LABELLED);
        window.end();
    }
}
