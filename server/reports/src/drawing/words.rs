//! Numbers and states in the words of a drawing.

use super::marks::code;
use analysis::Verdict;
use analysis::sheet::page::{StretchState, UnitPage};

/// `8,760`, `228.5`: to the tenth.
pub(super) fn number(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    let text = format!("{tenths:.1}");
    let (whole, tenth) = text.split_once('.').unwrap_or((&text, "0"));
    let digits = whole.trim_start_matches('-');
    let mut grouped = String::new();
    for (n, digit) in digits.chars().enumerate() {
        if n > 0 && (digits.len() - n).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let sign = if whole.starts_with('-') && tenths != 0.0 { "-" } else { "" };
    if tenth == "0" { format!("{sign}{grouped}") } else { format!("{sign}{grouped}.{tenth}") }
}

/// `228.5 h`.
pub(super) fn hours(value: f64) -> String {
    format!("{} h", number(value))
}

/// A temperature without its unit, to the tenth.
pub(super) fn degrees(value: f64) -> String {
    number(value)
}

/// `07:30`; the end of a day is `24:00`.
pub(super) fn clock(minute: u16) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// What a state says, for a reader of the screen.
pub(super) fn state<P>(state: &StretchState<P>) -> String {
    match state.verdict {
        Verdict::Always => "can run when called".to_owned(),
        Verdict::Never => "cannot run".to_owned(),
        Verdict::NotProven => "not proven".to_owned(),
        Verdict::Conditional if state.yields.is_empty() => "can run, but something may block it".to_owned(),
        Verdict::Conditional => format!("can run; {}", state.yields),
    }
}

/// The answer of a page in one sentence, without its cause: `CR-1 cannot dehumidify stacks for 228.5 h, … to …`.
/// Names stand in backquotes.
pub(super) fn answer<P>(page: &UnitPage<P>) -> String {
    let (unit, verb) = (&page.unit, &page.verb);
    let zone = page.zone.as_ref().map_or_else(String::new, |zone| format!(" `{zone}`"));
    match (page.verdict, &page.longest_gap) {
        (Verdict::NotProven, _) => format!("Whether {unit} can {verb}{zone} is not proven"),
        (Verdict::Never, _) => format!("{unit} can never {verb}{zone}"),
        (_, Some(gap)) => format!(
            "{unit} cannot {verb}{zone} for {}, {} to {}",
            hours(gap.hours),
            gap.from_short,
            gap.to_short
        ),
        (Verdict::Always, None) => format!("{unit} can {verb}{zone} at every hour, whatever else is called"),
        (_, None) if page.yields.is_empty() => format!("{unit} can {verb}{zone} at every hour"),
        (_, None) => format!("{unit} can {verb}{zone} at every hour, but {}", page.yields),
    }
}

/// Words with names in backquotes, as HTML.
pub(super) fn html(words: &str) -> String {
    code(words)
}

/// What the week and the period come to.
pub(super) fn totals<P>(page: &UnitPage<P>) -> Vec<String> {
    let mut told = Vec::new();
    if let Some(hours) = page.week.hours {
        told.push(format!("This week {} of {} h", number(hours), number(page.week.all_hours)));
    }
    if let Some(hours) = page.hours {
        let share = if page.period.hours > 0.0 { hours / page.period.hours * 100.0 } else { 0.0 };
        let gaps = match page.gaps.unwrap_or_default() {
            _ if page.verdict == Verdict::Never => String::new(),
            0 => ", no gap".to_owned(),
            1 => ", 1 gap".to_owned(),
            more => format!(", {} gaps", number(more as f64)),
        };
        let is_year = [8760.0, 8784.0].contains(&page.period.hours);
        let whole = if is_year { "This year" } else { "The review period" };
        let all = number(page.period.hours);
        told.push(format!("{whole} {} of {all} h ({share:.0} %){gaps}", number(hours)));
    }
    let says_so = page.longest_gap.is_none() && page.verdict != Verdict::NotProven;
    if !page.yields.is_empty() && !says_so {
        told.push(format!("While it can run, it {}", page.yields));
    }
    told
}

/// `met`, `missed`, or that it is not proven.
pub(super) fn met(met: Option<bool>) -> &'static str {
    match met {
        Some(true) => "met",
        Some(false) => "missed",
        None => "not proven",
    }
}
