//! Sentences, numbers, moments and verdicts as the review says them.

use analysis::{ServiceVerdict, Verdict};
use calendar::Period;
use model::Call;
use std::borrow::Cow;
use syntax::visible;

/// So many circumstances are named before the rest is counted.
const NAMED: usize = 3;

/// The first sentence of a message without its stop, and the rest. What stands in backticks ends no sentence.
pub(crate) fn headline(message: &str) -> (&str, &str) {
    let mut quoted = false;
    for (at, c) in message.char_indices() {
        quoted ^= c == '`';
        let behind = message.get(at + c.len_utf8()..).unwrap_or("");
        let begins = |c: char| c.is_uppercase() || c == '`' || c.is_ascii_digit();
        let ends = || behind.strip_prefix(' ').is_some_and(|next| next.starts_with(begins));
        if !quoted && matches!(c, '.' | '?' | '!') && ends() {
            let stop = if c == '.' { at } else { at + 1 };
            return (message.get(..stop).unwrap_or(message), behind.trim_start());
        }
    }
    (message.strip_suffix('.').unwrap_or(message), "")
}

/// The first clause of a sentence, for a line that has no room for all of it.
pub(crate) fn clause(sentence: &str) -> &str {
    let mut quoted = false;
    for (at, c) in sentence.char_indices() {
        quoted ^= c == '`';
        let behind = sentence.get(at + 1..).unwrap_or("");
        if !quoted && matches!(c, ':' | ';') && behind.starts_with(' ') {
            return sentence.get(..at).unwrap_or(sentence);
        }
    }
    sentence
}

/// `1 error`, `2,310 warnings`.
pub(crate) fn count(n: usize, what: &str) -> String {
    format!("{} {what}{}", thousands(n), if n == 1 { "" } else { "s" })
}

/// `8,760`.
pub(crate) fn thousands(n: usize) -> String {
    let digits = n.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.char_indices() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// Hours to the tenth: `6,198`, `228.5`.
pub(crate) fn hours(hours: f64) -> String {
    let tenths = (hours.max(0.0) * 10.0).round() as usize;
    let whole = thousands(tenths / 10);
    match tenths % 10 {
        0 => whole,
        tenth => format!("{whole}.{tenth}"),
    }
}

/// `Fri Mar 5 18:00`, local. The end of the period is the end of its last day.
pub(crate) fn moment(period: &Period, instant: i64) -> String {
    let (date, minute) =
        period.local(instant).map_or((period.last_date(), 24 * 60), |local| (local.date, local.minute));
    format!("{} {:02}:{:02}", date.strftime("%a %b %-d"), minute / 60, minute % 60)
}

/// The longest gap of a service: `228.5 h from Fri Mar 5 18:00`.
pub(crate) fn longest_gap(s: &ServiceVerdict, period: &Period) -> String {
    match s.longest_gap {
        Some(gap) if gap.from <= period.start() && gap.to >= period.end() => "the whole period".to_owned(),
        Some(gap) => format!("{} h from {}", hours(gap.hours()), moment(period, gap.from)),
        None => String::new(),
    }
}

/// `never`, `always`, `not proven`, or what the service yields to and waits for.
pub(crate) fn verdict(s: &ServiceVerdict) -> Cow<'static, str> {
    match s.verdict {
        Verdict::Conditional => conditions(&s.unless, s.cut_short).into(),
        verdict => verdict.word().into(),
    }
}

fn conditions(unless: &[String], cut_short: bool) -> String {
    let (mut calls, mut others) = (Vec::new(), Vec::new());
    for set in unless {
        match yields_to(set) {
            Some(call) => calls.push(call),
            None => others.push(visible(set).into_owned()),
        }
    }
    let more = (calls.len() + others.len()).saturating_sub(NAMED);
    calls.truncate(NAMED);
    others.truncate(NAMED - calls.len());
    let mut parts = Vec::new();
    let or_more = cut_short || more > 0;
    if !calls.is_empty() {
        parts.push(format!("yields to {}", list(&calls, others.is_empty() && !or_more)));
    }
    if !others.is_empty() {
        parts.push(format!("off with {}", list(&others, !or_more)));
    }
    let mut text = parts.join("; ");
    match (more, cut_short) {
        _ if text.is_empty() => text.push_str("in part of the hours"),
        (0, false) => {}
        (0, true) => text.push_str(" and more"),
        (more, true) => text += &format!(" and more than {more} more"),
        (more, false) => text += &format!(" and {more} more"),
    }
    text
}

/// `a`, `a and b`, `a, b and c`; only commas where more follows. What holds in one mode stands apart.
fn list(words: &[String], complete: bool) -> String {
    match words {
        [head @ .., last] if complete && !head.is_empty() => {
            let apart = if last.contains(" while ") { ", and to" } else { " and" };
            format!("{}{apart} {last}", head.join(", "))
        }
        words => words.join(", "),
    }
}

/// The one call that a set of circumstances consists of, in a word or two: `second-stage heating while occupied`.
fn yields_to(set: &str) -> Option<String> {
    Call::ALL.into_iter().find_map(|call| {
        let rest = set.strip_prefix(&call.words().replacen("the", "a", 1))?;
        let modes = ["", " while occupied", " while unoccupied"];
        let first = matches!(call, Call::Cool1 | Call::Heat1);
        let words = call.words().trim_start_matches("the ").trim_end_matches(" call");
        let words = if first { call.plain_words() } else { words };
        modes.contains(&rest).then(|| format!("{words}{rest}"))
    })
}

/// `0 of 8,760 h`.
pub(crate) fn part_of(part: f64, whole: f64) -> String {
    format!("{} of {} h", hours(part), hours(whole))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_headline_is_a_sentence() {
        let parts = |text| headline(text);
        assert_eq!(parts("`HP-2` never runs. Wire it. Or not."), ("`HP-2` never runs", "Wire it. Or not."));
        assert_eq!(parts("`A. B` is 58.2 °F. `C` is not"), ("`A. B` is 58.2 °F", "`C` is not"));
        assert_eq!(parts("Did you mean `a`? Write it."), ("Did you mean `a`?", "Write it."));
        assert_eq!(parts("one thing; another"), ("one thing; another", ""));
        assert_eq!(parts("One thing."), ("One thing", ""));
    }

    #[test]
    fn a_clause_is_part_of_a_sentence() {
        assert_eq!(clause("`a: b` is off: nothing drives it; wire it"), "`a: b` is off");
        assert_eq!(clause("it is off at 18:00"), "it is off at 18:00");
    }

    #[test]
    fn numbers_are_for_people() {
        assert_eq!([0, 999, 1000, 1_234_567].map(thousands), ["0", "999", "1,000", "1,234,567"]);
        assert_eq!([0.0, 228.5, 6198.0, 8760.04].map(hours), ["0", "228.5", "6,198", "8,760"]);
        assert_eq!((count(1, "error"), count(0, "note")), ("1 error".to_owned(), "0 notes".to_owned()));
    }

    #[test]
    fn a_verdict_says_what_it_yields_to() {
        let said = |unless: &[&str], cut: bool| {
            conditions(&unless.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>(), cut)
        };
        let (cool, heat) = ("a first-stage cooling call", "a second-stage heating call while occupied");
        assert_eq!(said(&[cool], false), "yields to cooling");
        assert_eq!(
            said(&[cool, heat], false),
            "yields to cooling, and to second-stage heating while occupied"
        );
        assert_eq!(said(&[cool, "D off"], false), "yields to cooling; off with D off");
        assert_eq!(
            said(&[cool, "A on", "B on", "C on", "D on"], false),
            "yields to cooling; off with A on, B on and 2 more"
        );
        assert_eq!(said(&["A on"], true), "off with A on and more");
        assert_eq!(said(&[], false), "in part of the hours");
    }
}
