//! The review as lines: one a finding in the GNU form, and a summary.

use crate::form::Form;
use crate::paint::Paint;
use crate::review::{FileSpan, FindingLine, Review};
use crate::table::put_table;
use analysis::{ServiceVerdict, Verdict, hours_words, moment_words};
use calendar::Period;
use model::Service;
use rayon::prelude::*;
use std::borrow::Cow;
use std::fmt::Write as _;
use std::io;
use syntax::visible;

/// What stands before the name of a library file: it is in no folder.
pub(crate) const LIBRARY: &str = "library:";

/// So many findings make a piece of the text, and so many pieces are held at once.
const PIECE: usize = 128;
const PIECES: usize = 32;

/// Puts out the review as text, piece by piece. Files are told with `prefix`, the job folder as the user named
/// it, before them; findings below `from` are left out. With `reasons`, those of each stand under it.
///
/// # Errors
/// Those of `put`; nothing is put out after one.
pub fn review_lines(
    review: &Review<'_>,
    prefix: &str,
    form: &Form,
    mut put: impl FnMut(&str) -> io::Result<()>,
) -> io::Result<()> {
    let paint = Paint { coloured: form.coloured };
    let shown: Vec<&FindingLine<'_>> = review.findings.iter().filter(|f| f.severity >= form.from).collect();
    for lines in shown.chunks(PIECE * PIECES) {
        let pieces: Vec<String> =
            lines.par_chunks(PIECE).map(|lines| findings(lines, prefix, form)).collect();
        pieces.iter().try_for_each(|piece| put(piece))?;
    }
    let mut text = String::new();
    deviations(&mut text, review, prefix, paint);
    if let Some(period) = &review.period {
        verdicts(&mut text, review, period, paint);
    }
    let _ = write!(text, "{}", counts(review));
    let left_out = review.findings.len() - shown.len();
    if left_out > 0 {
        let _ = write!(text, "; {left_out} of them below the level, and not shown");
    }
    text.push('\n');
    put(&text)
}

fn put_place(text: &mut String, place: &FileSpan<'_>, prefix: &str) {
    let folder = if place.library { LIBRARY } else { prefix };
    let (folder, file) = (visible(folder), visible(place.file));
    let _ = write!(text, "{folder}{file}:{}:{}", place.from.0, place.from.1);
}

fn findings(lines: &[&FindingLine<'_>], prefix: &str, form: &Form) -> String {
    let mut text = String::new();
    for line in lines {
        finding(&mut text, line, prefix, form);
    }
    text
}

fn finding(text: &mut String, line: &FindingLine<'_>, prefix: &str, form: &Form) {
    let paint = Paint { coloured: form.coloured };
    let (bold, dim, style) = (paint.bold(), paint.dim(), paint.severity(line.severity));
    let _ = write!(text, "{bold}");
    put_place(text, &line.place, prefix);
    let word = line.severity.word();
    let message = visible(&line.message);
    let _ = writeln!(text, ":{bold:#} {style}{word}:{style:#} {message} {dim}[{}]{dim:#}", line.check);
    if !form.reasons {
        return;
    }
    let rows = line.because.iter().map(|(place, why)| {
        let mut shown = String::new();
        put_place(&mut shown, place, prefix);
        shown.push(':');
        [Cow::Owned(shown), visible(why)]
    });
    let rows: Vec<[Cow<'_, str>; 2]> = rows.collect();
    put_table(text, &rows, 4, &[]);
}

fn deviations(text: &mut String, review: &Review<'_>, prefix: &str, paint: Paint) {
    let (bold, dim) = (paint.bold(), paint.dim());
    if review.deviations.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{bold}Deviations{bold:#}");
    for d in &review.deviations {
        let reason = if d.reason.is_empty() { "no reason given" } else { d.reason };
        text.push_str("  ");
        put_place(text, &d.place, prefix);
        let _ = writeln!(text, ": {}: {}", visible(d.check), visible(reason));
        for hidden in &d.hidden {
            let _ = writeln!(text, "      {dim}hides: {}{dim:#}", visible(hidden));
        }
    }
}

fn verdicts(text: &mut String, review: &Review<'_>, period: &Period, paint: Paint) {
    if review.units.is_empty() {
        return;
    }
    let bold = paint.bold();
    let _ = writeln!(
        text,
        "\n{bold}When each unit can dehumidify{bold:#}, {} to {}, {}",
        period.first_date(),
        period.last_date(),
        visible(period.zone())
    );
    let units = review.units.par_iter().map(|unit| {
        let service = unit.verdicts.services.iter().find(|s| s.service == Service::Dehumidification.name());
        match service {
            Some(s) => row(unit.unit, s, unit.verdicts.period_hours, period),
            None => [visible(unit.unit), "no dehumidification".into(), "".into(), "".into(), "".into()],
        }
    });
    let mut rows: Vec<Row<'_>> = vec![["unit", "verdict", "h a week", "longest gap", ""].map(Cow::Borrowed)];
    rows.par_extend(units);
    put_table(text, &rows, 2, &[2, 3]);
    text.push('\n');
}

type Row<'r> = [Cow<'r, str>; 5];

fn row<'r>(unit: &'r str, s: &'r ServiceVerdict, period_hours: f64, period: &Period) -> Row<'r> {
    // What is not proven is no number.
    let Some(hours) = s.hours else {
        return [unit.into(), verdict_words(s), "-".into(), "-".into(), "".into()];
    };
    let week = if period_hours > 0.0 { hours / period_hours * 168.0 } else { 0.0 };
    let gap = s.longest_gap.map_or_else(String::new, |g| hours_words(g.hours()));
    let dates = s.longest_gap.map_or_else(String::new, |g| {
        format!("{} to {}", moment_words(period, g.from), moment_words(period, g.to))
    });
    [visible(unit), verdict_words(s), format!("{week:.1}").into(), gap.into(), dates.into()]
}

/// `never`, `always`, `not proven`, or `unless` with what blocks it.
fn verdict_words(s: &ServiceVerdict) -> Cow<'_, str> {
    match s.verdict {
        Verdict::Conditional => match s.unless.as_slice() {
            [only] => format!("unless {}", visible(only)).into(),
            [first, second] => format!("unless {} or {}", visible(first), visible(second)).into(),
            [first, rest @ ..] => {
                let more = if s.cut_short { "more than " } else { "" };
                format!("unless {} or {more}{} others", visible(first), rest.len()).into()
            }
            [] => "in part of the hours".into(),
        },
        verdict => verdict.word().into(),
    }
}

/// `3 errors, 1 warning, 0 notes, 2 deviations`.
fn counts(review: &Review<'_>) -> String {
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
