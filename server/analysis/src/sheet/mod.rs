//! What is known of a unit or a zone as plain data, for whoever shows it: a terminal, a program, a drawing,
//! an editor.
//!
//! Made here, since it takes the analysis and nothing above it; a report lays it out and works nothing out.
//! A unit has a [`UnitSheet`], a [`Week`] and its [`Chart`](crate::Chart); a zone has a [`Forecast`]. Texts
//! are as the job has them: whoever shows one makes it fit for where it is shown.

mod day_line;
mod forecast;
mod hours;
pub mod page;
mod picture;
mod week;

pub use forecast::{Assumption, Figures, Forecast, GapAbove, HeldTo, HourAbove, SurfaceMean};
pub use hours::{DayBar, GapSheet, LimitSheet, ServiceSheet, ShownWeek, UnitSheet};
pub use page::{Board, UnitPage};
pub use picture::{Picture, PictureHour};
pub use week::{
    Week, WeekCause, WeekDay, WeekInterval, WeekLimit, WeekMode, WeekPeriod, WeekReason, WeekService,
    WeekState,
};

use crate::verdict::Verdict;
use crate::words::moment_words;
use calendar::Period;
use serde::{Serialize, Serializer};

/// A stretch of whole local days.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Days {
    /// The first day, `2027-01-01`.
    pub from: String,
    /// The last day.
    pub to: String,
    /// IANA name.
    pub time_zone: String,
    /// All its hours, clock changes counted.
    pub hours: f64,
}

impl Days {
    pub(crate) fn of(period: &Period) -> Days {
        Days {
            from: period.first_date().to_string(),
            to: period.last_date().to_string(),
            time_zone: period.zone().to_owned(),
            hours: period.hours(),
        }
    }
}

/// A moment.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct When {
    /// Unix seconds.
    pub unix: i64,
    /// Local: `Fri May 28 17:00`.
    pub words: String,
}

impl When {
    pub(crate) fn of(period: &Period, unix: i64) -> When {
        When { unix, words: moment_words(period, unix) }
    }
}

impl Serialize for Verdict {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.key())
    }
}
