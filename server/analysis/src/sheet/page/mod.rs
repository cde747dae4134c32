//! All that is shown of one service of a unit: the answer, a week of it, the calls behind the week, the year, the
//! limits, and what could be tried. Plain data; a drawing lays it out and works nothing out.
//!
//! What a place looks like (`P`) is up to whoever shows it.

mod board;
mod choices;
mod days;
mod dew_points;
mod ladder;
mod opening;
mod requirement;
mod stretches;
mod tracks;
mod words;
mod year;
mod yields;

pub use board::{Board, BoardRow};
pub use choices::{WhatIf, WhatIfKind};
pub use days::DaySpan;
pub use dew_points::{DewPointLimit, DewPointPeak, DewPoints};
pub use ladder::{Ladder, LadderBand, LadderLine, LadderMark, LimitFault};
pub use requirement::RequirementLine;
pub use stretches::{DayPage, Stretch, StretchState, WhyLine};
pub use tracks::{InputBlocks, InputLevel, Track, TrackStretch};
pub use year::{LongGap, Year};
pub use yields::over_period as yields_over_period;

use super::{Days, When};
use crate::analysis::Analysis;
use crate::unit::UnitAnalysis;
use crate::verdict::{Gap, Verdict};
use calendar::Date;
use model::{Name, Place, Service, Unit};
use requirement::Requirements;
use serde::Serialize;
use words::{short_date, short_moment};

/// What a reader can go to for a place of the job; nothing where there is no such.
pub type Locate<'l, P> = &'l dyn Fn(&Place) -> Option<P>;

/// One service of a unit over the review period, with a week.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct UnitPage<P> {
    /// Raised when the form changes so that a reader has to know.
    pub format: u32,
    /// The site's name.
    pub site: Option<String>,
    /// The unit.
    pub unit: String,
    /// Its type.
    #[serde(rename = "type")]
    pub unit_type: String,
    /// The zone it serves.
    pub zone: Option<String>,
    /// The review period.
    pub period: Days,
    /// The services of the type, in its order.
    pub services: Vec<String>,
    /// The service that is shown.
    pub service: String,
    /// What the service is good for, as an order: `dehumidify`.
    pub verb: String,
    /// The verdict over the whole period.
    pub verdict: Verdict,
    /// Hours in which it can run; nothing where that is not proven.
    pub hours: Option<f64>,
    /// How many gaps there are; likewise.
    pub gaps: Option<usize>,
    /// The longest gap, the earliest of equals.
    pub longest_gap: Option<GapPage>,
    /// What it yields to, short: `yields to cooling and 2 contacts`; empty where to nothing.
    pub yields: String,
    /// What blocks it, in full.
    pub unless: Vec<String>,
    /// Whether that is all.
    pub unless_complete: bool,
    /// What makes the longest gap.
    pub because: Vec<WhyLine<P>>,
    /// What the owner requires of the zone for this service.
    pub required: Vec<RequirementLine<P>>,
    /// The week that is shown.
    pub week: WeekPage<P>,
    /// The year around it.
    pub year: Year,
    /// What is predicted of the zone's dew point in that year; nothing where nothing can be.
    pub dew_points: Option<DewPoints<P>>,
    /// Where each call begins and ends.
    pub ladder: Ladder<P>,
    /// What may be supposed otherwise, to see what becomes of it.
    pub choices: Vec<WhatIf>,
}

/// A gap in which a service cannot run.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct GapPage {
    /// Its first moment.
    pub from: When,
    /// The first moment behind it.
    pub to: When,
    /// The same two, short: `Fri Mar 5 18:00`.
    pub from_short: String,
    /// The end, short.
    pub to_short: String,
    /// Its length in hours, clock changes counted.
    pub hours: f64,
    /// Whether a requirement is broken by it.
    pub breaks: bool,
    /// Hours of it behind the last day of the week that is shown; nothing where it ends before.
    pub hours_after_week: Option<f64>,
}

/// Seven days.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WeekPage<P> {
    /// The first day, `2027-03-05`.
    pub from: String,
    /// The last day.
    pub to: String,
    /// The first day in words: `Fri Mar 5, 2027`.
    pub from_words: String,
    /// The first day, short: `Fri Mar 5`.
    pub from_short: String,
    /// Why this week: it was asked for, or what there is to see in it.
    pub opened: Opened,
    /// Hours of these days in which the service can run; nothing where that is not proven.
    pub hours: Option<f64>,
    /// Hours of these days that lie in the review period.
    pub all_hours: f64,
    /// What holds of the service at some time of the week.
    pub states: Vec<StretchState<P>>,
    /// The gaps that reach into the week.
    pub gaps: Vec<GapPage>,
    /// The days.
    pub days: Vec<DayPage<P>>,
}

/// Why a page opens on its week.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Opened {
    /// It was asked for.
    Asked,
    /// The longest gap begins on its first day.
    LongestGap,
    /// It is the week that the period has most often.
    MostFrequent,
}

impl<P: Clone + PartialEq> UnitPage<P> {
    /// A service of a unit, with the week from a day or the one most worth seeing.
    ///
    /// # Errors
    /// Why there is nothing to show, in plain words.
    pub fn of(
        over: &Analysis<'_, '_>,
        name: &str,
        service: Option<&str>,
        from: Option<Date>,
        locate: Locate<'_, P>,
    ) -> Result<UnitPage<P>, String> {
        let unknown = || format!("the job has no unit `{name}` of a known type");
        let unit = over.view.find::<Unit>(&Name::new(name)).ok_or_else(unknown)?;
        let analysis = over.unit(unit).ok_or_else(unknown)?;
        let service = shown_service(&analysis, service)?;
        let verdict = analysis.verdict(&service);
        let required = Requirements::of(over, &analysis, &service);
        let (first, opened) = match from {
            Some(date) => (date, Opened::Asked),
            None => opening::opening(&analysis, &service),
        };
        let gap = |gap: &Gap| gap_page(&analysis, &required, gap);
        let week = stretches::week(over, &analysis, &service, (first, opened), &required, locate);
        let at_longest = verdict.longest_gap.map_or_else(Vec::new, |longest| {
            stretches::because_of_gap(over, &analysis, &service, longest, locate)
        });
        Ok(UnitPage {
            format: 1,
            site: words::site_name(over.view),
            unit: name.to_owned(),
            unit_type: analysis.unit_type.name().to_owned(),
            zone: analysis.zone.map(|zone| zone.name().to_owned()),
            period: Days::of(&analysis.period),
            services: analysis.services().iter().map(|(name, _)| name.to_string()).collect(),
            verb: words::verb(&service),
            service: service.to_string(),
            verdict: verdict.verdict,
            hours: verdict.hours,
            gaps: verdict.gaps,
            longest_gap: verdict.longest_gap.as_ref().map(gap),
            yields: yields::over_period(&analysis, &service),
            unless: verdict.unless,
            unless_complete: !verdict.cut_short,
            because: at_longest,
            required: required.stated(locate),
            week,
            year: Year::of(&analysis, &service, first),
            dew_points: DewPoints::of(over, &analysis, first, locate),
            ladder: Ladder::of(over, &analysis, locate),
            choices: choices::choices(&analysis),
        })
    }
}

/// The service that is asked for, else dehumidification, else the first.
fn shown_service(analysis: &UnitAnalysis<'_>, asked: Option<&str>) -> Result<Name, String> {
    let named = |name: &str| analysis.services().iter().map(|(n, _)| n).find(|n| n.as_str() == name);
    let unit = analysis.unit.name();
    match asked {
        Some(asked) => named(asked).ok_or_else(|| format!("`{unit}` has no service `{asked}`")),
        None => named(Service::Dehumidification.name())
            .or_else(|| analysis.services().first().map(|(n, _)| n))
            .ok_or_else(|| format!("the type of `{unit}` serves nothing, so there are no hours to show")),
    }
    .cloned()
}

fn gap_page(analysis: &UnitAnalysis<'_>, required: &Requirements<'_>, gap: &Gap) -> GapPage {
    let period = &analysis.period;
    GapPage {
        from: When::of(period, gap.from),
        to: When::of(period, gap.to),
        from_short: short_moment(period, gap.from),
        to_short: short_moment(period, gap.to),
        hours: gap.hours(),
        breaks: required.broken_in(gap.from, gap.to),
        hours_after_week: None,
    }
}

/// `Fri Mar 5, 2027`.
fn long_date(date: Date) -> String {
    format!("{}, {}", short_date(date), date.year())
}
