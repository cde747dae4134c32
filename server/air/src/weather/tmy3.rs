//! TMY3: comma-separated with named columns; user's manual for TMY3 (NREL/TP-581-43156, 2008), tables 1-1 to 1-3.

use super::reading::{Reading, hour_ending, number};
use super::{Lines, Row, Station, WeatherProblem};
use crate::{Celsius, Metre, Pascal, RelativeHumidity};

const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";
const DRY_BULB: &str = "Dry-bulb (C)";
const DEW_POINT: &str = "Dew-point (C)";
const HUMIDITY: &str = "RHum (%)";
const PRESSURE: &str = "Pressure (mbar)";
/// Stands where nothing was measured.
const NOT_MEASURED: f64 = -9900.0;

pub(super) fn is(lines: Lines) -> bool {
    lines.numbered().nth(1).is_some_and(|(_, line)| line.starts_with(DATE))
}

pub(super) fn read(lines: Lines) -> (Station, Vec<Row>) {
    let station = station(lines.first());
    let mut numbered = lines.numbered().skip(1);
    let Some((head, names)) = numbered.next() else {
        return (station, Vec::new());
    };
    let columns = match Columns::of(names) {
        Ok(columns) => columns,
        Err(problem) => return (station, vec![(head, Err(problem))]),
    };
    let rows = numbered.map(|(number, line)| (number, columns.row(line))).collect();
    (station, rows)
}

/// `723170,"SALTMARSH, POINT",NC,-5.0,36.100,-79.950,273`: read from its end, since names may hold commas.
fn station(head: &str) -> Station {
    let mut from_end = head.rsplitn(6, ',').map(str::trim);
    let altitude = from_end.next().and_then(|text| text.parse().ok()).map(Metre);
    let hours_from_utc = from_end.nth(2).and_then(|text| text.parse().ok());
    let state = from_end.next().unwrap_or_default();
    let name = from_end
        .next()
        .and_then(|start| start.split_once(','))
        .map_or("", |(_, name)| name.trim_matches('"'));
    Station { name: format!("{name} {state}").trim().to_owned(), hours_from_utc, altitude }
}

/// Where the columns that are read stand.
struct Columns {
    date: usize,
    time: usize,
    dry_bulb: usize,
    dew_point: usize,
    humidity: usize,
    pressure: usize,
}

impl Columns {
    fn of(names: &str) -> Result<Self, WeatherProblem> {
        let column = |wanted: &'static str| {
            names.split(',').position(|name| name.trim() == wanted).ok_or(WeatherProblem::NoColumn(wanted))
        };
        Ok(Columns {
            date: column(DATE)?,
            time: column(TIME)?,
            dry_bulb: column(DRY_BULB)?,
            dew_point: column(DEW_POINT)?,
            humidity: column(HUMIDITY)?,
            pressure: column(PRESSURE)?,
        })
    }

    fn row(&self, line: &str) -> Result<Reading, WeatherProblem> {
        let fields: Vec<&str> = line.split(',').collect();
        let text = |column: usize| fields.get(column).copied().unwrap_or_default();
        let measured = |field, column: usize| {
            number(field, fields.get(column).copied()).map(|value| (value > NOT_MEASURED).then_some(value))
        };
        let mut date = text(self.date).split('/');
        let (month, day) = (date.next().unwrap_or_default(), date.next().unwrap_or_default());
        let hour = text(self.time).split(':').next().unwrap_or_default();
        Ok(Reading {
            hour: hour_ending(month, day, hour)?,
            dry_bulb: measured("dry bulb", self.dry_bulb)?.map(Celsius),
            dew_point: measured("dew point", self.dew_point)?.map(Celsius),
            humidity: measured("relative humidity", self.humidity)?.map(RelativeHumidity::from_percent),
            pressure: measured("pressure", self.pressure)?.map(|millibars| Pascal(millibars * 100.0)),
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::{HourOfYear, Weather};
    use super::*;

    const HEAD: &str = "999999,\"SALTMARSH, POINT\",NC,-5.0,36.100,-79.950,273\n";

    #[test]
    fn reads_columns_by_name_wherever_they_stand() {
        let file = format!(
            "{HEAD}Date (MM/DD/YYYY),Time (HH:MM),Pressure (mbar),RHum (%),Dew-point (C),Dry-bulb (C)\n\
             07/01/1988,24:00,993,77,6.1,10.0\n\
             07/02/1988,01:00,993,-9900,-9900,10.0\n\
             07/02/1988,02:00,993,50\n"
        );
        let weather = Weather::read(file.as_bytes());
        assert_eq!(weather.station.name, "SALTMARSH, POINT NC");
        assert_eq!(weather.station.hours_from_utc, Some(-5.0));
        assert_eq!(weather.station.altitude, Some(Metre(273.0)));
        let air = weather.at(HourOfYear::new(7, 1, 23).unwrap()).unwrap();
        assert_eq!((air.dry_bulb(), air.pressure()), (Celsius(10.0), Pascal(99_300.0)));
        let faults: Vec<String> = weather.faults.iter().map(ToString::to_string).collect();
        assert_eq!(
            faults,
            [
                "line 4: the dew point or relative humidity is missing, so this hour is left out",
                "line 5: the dry bulb is missing, so this hour is left out",
            ]
        );
    }

    #[test]
    fn a_column_that_is_not_there_is_named() {
        let file = format!("{HEAD}Date (MM/DD/YYYY),Time (HH:MM),Dry-bulb (C)\n07/01/1988,24:00,10.0\n");
        let faults = Weather::read(file.as_bytes()).faults;
        assert_eq!(faults.first().unwrap().to_string(), "line 2: the column `Dew-point (C)` is missing");
    }
}
