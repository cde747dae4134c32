//! Week-and-day in words: `last monday of may`, `first friday of odd months`, `25 december`.

use jiff::civil::Weekday;

use crate::{DayRule, MonthRule, Occurrence, WeekRule};

const EXAMPLES: &str = "Write days like `last monday of may`, `first friday of odd months`, `every wednesday`, \
                        `last day of every month`, `even days of july` or `25 december`.";

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The most days that each month of [`MONTHS`] can have.
const LENGTHS: [u8; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

const WEEKDAYS: [(&str, Weekday); 7] = [
    ("monday", Weekday::Monday),
    ("tuesday", Weekday::Tuesday),
    ("wednesday", Weekday::Wednesday),
    ("thursday", Weekday::Thursday),
    ("friday", Weekday::Friday),
    ("saturday", Weekday::Saturday),
    ("sunday", Weekday::Sunday),
];

const ORDINALS: [&str; 5] = ["first", "second", "third", "fourth", "fifth"];

/// One word, understood.
#[derive(Clone, Copy, PartialEq)]
enum Word {
    Of,
    To,
    Last,
    Odd,
    Even,
    Number(u8),
    Weekday(Weekday),
    Month(u8),
    Day,
    Week,
    Months,
}

/// Reads the standard's week-and-day, or a day of the month, from plain English. Case, commas and
/// the words `the`, `every` and `each` make no difference; days and months may be cut to three letters.
///
/// # Errors
/// What was not understood and what may be written, for the person who wrote it.
pub fn parse_week_n_day(words: &str) -> Result<Occurrence, String> {
    let mut understood = Vec::new();
    for word in
        words.split(|c: char| c.is_whitespace() || c == ',' || c == '-').filter(|word| !word.is_empty())
    {
        let lower = word.to_lowercase();
        match (lower.as_str(), Word::from(&lower)) {
            ("the" | "every" | "each" | "on", _) => {}
            ("weekday" | "weekdays" | "weekend" | "weekends", _) => {
                return Err(format!(
                    "`{word}` is several days of the week. Write one entry for each, like `every saturday`."
                ));
            }
            (_, Some(known)) => understood.push(known),
            (_, None) => {
                return Err(format!("`{word}` is not understood here. {EXAMPLES}"));
            }
        }
    }
    let not_so = || format!("`{words}` names no days. {EXAMPLES}");
    let (days, months) = match understood.iter().position(|&word| word == Word::Of) {
        Some(of) => (understood.get(..of).unwrap_or_default(), understood.get(of + 1..).unwrap_or_default()),
        None => split_without_of(&understood),
    };
    let month = month_rule(months).ok_or_else(not_so)?;
    let occurrence = day_rule(days, month).ok_or_else(not_so)?;
    if let Occurrence::DayOfMonth { month: MonthRule::Month(month), day: DayRule::Day(day) } = occurrence {
        let place = usize::from(month).saturating_sub(1);
        if let (Some(&length), Some(name)) = (LENGTHS.get(place), MONTHS.get(place))
            && day > length
        {
            return Err(format!("`{name}` has only {length} days. Did you mean `{length} {name}`?"));
        }
    }
    Ok(occurrence)
}

/// `25 december`, `december 25` and `july` do without the `of`.
fn split_without_of(words: &[Word]) -> (&[Word], &[Word]) {
    match words {
        [Word::Number(_), Word::Month(_)] => words.split_at(1),
        [Word::Month(_), ..] => {
            let (month, day) = words.split_at(1);
            (day, month)
        }
        _ => (words, &[]),
    }
}

fn month_rule(words: &[Word]) -> Option<MonthRule> {
    match *words {
        [] | [Word::Months] => Some(MonthRule::Any),
        [Word::Odd, Word::Months] => Some(MonthRule::Odd),
        [Word::Even, Word::Months] => Some(MonthRule::Even),
        [Word::Month(month)] => Some(MonthRule::Month(month)),
        _ => None,
    }
}

fn day_rule(words: &[Word], month: MonthRule) -> Option<Occurrence> {
    let in_week = |week, weekday| Some(Occurrence::WeekNDay { month, week, weekday });
    let in_month = |day| Some(Occurrence::DayOfMonth { month, day });
    match *words {
        [] if month != MonthRule::Any => in_month(DayRule::Any),
        [Word::Day] => in_month(DayRule::Any),
        [Word::Odd, Word::Day] => in_month(DayRule::Odd),
        [Word::Even, Word::Day] => in_month(DayRule::Even),
        [Word::Last, Word::Day] => in_month(DayRule::Last),
        [Word::Number(day)] | [Word::Number(day), Word::Day] | [Word::Day, Word::Number(day)] => {
            in_month(DayRule::Day(day))
        }
        [Word::Weekday(weekday)] => in_week(WeekRule::Any, Some(weekday)),
        [ref week @ .., Word::Weekday(weekday)] => in_week(week_rule(week)?, Some(weekday)),
        [ref week @ .., Word::Week] => in_week(week_rule(week)?, None),
        _ => None,
    }
}

fn week_rule(words: &[Word]) -> Option<WeekRule> {
    match *words {
        [Word::Number(week @ 1..=5)] => Some(WeekRule::FromStart(week)),
        [Word::Last] => Some(WeekRule::FromEnd(1)),
        [Word::Number(week @ 2..=4), Word::Last] | [Word::Number(week @ 2..=4), Word::To, Word::Last] => {
            Some(WeekRule::FromEnd(week))
        }
        _ => None,
    }
}

impl Word {
    fn from(word: &str) -> Option<Self> {
        Some(match word {
            "of" | "in" => Self::Of,
            "to" => Self::To,
            "last" => Self::Last,
            "odd" => Self::Odd,
            "even" => Self::Even,
            "day" | "days" => Self::Day,
            "week" => Self::Week,
            "month" | "months" => Self::Months,
            _ => {
                return Self::weekday(word).or_else(|| Self::month(word)).or_else(|| Self::number(word));
            }
        })
    }

    fn weekday(word: &str) -> Option<Self> {
        let name = word.strip_suffix('s').unwrap_or(word);
        let found = WEEKDAYS.iter().find(|(full, _)| is_name(name, full))?;
        Some(Self::Weekday(found.1))
    }

    fn month(word: &str) -> Option<Self> {
        let found = MONTHS.iter().position(|full| is_name(word, full))?;
        Some(Self::Month(found as u8 + 1))
    }

    fn number(word: &str) -> Option<Self> {
        if let Some(found) = ORDINALS.iter().position(|ordinal| *ordinal == word) {
            return Some(Self::Number(found as u8 + 1));
        }
        let digits =
            ["st", "nd", "rd", "th"].iter().find_map(|ending| word.strip_suffix(ending)).unwrap_or(word);
        let number = digits.parse().ok()?;
        (1..=31).contains(&number).then_some(Self::Number(number))
    }
}

/// Whether a word is a name in full, or its first three letters.
fn is_name(word: &str, full: &str) -> bool {
    word == full || (word.len() == 3 && full.starts_with(word))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(words: &str, expected: &Occurrence) {
        assert_eq!(parse_week_n_day(words).as_ref(), Ok(expected), "{words}");
    }

    #[test]
    fn week_and_day() {
        let on = |month, week, weekday| Occurrence::WeekNDay { month, week, weekday };
        let monday = Some(Weekday::Monday);
        reads("last monday of may", &on(MonthRule::Month(5), WeekRule::FromEnd(1), monday));
        reads("The Last Mon of May", &on(MonthRule::Month(5), WeekRule::FromEnd(1), monday));
        reads(
            "first friday of odd months",
            &on(MonthRule::Odd, WeekRule::FromStart(1), Some(Weekday::Friday)),
        );
        reads("every wednesday", &on(MonthRule::Any, WeekRule::Any, Some(Weekday::Wednesday)));
        reads("mondays in even months", &on(MonthRule::Even, WeekRule::Any, monday));
        reads("2nd week of every month", &on(MonthRule::Any, WeekRule::FromStart(2), None));
        reads("second to last monday of june", &on(MonthRule::Month(6), WeekRule::FromEnd(2), monday));
        reads("second-last monday of june", &on(MonthRule::Month(6), WeekRule::FromEnd(2), monday));
    }

    #[test]
    fn days_of_the_month() {
        let on = |month, day| Occurrence::DayOfMonth { month, day };
        reads("last day of every month", &on(MonthRule::Any, DayRule::Last));
        reads("last day of month", &on(MonthRule::Any, DayRule::Last));
        reads("even days of july", &on(MonthRule::Month(7), DayRule::Even));
        reads("every day of july", &on(MonthRule::Month(7), DayRule::Any));
        reads("july", &on(MonthRule::Month(7), DayRule::Any));
        for christmas in
            ["25 december", "december 25", "25th of december", "Dec 25th", "25th day of december"]
        {
            reads(christmas, &on(MonthRule::Month(12), DayRule::Day(25)));
        }
        reads("day 15 of every month", &on(MonthRule::Any, DayRule::Day(15)));
    }

    #[test]
    fn what_is_not_understood_is_named() {
        let message = |words| parse_week_n_day(words).unwrap_err();
        assert!(message("lst monday of may").starts_with("`lst` is not understood"));
        assert!(message("monday first").starts_with("`monday first` names no days"));
        assert!(message("").starts_with("`` names no days"));
        assert!(message("sixth monday of may").contains("`sixth`"));
        assert!(message("6th monday of may").contains("names no days"));
        assert_eq!(message("30 february"), "`february` has only 29 days. Did you mean `29 february`?");
        assert!(message("every weekday").contains("one entry for each"));
    }
}
