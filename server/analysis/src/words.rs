//! States and times in the words a person would use.

use crate::atom::Atom;
use air::Celsius;
use calendar::{LocalTime, Period};
use model::{Quantity, UnitOfMeasure};

/// An atom in one state, as a circumstance: `a first-stage heating call`, `HP1-OCC off`. A call names its
/// zone where those of several zones meet. Names of points are `quoted` in a message, and plain in a table.
pub(crate) fn circumstance(atom: &Atom, on: bool, several_zones: bool, quoted: bool) -> String {
    let named = |name: &model::Name| if quoted { format!("`{name}`") } else { name.to_string() };
    match (atom, on) {
        (Atom::Call { call, zone }, on) => {
            let words = call.words().replacen("the", if on { "a" } else { "no" }, 1);
            if several_zones { format!("{words} from `{zone}`") } else { words }
        }
        // What a schedule says is known at every moment, but for one whose values turn nothing on or off.
        (Atom::Schedule(name), on) => format!("schedule `{name}` {}", on_off(on)),
        (Atom::Contact(name) | Atom::Operator(name) | Atom::Unknown(name), on) => {
            format!("{} {}", named(name), on_off(on))
        }
    }
}

/// `on` or `off`.
pub(crate) fn on_off(on: bool) -> &'static str {
    if on { "on" } else { "off" }
}

const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// `Fri May 28 17:00`, local; with its year as [`day_words`] has it.
pub fn moment_words(period: &Period, instant: i64) -> String {
    match period.local(instant) {
        Some(LocalTime { date, minute }) => {
            format!("{} {:02}:{:02}", day_words(period, date), minute / 60, minute % 60)
        }
        // The end of the period is the first moment after its last day.
        None => format!("{} 24:00", day_words(period, period.last_date())),
    }
}

/// `Fri May 28`; `Fri May 28 2027` where the period names that day twice, or not at all.
pub fn day_words(period: &Period, date: calendar::Date) -> String {
    let (first, last) = (period.first_date(), period.last_date());
    let a_year_on = (first.year() + 1, first.month(), first.day());
    let once = (first..=last).contains(&date) && (last.year(), last.month(), last.day()) < a_year_on;
    if once { short_day(date) } else { dated_words(date) }
}

/// `Fri May 28 2027`: a day whose year is the point.
pub fn dated_words(date: calendar::Date) -> String {
    format!("{} {}", short_day(date), date.year())
}

fn short_day(date: calendar::Date) -> String {
    let day = DAYS.get(date.weekday().to_monday_zero_offset() as usize).copied().unwrap_or("");
    let month = MONTHS.get((date.month() - 1) as usize).copied().unwrap_or("");
    format!("{day} {month} {}", date.day())
}

/// `63 h`, `228.5 h`, `8,760 h`: hours to the tenth.
pub fn hours_words(hours: f64) -> String {
    format!("{} h", tenths(hours))
}

/// `6,198 of 8,760 h (71 %)`. What is neither nothing nor all is never told as 0 % or 100 %.
pub fn share_words(hours: f64, all: f64) -> String {
    let percent = if all > 0.0 { 100.0 * hours / all } else { 0.0 };
    let percent = match percent.round() {
        0.0 if hours > 0.0 => "under 1".to_owned(),
        100.0 if hours < all => "over 99".to_owned(),
        whole => format!("{whole}"),
    };
    format!("{} of {} ({percent} %)", tenths(hours), hours_words(all))
}

/// `8,760`: a count.
pub fn count_words(count: usize) -> String {
    tenths(count as f64)
}

/// To the tenth where it is not whole, with thousands separated.
fn tenths(value: f64) -> String {
    let text = format!("{:.1}", value.abs());
    let (whole, tenth) = text.split_once('.').unwrap_or((&text, "0"));
    let mut words = String::new();
    for (n, digit) in whole.chars().enumerate() {
        if n > 0 && (whole.len() - n).is_multiple_of(3) {
            words.push(',');
        }
        words.push(digit);
    }
    let sign = if value < 0.0 && text.contains(|c| matches!(c, '1'..='9')) { "-" } else { "" };
    if tenth == "0" { format!("{sign}{words}") } else { format!("{sign}{words}.{tenth}") }
}

/// A temperature on a scale, to three digits: `69.6 °F`, `104 °F`.
pub fn degrees_words(temperature: Celsius, scale: UnitOfMeasure) -> String {
    let fahrenheit = matches!(scale, UnitOfMeasure::Fahrenheit | UnitOfMeasure::FahrenheitDewPoint);
    let (value, unit) = if fahrenheit {
        (air::Fahrenheit::from(temperature).0, UnitOfMeasure::Fahrenheit)
    } else {
        (temperature.0, UnitOfMeasure::Celsius)
    };
    let value = if value.abs() < 99.95 { (value * 10.0).round() / 10.0 } else { value.round() };
    Quantity { value, unit }.to_string()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::{day_words, degrees_words, hours_words, share_words};
    use air::Celsius;
    use calendar::{Date, Period};
    use model::UnitOfMeasure;

    #[test]
    fn numbers_are_for_people() {
        for (hours, words) in [
            (0.0, "0 h"),
            (-0.01, "0 h"),
            (0.5, "0.5 h"),
            (228.46, "228.5 h"),
            (999.96, "1,000 h"),
            (8760.0, "8,760 h"),
            (1_234_567.8, "1,234,567.8 h"),
        ] {
            assert_eq!(hours_words(hours), words);
        }
        assert_eq!(share_words(6198.0, 8760.0), "6,198 of 8,760 h (71 %)");
        assert_eq!(share_words(0.5, 8760.0), "0.5 of 8,760 h (under 1 %)");
        assert_eq!(share_words(8759.5, 8760.0), "8,759.5 of 8,760 h (over 99 %)");
        assert_eq!(share_words(8760.0, 8760.0), "8,760 of 8,760 h (100 %)");
        assert_eq!(degrees_words(Celsius(20.9), UnitOfMeasure::Fahrenheit), "69.6 °F");
        assert_eq!(degrees_words(Celsius(40.2), UnitOfMeasure::Fahrenheit), "104 °F");
    }

    #[test]
    fn a_day_has_its_year_where_it_needs_one() {
        let date = |year, month, day| Date::new(year, month, day).unwrap();
        let of = |days| Period::new("America/New_York", date(2027, 7, 1), days).unwrap();
        assert_eq!(day_words(&of(365), date(2028, 3, 3)), "Fri Mar 3");
        assert_eq!(day_words(&of(365), date(2026, 7, 5)), "Sun Jul 5 2026");
        assert_eq!(day_words(&of(366), date(2027, 8, 1)), "Sun Aug 1");
        assert_eq!(day_words(&of(367), date(2027, 8, 1)), "Sun Aug 1 2027");
    }
}
