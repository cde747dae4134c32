//! States and times in the words a person would use.

use crate::atom::Atom;
use air::Celsius;
use calendar::{LocalTime, Period};
use model::{Quantity, UnitOfMeasure};

/// An atom in one state, as a circumstance: `a first-stage heating call`, `HP1-OCC off`. A call names its
/// zone where those of several zones meet.
pub(crate) fn circumstance(atom: &Atom, on: bool, several_zones: bool) -> String {
    match (atom, on) {
        (Atom::Call { call, zone }, on) => {
            let words = call.words().replacen("the", if on { "a" } else { "no" }, 1);
            if several_zones { format!("{words} from `{zone}`") } else { words }
        }
        // What a schedule says is known at every moment, but for one whose values turn nothing on or off.
        (Atom::Schedule(name), on) => format!("schedule `{name}` {}", on_off(on)),
        (Atom::Contact(name) | Atom::Operator(name) | Atom::Unknown(name), on) => {
            format!("{name} {}", on_off(on))
        }
    }
}

/// `on` or `off`.
pub(crate) fn on_off(on: bool) -> &'static str {
    if on { "on" } else { "off" }
}

const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

/// `Fri 2027-05-28 17:00`, local.
pub fn moment_words(period: &Period, instant: i64) -> String {
    match period.local(instant) {
        Some(LocalTime { date, minute }) => {
            format!("{} {:02}:{:02}", day_words(date), minute / 60, minute % 60)
        }
        // The end of the period is the first moment after its last day.
        None => format!("{} 24:00", day_words(period.last_date())),
    }
}

/// `Fri 2027-05-28`.
pub fn day_words(date: calendar::Date) -> String {
    let day = DAYS.get(date.weekday().to_monday_zero_offset() as usize).copied().unwrap_or("");
    format!("{day} {date}")
}

/// `63 h`, `0.5 h`.
pub fn hours_words(hours: f64) -> String {
    format!("{} h", model::plain(hours))
}

/// A temperature on a scale, to a tenth where it is not whole: `69.6 °F`.
pub fn degrees_words(temperature: Celsius, scale: UnitOfMeasure) -> String {
    let fahrenheit = matches!(scale, UnitOfMeasure::Fahrenheit | UnitOfMeasure::FahrenheitDewPoint);
    let (value, unit) = if fahrenheit {
        (air::Fahrenheit::from(temperature).0, UnitOfMeasure::Fahrenheit)
    } else {
        (temperature.0, UnitOfMeasure::Celsius)
    };
    Quantity { value: (value * 10.0).round() / 10.0, unit }.to_string()
}
