//! What can be wrong with a weather file, said by line.

use std::fmt;

use super::HourOfYear;
use crate::OutOfRange;

/// A line of a weather file that could not be used. Its hour is missing.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherFault {
    /// Line of the file, from 1.
    pub line: usize,
    /// What is wrong with it.
    pub problem: WeatherProblem,
}

/// Why a line could not be used.
#[derive(Clone, Debug, PartialEq)]
pub enum WeatherProblem {
    /// The file has none of the three forms.
    NotWeather,
    /// The head names no such column.
    NoColumn(&'static str),
    /// The line ends before this field, or the file marks it as not measured.
    Absent(&'static str),
    /// Not a number.
    NotANumber {
        /// Which field.
        field: &'static str,
        /// What stands there.
        text: String,
    },
    /// There is no such date or hour.
    NoSuchHour(String),
    /// A second reading for an hour; the first is kept.
    HourTwice {
        hour: HourOfYear,
        /// The line that was read first.
        first: usize,
    },
    /// No air can be in this state.
    NotAir(OutOfRange),
}

impl fmt::Display for WeatherFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.problem)
    }
}

impl fmt::Display for WeatherProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            WeatherProblem::NotWeather => f.write_str("not a weather file: expected TMY2, TMY3 or EPW"),
            WeatherProblem::NoColumn(column) => write!(f, "no column `{column}`"),
            WeatherProblem::Absent(field) => write!(f, "no {field}: this hour is missing"),
            WeatherProblem::NotANumber { field, text } => {
                write!(f, "{field} `{text}` is not a number: this hour is missing")
            }
            WeatherProblem::NoSuchHour(text) => write!(f, "there is no hour `{text}`"),
            WeatherProblem::HourTwice { hour, first } => {
                write!(f, "a second reading for {hour}: the one on line {first} is kept")
            }
            WeatherProblem::NotAir(range) => write!(f, "{range}: this hour is missing"),
        }
    }
}

/// Hours that a prediction needs and the weather does not have.
#[derive(Clone, Debug, PartialEq)]
pub struct MissingHours {
    /// In the order in which they were asked for, each once.
    pub hours: Vec<HourOfYear>,
}

impl fmt::Display for MissingHours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const NAMED: usize = 4;
        let named: Vec<String> = self.hours.iter().take(NAMED).map(ToString::to_string).collect();
        write!(f, "the weather has no reading for {}", named.join(", "))?;
        match self.hours.len().saturating_sub(NAMED) {
            0 => Ok(()),
            1 => f.write_str(" and 1 hour more"),
            more => write!(f, " and {more} hours more"),
        }
    }
}

impl std::error::Error for MissingHours {}
