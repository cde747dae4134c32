//! The findings to begin with: those that cost most.

use super::groups::{Rank, rank};
use super::window::{Window, cut};
use crate::review::{FindingLine, Review};
use crate::table::width;
use crate::words::{self, clause, headline};
use checks::Severity;
use syntax::visible;

/// So many are named.
const MOST: usize = 3;

/// Columns for what it costs, where the window is narrow.
const COST: usize = 38;

/// Columns of the number before each.
const NUMBERED: usize = 5;

/// The worst errors, one of each check, each with how many others of it there are.
fn worst<'r, 'w>(review: &'r Review<'w>) -> Vec<(&'r FindingLine<'w>, usize)> {
    let lost = |f: &FindingLine<'_>| (review.hours_lost(f) * 10.0) as u64;
    let mut errors: Vec<&FindingLine<'w>> =
        review.findings.iter().filter(|f| f.severity == Severity::Error).collect();
    // Stable: of equals, the order of files and lines.
    errors.sort_by_cached_key(|f| (rank(f), std::cmp::Reverse(lost(f))));
    let mut worst: Vec<(&FindingLine<'w>, usize)> = Vec::new();
    for error in errors {
        if let Some((_, others)) = worst.iter_mut().find(|(first, _)| first.check == error.check) {
            *others += 1;
        } else if worst.len() < MOST {
            worst.push((error, 0));
        }
    }
    worst
}

/// `Start with these`, a line each: what, where, and what it costs. Nothing where there is no error.
pub(super) fn start_with_these(window: &mut Window, review: &Review<'_>) {
    let rows: Vec<[String; 3]> = worst(review).iter().map(|(f, others)| row(review, f, *others)).collect();
    if rows.is_empty() {
        return;
    }
    window.heading("Start with these");
    let widest = |c: usize| rows.iter().filter_map(|row| row.get(c)).map(|s| width(s)).max().unwrap_or(0);
    let room = window.width.saturating_sub(NUMBERED + 4);
    let place = widest(1).min(room / 3);
    let what = widest(0).min(room.saturating_sub(place + widest(2).min(COST).min(room / 3)).max(24));
    let (bold, plain, dim) = (window.paint.bold(), anstyle::Style::new(), window.paint.dim());
    for (number, [said, at, cost]) in rows.iter().enumerate() {
        window.put(bold, &format!("  {}", number + 1));
        window.pad(NUMBERED);
        window.put(plain, &cut(said, what));
        window.pad(NUMBERED + what + 2);
        window.put(plain, at);
        window.pad(NUMBERED + what + 2 + place.max(width(at)) + 2);
        window.put(dim, &cut(cost, room.saturating_sub(what + place.max(width(at)))));
        window.end();
    }
    window.end();
}

fn row(review: &Review<'_>, finding: &FindingLine<'_>, others: usize) -> [String; 3] {
    let message = visible(&finding.message);
    let (said, rest) = headline(&message);
    let place = format!("{}:{}", visible(finding.place.file), finding.place.from.0);
    let mut cost = match (rank(finding), &review.period) {
        (Rank::Never | Rank::RequirementMissed, Some(period)) if review.hours_lost(finding) > 0.0 => {
            format!("off {}", words::part_of(review.hours_lost(finding), period.hours()))
        }
        _ => clause(headline(rest).0).to_owned(),
    };
    if others > 0 {
        let more = format!("({} more like it)", words::thousands(others));
        cost = if cost.is_empty() { more } else { format!("{cost} {more}") };
    }
    [clause(said).to_owned(), place, cost]
}
