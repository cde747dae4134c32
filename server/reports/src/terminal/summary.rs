//! What stands under the findings of a review: requirements, units, deviations, and what it all comes to.

use super::groups::groups;
use super::window::{Cell, Window};
use crate::form::Form;
use crate::requirements::{Kept, RequirementLine};
use crate::review::{DeviationLine, Review, UnitLine};
use crate::words::{self, count};
use analysis::{ServiceVerdict, Verdict};
use anstyle::Style;
use calendar::Period;
use checks::Severity;
use model::Service;
use std::borrow::Cow;
use syntax::visible;

/// So many rows of a list are shown.
const MOST_ROWS: usize = 40;

/// So many files that were left out are named.
const FEW: usize = 8;

/// Writes all of it.
pub(super) fn summary(window: &mut Window, review: &Review<'_>, form: &Form) {
    requirements(window, review);
    if let Some(period) = &review.period {
        units(window, review, period);
    }
    deviations(window, &review.deviations);
    files(window, review);
    window.end();
    totals(window, review, form);
}

fn cell<'c>(text: impl Into<Cow<'c, str>>) -> Cell<'c> {
    (Style::new(), text.into())
}

/// `… 12 more` under a list that is cut.
fn more(window: &mut Window, rows: usize, how: &str) {
    if rows > MOST_ROWS {
        let text = format!("… {} more{how}", words::thousands(rows - MOST_ROWS));
        window.paragraph(window.paint.dim(), &text, 2);
    }
}

fn requirements(window: &mut Window, review: &Review<'_>) {
    if review.requirements.is_empty() {
        return;
    }
    window.heading("Requirements");
    let verdict = |kept| match kept {
        Kept::Missed => window.paint.severity(Severity::Error),
        Kept::NotProven => window.paint.severity(Severity::Warning),
        Kept::Met => Style::new(),
    };
    let row = |r: &RequirementLine<'_>| {
        vec![
            cell(visible(r.zone).into_owned()),
            cell(visible(&r.asks).into_owned()),
            (verdict(r.kept), r.kept.word().into()),
            cell(visible(&r.detail).into_owned()),
        ]
    };
    let rows: Vec<Vec<Cell<'_>>> = review.requirements.iter().take(MOST_ROWS).map(row).collect();
    window.table(&rows, &[]);
    more(window, review.requirements.len(), "");
    window.end();
}

/// Units with the least of what they could do first.
fn units(window: &mut Window, review: &Review<'_>, period: &Period) {
    if review.units.is_empty() {
        return;
    }
    let mut units: Vec<(&UnitLine<'_>, Option<&ServiceVerdict>)> =
        review.units.iter().map(|unit| (unit, dehumidification(unit))).collect();
    let hours = |s: &ServiceVerdict| s.hours.map_or(0, |hours| (hours * 10.0) as u64);
    // Stable: of equals, the order of files and lines.
    units.sort_by_key(|(_, s)| s.map_or((3, 0), |s| (place_of(s.verdict), hours(s))));
    window.heading("Units");
    let dim = window.paint.dim();
    let head = ["", "dehumidifies", "h/week", "longest gap"].map(|text| (dim, text.into()));
    let mut rows: Vec<Vec<Cell<'_>>> = vec![head.to_vec()];
    rows.extend(units.iter().take(MOST_ROWS).map(|(unit, service)| match service {
        Some(s) => row(window, unit, s, period),
        None => vec![cell(visible(unit.unit)), cell("has no dehumidification"), cell(""), cell("")],
    }));
    window.table(&rows, &[2]);
    more(window, units.len(), " (--format lines)");
    window.paragraph(window.paint.dim(), "(hour by hour: drycall hours UNIT)", 2);
    window.end();
}

fn dehumidification<'r>(unit: &UnitLine<'r>) -> Option<&'r ServiceVerdict> {
    unit.verdicts.services.iter().find(|s| s.service == Service::Dehumidification.name())
}

fn place_of(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Never => 0,
        Verdict::NotProven => 1,
        Verdict::Conditional | Verdict::Always => 2,
    }
}

fn row<'r>(window: &Window, unit: &UnitLine<'r>, s: &'r ServiceVerdict, period: &Period) -> Vec<Cell<'r>> {
    let style = match s.verdict {
        Verdict::Never => window.paint.severity(Severity::Error),
        Verdict::NotProven => window.paint.severity(Severity::Warning),
        Verdict::Conditional | Verdict::Always => Style::new(),
    };
    let all = unit.verdicts.period_hours;
    // What is not proven is no number.
    let week = s.hours.map_or_else(
        || "-".to_owned(),
        |hours| format!("{:.1}", if all > 0.0 { hours / all * 168.0 } else { 0.0 }),
    );
    vec![
        cell(visible(unit.unit)),
        (style, words::verdict(s)),
        cell(week),
        cell(words::longest_gap(s, period)),
    ]
}

fn deviations(window: &mut Window, deviations: &[DeviationLine<'_>]) {
    if deviations.is_empty() {
        return;
    }
    window.heading(&count(deviations.len(), "deviation"));
    let row = |d: &DeviationLine<'_>| {
        let place = format!("{}:{}", visible(d.place.file), d.place.from.0);
        let reason = if d.reason.is_empty() { "without a reason".into() } else { visible(d.reason) };
        let hides = match d.hidden.len() {
            1 => "hides 1 finding".to_owned(),
            n => format!("hides {n} findings"),
        };
        vec![
            cell(place),
            cell(visible(d.check).into_owned()),
            cell(reason.into_owned()),
            (window.paint.dim(), hides.into()),
        ]
    };
    let rows: Vec<Vec<Cell<'_>>> = deviations.iter().take(MOST_ROWS).map(row).collect();
    window.table(&rows, &[]);
    more(window, deviations.len(), "");
    window.end();
}

fn files(window: &mut Window, review: &Review<'_>) {
    let read = format!("{} read.", count(review.files_read, "file"));
    if review.left_out.is_empty() {
        window.paragraph(Style::new(), &format!("Left out: nothing. {read}"), 0);
        return;
    }
    window.paragraph(Style::new(), &format!("{read} {} left out:", review.left_out.len()), 0);
    for left in review.left_out.iter().take(FEW) {
        window.pad(2);
        window.words(Style::new(), &left.to_string(), 4);
        window.end();
    }
    if review.left_out.len() > FEW {
        let text = format!("… {} more", words::thousands(review.left_out.len() - FEW));
        window.paragraph(window.paint.dim(), &text, 2);
    }
}

/// `20 errors, 19 warnings, 6 notes`, of a file or of the review.
pub(super) fn tally([errors, warnings, notes]: [usize; 3], none: bool) -> String {
    let each = [(errors, "error"), (warnings, "warning"), (notes, "note")];
    let told = each.into_iter().filter(|(n, _)| none || *n > 0).map(|(n, what)| count(n, what));
    told.collect::<Vec<_>>().join(", ")
}

/// How many findings of a severity or worse are shown by themselves: what follows from another counts with it.
fn heads(review: &Review<'_>, from: Severity) -> [usize; 3] {
    let mut all = [0; 3];
    for group in groups(review, from) {
        all.iter_mut().zip(group.counts).for_each(|(all, of_file)| *all += of_file);
    }
    all
}

fn totals(window: &mut Window, review: &Review<'_>, form: &Form) {
    let all = heads(review, Severity::Note);
    let shown = heads(review, form.from);
    let mut hidden = [0; 3];
    for (n, hidden) in hidden.iter_mut().enumerate() {
        *hidden = all.get(n).copied().unwrap_or(0).saturating_sub(shown.get(n).copied().unwrap_or(0));
    }
    let mut text = tally(all, true);
    if hidden != [0; 3] {
        let shown = if shown == [0; 3] { "nothing to show".to_owned() } else { tally(shown, false) };
        text = format!("{shown} · {} not shown (--level note)", tally(hidden, false));
    }
    let below = review.findings.len() - all.iter().sum::<usize>();
    if below > 0 {
        text += &format!(" · {below} more that follow from these");
    }
    let asked = review.findings.iter().filter(|f| f.severity >= form.from);
    let (mut of_all, mut proven, mut safe, mut some) = (true, 0, 0, false);
    for finding in asked {
        match &finding.repairs {
            Some(repairs) => {
                some = true;
                proven += repairs.len();
                safe += usize::from(repairs.first().is_some_and(|r| r.safe));
            }
            None => of_all = false,
        }
    }
    if some {
        let more = if of_all { "" } else { " for the findings shown first" };
        text +=
            &format!(" · {} proven{more}, {safe} safe to apply (drycall repair)", count(proven, "repair"));
    }
    window.heading(&text);
}
