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
            WeatherProblem::NotWeather => {
                f.write_str("this is not a weather file. Use a TMY2, TMY3 or EPW file")
            }
            WeatherProblem::NoColumn(column) => write!(f, "the column `{column}` is missing"),
            WeatherProblem::Absent(field) => write!(f, "the {field} is missing, so this hour is left out"),
            WeatherProblem::NotANumber { field, text } => {
                write!(f, "the {field} `{text}` is not a number, so this hour is left out")
            }
            WeatherProblem::NoSuchHour(text) => {
                write!(f, "there is no hour `{text}`, so this line is left out")
            }
            WeatherProblem::HourTwice { hour, first } => {
                write!(f, "this is a second reading for {hour}, so only the one on line {first} is used")
            }
            WeatherProblem::NotAir(range) => write!(f, "the {range}, so this hour is left out"),
        }
    }
}

/// Hours that a prediction needs and the weather does not have.
#[derive(Clone, Debug, PartialEq)]
pub struct MissingHours {
    /// In the order in which they were asked for, each once.
    pub hours: Vec<HourOfYear>,
}

impl MissingHours {
    /// The first few, and how many more there are: `Jul 1 20:00, Jul 1 21:00`.
    pub fn list(&self) -> String {
        const NAMED: usize = 4;
        let named: Vec<String> = self.hours.iter().take(NAMED).map(ToString::to_string).collect();
        let more = match self.hours.len().saturating_sub(NAMED) {
            0 => String::new(),
            1 => " and 1 more hour".to_owned(),
            more => format!(" and {more} more hours"),
        };
        named.join(", ") + &more
    }
}

impl fmt::Display for MissingHours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the weather has no reading for {}", self.list())
    }
}

impl std::error::Error for MissingHours {}
