//! When a unit's services can run: a week hour by hour, and the gaps of the review period.

use crate::review::unit;
use analysis::{Analysis, UnitAnalysis, Verdict, hours_words, moment_words};
use calendar::{Date, LocalTime};
use model::{Name, View};
use std::fmt::Write as _;
use workspace::Workspace;

/// The hours of a unit's services: over the week from `week`, or over the review period; nothing
/// when the job has no such unit, or its type is unknown.
pub fn hours_text(workspace: &Workspace, name: &str, week: Option<Date>) -> Option<String> {
    let view = View::new(workspace.job());
    let analysis = Analysis::of_review(&view, workspace.memo())?.unit(unit(&view, name)?)?;
    let mut text = format!(
        "{name}, {} to {}, {}\n",
        analysis.period.first_date(),
        analysis.period.last_date(),
        analysis.period.zone()
    );
    let shown = week.filter(|first| !week_from(*first).all(|date| is_outside(&analysis, date)));
    for (service, _) in analysis.services() {
        self::service(&mut text, &analysis, service, shown);
    }
    if let Some(first) = week.filter(|_| shown.is_none()) {
        let _ = writeln!(
            text,
            "\nthe week from {first} lies outside the review period, so nothing is known of it"
        );
    }
    Some(text)
}

fn service(text: &mut String, analysis: &UnitAnalysis<'_>, service: &Name, week: Option<Date>) {
    let verdict = analysis.verdict(service);
    let _ = writeln!(
        text,
        "\n{service}: {}\n  can run {} of {}",
        if verdict.verdict == Verdict::Unless && verdict.unless.is_empty() {
            "in part of the hours"
        } else {
            verdict.verdict.word()
        },
        hours_words(verdict.hours),
        hours_words(analysis.period.hours())
    );
    for (i, set) in verdict.unless.iter().enumerate() {
        let _ = writeln!(text, "  {} {set}", if i == 0 { "unless" } else { "    or" });
    }
    if verdict.cut_short {
        text.push_str("      or more, which are not listed\n");
    }
    if let Some(gap) = verdict.longest_gap {
        let from = moment_words(&analysis.period, gap.from);
        let to = moment_words(&analysis.period, gap.to);
        let count = if verdict.gaps == 1 { "1 gap".to_owned() } else { format!("{} gaps", verdict.gaps) };
        let _ = writeln!(text, "  {count}, the longest {}: {from} to {to}", hours_words(gap.hours()));
    }
    if let Some(first) = week {
        days(text, analysis, service, first);
    }
}

/// Seven days, as far as there are so many.
fn week_from(first: Date) -> impl Iterator<Item = Date> {
    std::iter::successors(Some(first), |date| date.tomorrow().ok()).take(7)
}

fn is_outside(analysis: &UnitAnalysis<'_>, date: Date) -> bool {
    date < analysis.period.first_date() || analysis.period.last_date() < date
}

/// Seven days, a letter for each half hour.
fn days(text: &mut String, analysis: &UnitAnalysis<'_>, service: &str, first: Date) {
    let course: Vec<(i64, i64, Verdict)> = analysis
        .course()
        .map(|(stretch, moment)| (stretch.from, stretch.to, analysis.verdict_at(service, moment)))
        .collect();
    let at = |instant: i64| {
        let i = course.partition_point(|(from, ..)| *from <= instant);
        course.get(i.checked_sub(1)?).filter(|(_, to, _)| instant < *to).map(|(.., v)| *v)
    };
    let _ = writeln!(text, "  {:14} 0     3     6     9     12    15    18    21", "");
    for date in week_from(first) {
        let mut bar = String::new();
        for half in 0..48u16 {
            let verdict = analysis.period.instant(LocalTime { date, minute: half * 30 }).and_then(at);
            bar.push(match verdict {
                Some(Verdict::Always) => '#',
                Some(Verdict::Unless) => '+',
                Some(Verdict::Never) => '.',
                None => ' ',
            });
        }
        let _ = writeln!(text, "  {:14} {bar}", analysis::day_words(date));
    }
    let _ = writeln!(text, "  {:14} # whenever called for, + unless blocked, . never", "");
    if week_from(first).any(|date| is_outside(analysis, date)) {
        let _ = writeln!(text, "  {:14} blank outside the review period", "");
    }
}
