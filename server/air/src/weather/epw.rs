//! EPW: comma-separated with eight lines of head; its data dictionary is in the `EnergyPlus` auxiliary
//! programs manual, and Crawley, Hand and Lawrie, *Improving the weather information available to
//! simulation programs* (1999).

use super::reading::{Reading, hour_ending, number};
use super::{Lines, Row, Station, WeatherProblem};
use crate::{Celsius, Metre, Pascal, RelativeHumidity};

/// The last line of the head.
const DATA_PERIODS: &str = "DATA PERIODS";

pub(super) fn is(first_line: &str) -> bool {
    first_line.starts_with("LOCATION,")
}

pub(super) fn read(lines: Lines) -> (Station, Vec<Row>) {
    let mut rows = lines.numbered().skip_while(|(_, line)| !line.starts_with(DATA_PERIODS));
    let rows = match rows.next() {
        Some(_) => rows.map(|(number, line)| (number, row(line))).collect(),
        None => vec![(1, Err(WeatherProblem::Absent(DATA_PERIODS)))],
    };
    (station(lines.first()), rows)
}

/// `LOCATION,name,state,country,source,number,latitude,longitude,time zone,altitude`
fn station(head: &str) -> Station {
    let fields: Vec<&str> = head.split(',').map(str::trim).collect();
    let text = |column: usize| fields.get(column).copied().unwrap_or_default();
    Station {
        name: format!("{} {}", text(1), text(2)).trim().to_owned(),
        hours_from_utc: text(8).parse().ok(),
        altitude: text(9).parse().ok().map(Metre),
    }
}

/// Year, month, day, hour, minute, flags, dry bulb, dew point, relative humidity, pressure, …
fn row(line: &str) -> Result<Reading, WeatherProblem> {
    let fields: Vec<&str> = line.split(',').take(10).collect();
    let text = |column: usize| fields.get(column).copied().unwrap_or_default();
    // The dictionary gives each field a number that stands where nothing was measured.
    let measured = |field, column: usize, not_measured: f64| {
        number(field, fields.get(column).copied()).map(|value| (value < not_measured).then_some(value))
    };
    Ok(Reading {
        hour: hour_ending(text(1), text(2), text(3))?,
        dry_bulb: measured("dry bulb", 6, 99.9)?.map(Celsius),
        dew_point: measured("dew point", 7, 99.9)?.map(Celsius),
        humidity: measured("relative humidity", 8, 999.0)?.map(RelativeHumidity::from_percent),
        pressure: measured("pressure", 9, 999_999.0)?.map(Pascal),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::{HourOfYear, Weather};
    use super::*;

    #[test]
    fn reads_what_follows_the_head() {
        let file = "LOCATION,Saltmarsh Point,FL,USA,invented,999999,25.8,-80.3,-5.0,4.0\n\
                    COMMENTS 1,a week of our own\n\
                    DATA PERIODS,1,1,Data,Sunday, 7/ 1, 7/ 1\n\
                    1986,7,1,1,0,flags,28.00,25.00,84,101600,0\n\
                    1986,7,1,2,0,flags,28.00,99.9,84,101600,0\n\
                    1986,7,1,3,0,flags,99.9,25.00,84,101600,0\n\
                    1986,7,1,4,0,flags,28.00,25.00,84,999999,0\n";
        let weather = Weather::read(file.as_bytes());
        assert_eq!(weather.station.name, "Saltmarsh Point FL");
        assert_eq!(weather.station.hours_from_utc, Some(-5.0));
        let at = |hour| weather.at(HourOfYear::new(7, 1, hour).unwrap());
        assert!((at(0).unwrap().dew_point().0 - 25.0).abs() < 1e-6);
        assert!((at(1).unwrap().relative_humidity().percent() - 84.0).abs() < 1e-6);
        let faults: Vec<String> = weather.faults.iter().map(ToString::to_string).collect();
        assert_eq!(
            faults,
            [
                "line 6: the dry bulb is missing, so this hour is left out",
                "line 7: the pressure is missing, so this hour is left out",
            ]
        );
    }

    #[test]
    fn a_head_without_data_is_named() {
        let faults = Weather::read(b"LOCATION,Saltmarsh Point\n").faults;
        assert_eq!(faults.first().unwrap().problem, WeatherProblem::Absent(DATA_PERIODS));
    }
}
