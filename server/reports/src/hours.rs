//! When a unit's services can run: a week hour by hour, and the gaps of the review period.

use analysis::sheet::{ServiceSheet, ShownWeek, UnitSheet};
use analysis::{Verdict, hours_words, share_words};
use std::fmt::Write as _;
use syntax::visible;

/// The hours of a unit's services, over the review period and the week that was asked for.
pub fn hours_text(sheet: &UnitSheet) -> String {
    let period = &sheet.period;
    let (unit, zone) = (visible(&sheet.unit), visible(&period.time_zone));
    let mut text = format!("{unit}, {} to {}, {zone}\n", period.from, period.to);
    for service in &sheet.services {
        self::service(&mut text, service, sheet);
    }
    if let Some(week) = sheet.week.as_ref().filter(|week| week.outside == week.days) {
        let first = &week.from;
        let _ = writeln!(
            text,
            "\nthe week from {first} lies outside the review period, so nothing is known of it"
        );
    }
    text
}

fn service(text: &mut String, service: &ServiceSheet, sheet: &UnitSheet) {
    let _ = writeln!(
        text,
        "\n{}: {}\n  can run {}",
        visible(&service.service),
        if service.verdict == Verdict::Conditional && service.unless.is_empty() {
            "in part of the hours"
        } else {
            service.verdict.word()
        },
        service.hours.map_or_else(
            || format!("- of {}", hours_words(sheet.period.hours)),
            |hours| share_words(hours, sheet.period.hours)
        )
    );
    for (i, set) in service.unless.iter().enumerate() {
        let _ = writeln!(text, "  {} {}", if i == 0 { "unless" } else { "    or" }, visible(set));
    }
    if !service.unless_complete {
        text.push_str("      or more, which are not listed\n");
    }
    if let Some(gap) = &service.longest_gap {
        let count = match service.gaps.as_ref().map_or(0, Vec::len) {
            1 => "1 gap".to_owned(),
            more => format!("{more} gaps"),
        };
        let (from, to) = (&gap.from.words, &gap.to.words);
        let _ = writeln!(text, "  {count}, the longest {}: {from} to {to}", hours_words(gap.hours));
    }
    if let Some(week) = sheet.week.as_ref().filter(|week| week.outside < week.days) {
        days(text, service, week);
    }
}

/// Seven days, a letter for each half hour.
fn days(text: &mut String, service: &ServiceSheet, week: &ShownWeek) {
    let _ = writeln!(text, "  {:14} 0     3     6     9     12    15    18    21", "");
    for day in &service.days {
        let bar: String = day.halves.iter().map(|verdict| sign(*verdict)).collect();
        let _ = writeln!(text, "  {:14} {bar}", day.day);
    }
    let _ = writeln!(text, "  {:14} # whenever called for, + unless blocked, . never", "");
    if service.days.iter().any(|day| day.halves.contains(&Some(Verdict::NotProven))) {
        let _ = writeln!(text, "  {:14} ? not proven", "");
    }
    if week.outside > 0 {
        let _ = writeln!(text, "  {:14} blank outside the review period", "");
    }
}

fn sign(verdict: Option<Verdict>) -> char {
    match verdict {
        Some(Verdict::Always) => '#',
        Some(Verdict::Conditional) => '+',
        Some(Verdict::Never) => '.',
        Some(Verdict::NotProven) => '?',
        None => ' ',
    }
}
