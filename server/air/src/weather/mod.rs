//! Outdoor air for every hour of a typical year, from a weather file or a constant design state.
//!
//! Files are read as they are: a row that cannot be read costs its own hour and is named with its line,
//! and no hour is ever filled in from its neighbours.

mod epw;
mod fault;
mod hour_of_year;
mod reading;
mod tmy2;
mod tmy3;

pub use fault::{MissingHours, WeatherFault, WeatherProblem};
pub use hour_of_year::{HOURS_IN_YEAR, HourOfYear};

use crate::{Metre, MoistAir};
use reading::Reading;

/// Where a weather file was measured, as far as its head says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Station {
    /// Name as the file gives it.
    pub name: String,
    /// Hours that local standard time is ahead of universal time.
    pub hours_from_utc: Option<f64>,
    /// Altitude above sea level.
    pub altitude: Option<Metre>,
}

/// Outdoor air by the hour of a year of 365 days, in local standard time.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// Where it was measured.
    pub station: Station,
    /// What could not be read, in the order of the file's lines.
    pub faults: Vec<WeatherFault>,
    hours: Vec<Option<MoistAir>>,
}

impl Weather {
    /// The same outdoor air at every hour: a design state.
    pub fn constant(air: MoistAir) -> Self {
        Weather {
            station: Station { name: "constant design state".to_owned(), ..Station::default() },
            faults: Vec::new(),
            hours: vec![Some(air); HOURS_IN_YEAR],
        }
    }

    /// Reads a typical-year file of any of the three forms: TMY2 (fixed columns), TMY3 and EPW
    /// (separated by commas). Always gives a year; what is not in the file is missing from it.
    ///
    /// Bytes outside UTF-8 can stand only in a station's name, so they are replaced.
    pub fn read(file: &[u8]) -> Self {
        let text = String::from_utf8_lossy(file);
        let lines = Lines::of(&text);
        let first = lines.first();
        let (station, rows) = if epw::is(first) {
            epw::read(lines)
        } else if tmy3::is(lines) {
            tmy3::read(lines)
        } else if tmy2::is(lines) {
            tmy2::read(lines)
        } else {
            (Station::default(), vec![(1, Err(WeatherProblem::NotWeather))])
        };
        Self::collect(station, rows)
    }

    fn collect(station: Station, rows: Vec<Row>) -> Self {
        let mut faults = Vec::new();
        let mut hours = vec![None; HOURS_IN_YEAR];
        let mut lines_read = vec![0; HOURS_IN_YEAR];
        for (line, row) in rows {
            let mut fault = |problem| faults.push(WeatherFault { line, problem });
            let reading = match row {
                Ok(reading) => reading,
                Err(problem) => {
                    fault(problem);
                    continue;
                }
            };
            let index = reading.hour.index();
            let (Some(slot), Some(first)) = (hours.get_mut(index), lines_read.get_mut(index)) else {
                continue;
            };
            if *first != 0 {
                fault(WeatherProblem::HourTwice { hour: reading.hour, first: *first });
                continue;
            }
            *first = line;
            match reading.air() {
                Ok(air) => *slot = Some(air),
                Err(problem) => fault(problem),
            }
        }
        Weather { station, faults, hours }
    }

    /// Outdoor air of one hour; none where the file has none.
    pub fn at(&self, hour: HourOfYear) -> Option<MoistAir> {
        self.hours.get(hour.index()).copied().flatten()
    }

    /// Hours for which there is no outdoor air.
    pub fn missing(&self) -> impl Iterator<Item = HourOfYear> {
        HourOfYear::all().filter(|&hour| self.at(hour).is_none())
    }

    /// Outdoor air for `count` hours from `start` on, running on from December into January; or the
    /// hours among them that the file does not have.
    pub fn span(&self, start: HourOfYear, count: usize) -> Result<Vec<MoistAir>, MissingHours> {
        let hours = || start.following().take(count);
        let air: Vec<MoistAir> = hours().map_while(|hour| self.at(hour)).collect();
        if air.len() == count {
            return Ok(air);
        }
        let missing = hours().take(HOURS_IN_YEAR).filter(|&hour| self.at(hour).is_none());
        Err(MissingHours { hours: missing.collect() })
    }
}

/// What one line of a file held, by its number from 1.
type Row = (usize, Result<Reading, WeatherProblem>);

/// The lines of a file, cheap to pass on.
#[derive(Clone, Copy)]
struct Lines<'text>(&'text str);

impl<'text> Lines<'text> {
    fn of(text: &'text str) -> Self {
        Lines(text.trim_start_matches('\u{feff}'))
    }

    /// Every line with its number from 1; blank lines are counted and passed over.
    fn numbered(self) -> impl Iterator<Item = (usize, &'text str)> {
        (1..).zip(self.0.lines()).filter(|(_, line)| !line.trim().is_empty())
    }

    fn first(self) -> &'text str {
        self.0.lines().next().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use proptest::prelude::*;

    use super::*;
    use crate::{Celsius, Pascal};

    #[test]
    fn a_design_state_holds_at_every_hour() {
        let air = MoistAir::from_dew_point(Celsius(30.0), Celsius(25.0), Pascal::STANDARD).unwrap();
        let weather = Weather::constant(air);
        assert_eq!(weather.missing().count(), 0);
        let new_year = HourOfYear::new(12, 31, 22).unwrap();
        assert_eq!(weather.span(new_year, 9000).unwrap(), vec![air; 9000]);
    }

    #[test]
    fn what_is_no_weather_file_says_so_and_is_empty() {
        for file in [&b""[..], b"\xff\xfe", b"name,value\n1,2\n", "température\n".as_bytes()] {
            let weather = Weather::read(file);
            assert_eq!(weather.faults, [WeatherFault { line: 1, problem: WeatherProblem::NotWeather }]);
            assert_eq!(weather.missing().count(), HOURS_IN_YEAR);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_file_panics(form in 0..3_usize, lines in prop::collection::vec("[-0-9./:, A?é]{0,160}", 0..20)) {
            let heads = [" 1 A FL -5 N 25 48 W 80 16 2\n", "LOCATION,A,B\nDATA PERIODS\n", "1,A,B\nDate (MM/DD/YYYY),Time (HH:MM),\
                Dry-bulb (C),Dew-point (C),RHum (%),Pressure (mbar)\n"];
            let file = heads[form].to_owned() + &lines.join("\n");
            let weather = Weather::read(file.as_bytes());
            prop_assert!(weather.faults.iter().all(|fault| (1..=22).contains(&fault.line)));
        }
    }
}
