//! TMY2: fixed columns; user's manual for TMY2s (NREL/SP-463-7668, 1995), tables 3-1 and 3-2.

use std::ops::Range;

use super::reading::{Reading, hour_ending, number};
use super::{Lines, Row, Station, WeatherProblem};
use crate::{Celsius, Metre, Pascal, RelativeHumidity};

/// Columns of a data line, from 0: tenths of °C, tenths of °C, per cent, millibars.
const DRY_BULB: Range<usize> = 67..71;
const DEW_POINT: Range<usize> = 73..77;
const HUMIDITY: Range<usize> = 79..82;
const PRESSURE: Range<usize> = 84..88;

/// A data line opens with a blank and eight digits (year, month, day, hour) and runs past the pressure.
pub(super) fn is(lines: Lines) -> bool {
    lines.numbered().nth(1).is_some_and(|(_, line)| {
        line.len() >= PRESSURE.end
            && line.get(1..9).is_some_and(|date| date.bytes().all(|byte| byte.is_ascii_digit()))
    })
}

pub(super) fn read(lines: Lines) -> (Station, Vec<Row>) {
    let rows = lines.numbered().skip(1).map(|(number, line)| (number, row(line)));
    (station(lines.first()), rows.collect())
}

/// ` 12839 MIAMI FL -5 N 25 48 W 80 16 2`: read from its end, since names have any number of words.
fn station(head: &str) -> Station {
    let words: Vec<&str> = head.split_whitespace().collect();
    let from_end = |n: usize| words.len().checked_sub(n).and_then(|at| words.get(at)?.parse().ok());
    let name = words.get(1..words.len().saturating_sub(8)).unwrap_or_default().join(" ");
    Station { name, hours_from_utc: from_end(8), altitude: from_end(1).map(Metre) }
}

fn row(line: &str) -> Result<Reading, WeatherProblem> {
    let text = |columns: Range<usize>| line.get(columns).unwrap_or_default();
    let measured = |field, columns: Range<usize>, not_measured: f64| {
        number(field, line.get(columns)).map(|value| (value < not_measured).then_some(value))
    };
    Ok(Reading {
        hour: hour_ending(text(3..5), text(5..7), text(7..9))?,
        dry_bulb: measured("dry bulb", DRY_BULB, 9999.0)?.map(|tenths| Celsius(tenths / 10.0)),
        dew_point: measured("dew point", DEW_POINT, 9999.0)?.map(|tenths| Celsius(tenths / 10.0)),
        humidity: measured("relative humidity", HUMIDITY, 999.0)?.map(RelativeHumidity::from_percent),
        pressure: measured("pressure", PRESSURE, 9999.0)?.map(|millibars| Pascal(millibars * 100.0)),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::{HOURS_IN_YEAR, HourOfYear, Weather};
    use super::*;

    /// A line of our own with the columns that are read; the rest is zeros.
    fn line(date: &str, dry_bulb: &str, dew_point: &str, humidity: &str, pressure: &str) -> String {
        format!(" {date}{:058}{dry_bulb}A7{dew_point}A7{humidity}A7{pressure}A7", 0)
    }

    #[test]
    fn reads_the_columns_and_names_what_it_cannot() {
        let file = [
            " 99999 SALTMARSH POINT        FL  -5 N 25 48 W  80 16    12".to_owned(),
            line("62070119", " 281", " 252", " 84", "1016"),
            line("62070120", " 275", "9999", " 90", "1016"),
            line("62070121", "9999", " 250", " 84", "1016"),
            line("62070122", " 2x1", " 250", " 84", "1016"),
            line("62070119", " 200", " 100", " 50", "1016"),
            line("62073325", " 200", " 100", " 50", "1016"),
            line("62070123", " 200", " 210", " 50", "1016"),
            line("62070124", " 200", " 203", " 50", "1016"),
            " 620702".to_owned(),
        ]
        .join("\r\n");
        let weather = Weather::read(file.as_bytes());
        assert_eq!(
            weather.station,
            Station {
                name: "SALTMARSH POINT FL".to_owned(),
                hours_from_utc: Some(-5.0),
                altitude: Some(Metre(12.0))
            }
        );
        let at = |hour| weather.at(HourOfYear::new(7, 1, hour).unwrap());
        let evening = at(18).unwrap();
        assert_eq!((evening.dry_bulb(), evening.pressure()), (Celsius(28.1), Pascal(101_600.0)));
        assert!((evening.dew_point().0 - 25.2).abs() < 1e-6);
        assert!((at(19).unwrap().relative_humidity().percent() - 90.0).abs() < 1e-6);
        assert!((at(23).unwrap().dew_point().0 - 20.0).abs() < 1e-6);
        assert_eq!(weather.missing().count(), HOURS_IN_YEAR - 3);
        let faults: Vec<String> = weather.faults.iter().map(ToString::to_string).collect();
        assert_eq!(
            faults,
            [
                "line 4: the dry bulb is missing, so this hour is left out",
                "line 5: the dry bulb `2x1` is not a number, so this hour is left out",
                "line 6: this is a second reading for Jul 1 18:00, so only the one on line 2 is used",
                "line 7: there is no hour `07/33 25`, so this line is left out",
                "line 8: the dew point of 21 °C is outside -100 to 20 °C, so this hour is left out",
                "line 10: there is no hour `07/02 `, so this line is left out",
            ]
        );
        let span = weather.span(HourOfYear::new(7, 1, 18).unwrap(), 4).unwrap_err();
        assert_eq!(span.to_string(), "the weather has no reading for Jul 1 20:00, Jul 1 21:00");
    }
}
