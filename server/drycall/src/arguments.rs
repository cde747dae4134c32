//! What may be asked for on the command line.

use clap::error::{ContextKind, ContextValue, Error};
use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Holds a building-automation job (points, schedules, setpoints, options, wiring) against its
/// units' own logic.
#[derive(Parser)]
#[command(version, max_term_width = 90)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Subcommand)]
pub(crate) enum Command {
    /// Show every finding and verdict of a job
    Review {
        /// The job folder, or any path in it
        #[arg(default_value = ".")]
        job: PathBuf,
        /// The format of the report [default: text on a terminal, lines in a pipe or a file]
        #[arg(long, value_enum)]
        format: Option<ReviewFormat>,
        /// Show all reasons of a finding, with the lines of a unit type's logic among them
        #[arg(long)]
        reasons: bool,
        /// Write the report to this file instead of showing it
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Leave out what is below this level, and exit with 1 from it on [default: show all, exit with 1 from warning on]
        #[arg(long, value_enum, value_name = "LEVEL")]
        level: Option<Level>,
    },
    /// Show proven repairs of a job's findings, or apply those that change no meaning but the fault
    Repair {
        /// The job folder, or any path in it
        #[arg(default_value = ".")]
        job: PathBuf,
        /// Write the safe repairs into the files
        #[arg(long)]
        write: bool,
    },
    /// Explain a check, a unit type, a section of the format or a key; without a name, list them all
    Explain {
        /// Like `dehumidification-gap`, `stand-alone-dehumidifier`, `zones`, `units.inputs` or `driven-by`
        name: Option<String>,
        /// Show every message of the check, or of all checks, with the line of an example that it is about
        #[arg(long)]
        messages: bool,
    },
    /// Show a unit's logic chart: every distinct row, calls to outputs, as wired and set
    Chart {
        /// The unit
        unit: String,
        /// The job folder, or any path in it
        #[arg(long, default_value = ".")]
        job: PathBuf,
        /// The format of the chart
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Show when each service of a unit can run, with its gaps
    Hours {
        /// The unit
        unit: String,
        /// The job folder, or any path in it
        #[arg(long, default_value = ".")]
        job: PathBuf,
        /// Show the week that begins on this day hour by hour
        #[arg(long, value_name = "DATE")]
        week: Option<String>,
        /// The form of the answer
        #[arg(long, value_enum, default_value_t = HoursFormat::Text)]
        format: HoursFormat,
        /// The service that is drawn or given for programs [default: the one that dries, else the first]
        #[arg(long)]
        service: Option<String>,
    },
    /// Predict a zone's humidity over the review period, above all while nothing may dry it
    Predict {
        /// The zone
        zone: String,
        /// The job folder, or any path in it
        #[arg(long, default_value = ".")]
        job: PathBuf,
        /// The format of the prediction
        #[arg(long, value_enum, default_value_t = PredictionFormat::Text)]
        format: PredictionFormat,
        /// Write it to this file instead of showing it
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Start a small job that reviews clean
    New {
        /// The folder to make
        folder: PathBuf,
    },
    /// Serve an editor over the Language Server Protocol on standard input and output
    Serve {
        /// Accepted, since many editors add it; there is no other way
        #[arg(long, hide = true)]
        stdio: bool,
    },
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum HoursFormat {
    /// For people
    Text,
    /// For programs
    Json,
    /// A drawing of the week: the one asked for, else the one most worth seeing
    Svg,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ReviewFormat {
    /// For people: file by file, the worst first, with the line itself under each finding
    Text,
    /// One `file:line:column: severity: message [check]` a finding, for editors and scripts
    Lines,
    /// For programs
    Json,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PredictionFormat {
    /// For people
    Text,
    /// For programs
    Json,
    /// A drawing of the days around the worst gap
    Svg,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Level {
    /// What cannot work as written
    Error,
    /// What works against the intent or a published limit, and errors
    Warning,
    /// Everything
    Note,
}

impl From<Level> for checks::Severity {
    fn from(level: Level) -> Self {
        match level {
            Level::Error => checks::Severity::Error,
            Level::Warning => checks::Severity::Warning,
            Level::Note => checks::Severity::Note,
        }
    }
}

/// What a command or flag that nothing goes by has become.
pub(crate) fn renamed(error: &Error) -> Option<String> {
    let written =
        [ContextKind::InvalidArg, ContextKind::InvalidSubcommand].into_iter().find_map(|kind| match error
            .get(kind)
        {
            Some(ContextValue::String(written)) => Some(written.as_str()),
            _ => None,
        })?;
    let new = model::renamed(written)?;
    Some(format!("`{written}` was renamed to `{new}`"))
}
