//! When a unit's services can run: verdicts, gaps, the limits of its calls, and the bars of a week.

use super::{Days, When};
use crate::analysis::Analysis;
use crate::calls::call_rules;
use crate::unit::UnitAnalysis;
use crate::verdict::{Gap, Verdict};
use crate::words::day_words;
use calendar::{Date, LocalTime, Period};
use model::{Mode, Name, Unit};
use serde::Serialize;

/// A unit over the review period.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct UnitSheet {
    /// Its name.
    pub unit: String,
    /// Its type.
    #[serde(rename = "type")]
    pub unit_type: String,
    /// The zone it serves.
    pub zone: Option<String>,
    /// The review period.
    pub period: Days,
    /// Its services, in the order of its type.
    pub services: Vec<ServiceSheet>,
    /// The limits of its zone's calls.
    pub limits: Vec<LimitSheet>,
    /// The week that was asked for.
    pub week: Option<ShownWeek>,
}

/// One service.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ServiceSheet {
    /// Its name.
    pub service: String,
    /// The verdict over the whole period.
    pub verdict: Verdict,
    /// Hours in which it can run; nothing where that is not proven.
    pub hours: Option<f64>,
    /// The smallest sets of circumstances that block it, in words.
    pub unless: Vec<String>,
    /// Whether these are all.
    pub unless_complete: bool,
    /// The stretches in which it cannot run, in order; nothing where that is not proven.
    pub gaps: Option<Vec<GapSheet>>,
    /// The longest of them, the earliest of equals.
    pub longest_gap: Option<GapSheet>,
    /// The days of the week that was asked for.
    pub days: Vec<DayBar>,
}

/// A stretch in which a service cannot run.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct GapSheet {
    /// Its first moment.
    pub from: When,
    /// The first moment behind it.
    pub to: When,
    /// Its length.
    pub hours: f64,
}

/// A limit of a call, and the readings between which the call is held.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct LimitSheet {
    /// While the zone is so.
    pub mode: Mode,
    /// The call.
    pub call: String,
    /// The limit as written: `dehumidify-above 55 %RH`.
    pub limit: String,
    /// The reading that begins the call.
    pub begins: String,
    /// The reading that ends it.
    pub ends: String,
    /// Whether the call can be made.
    pub possible: bool,
}

/// A week that was asked for.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct ShownWeek {
    /// Its first day.
    pub from: String,
    /// How many of its days lie outside the review period.
    pub outside: usize,
    /// How many days it has.
    pub days: usize,
}

/// A day in half hours.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct DayBar {
    /// `Mon 2027-06-07`.
    pub day: String,
    /// What holds at the start of each half hour; nothing outside the period, or where the clock skips.
    pub halves: Vec<Option<Verdict>>,
}

impl UnitSheet {
    /// The sheet of a unit, with the week from a day. Nothing when the job has no such unit, or its type is
    /// unknown.
    pub fn of(over: &Analysis<'_, '_>, name: &str, week: Option<Date>) -> Option<UnitSheet> {
        let analysis = over.unit(over.view.find::<Unit>(&Name::new(name))?)?;
        let period = &analysis.period;
        let week: Option<(Date, Vec<Date>)> = week.map(|first| (first, week_from(first).collect()));
        let shown = week.as_ref().map(|(first, days)| ShownWeek {
            from: first.to_string(),
            outside: days.iter().filter(|date| !period.contains(**date)).count(),
            days: days.len(),
        });
        let inside = shown.as_ref().is_some_and(|week| week.outside < week.days);
        let days = week.filter(|_| inside).map_or_else(Vec::new, |(_, days)| days);
        let services =
            analysis.services().iter().map(|(service, _)| self::service(&analysis, service, &days));
        Some(UnitSheet {
            unit: name.to_owned(),
            unit_type: analysis.unit_type.name().to_owned(),
            zone: analysis.zone.map(|zone| zone.name().to_owned()),
            period: Days::of(period),
            services: services.collect(),
            limits: limits(over, &analysis),
            week: shown,
        })
    }
}

fn service(analysis: &UnitAnalysis<'_>, service: &Name, days: &[Date]) -> ServiceSheet {
    let verdict = analysis.verdict(service);
    let gap = |gap: &Gap| gap_sheet(&analysis.period, gap);
    ServiceSheet {
        service: service.to_string(),
        verdict: verdict.verdict,
        hours: verdict.hours,
        unless: verdict.unless,
        unless_complete: !verdict.cut_short,
        gaps: analysis.gaps(service).map(|gaps| gaps.iter().map(gap).collect()),
        longest_gap: verdict.longest_gap.as_ref().map(gap),
        days: bars(analysis, service, days),
    }
}

fn gap_sheet(period: &Period, gap: &Gap) -> GapSheet {
    GapSheet { from: When::of(period, gap.from), to: When::of(period, gap.to), hours: gap.hours() }
}

fn bars(analysis: &UnitAnalysis<'_>, service: &str, days: &[Date]) -> Vec<DayBar> {
    if days.is_empty() {
        return Vec::new();
    }
    let course: Vec<(i64, i64, Verdict)> = analysis
        .course()
        .map(|(stretch, moment)| (stretch.from, stretch.to, analysis.verdict_at(service, moment)))
        .collect();
    let at = |instant: i64| {
        let i = course.partition_point(|(from, ..)| *from <= instant);
        course.get(i.checked_sub(1)?).filter(|(_, to, _)| instant < *to).map(|(.., v)| *v)
    };
    let half = |date, half: u16| analysis.period.instant(LocalTime { date, minute: half * 30 }).and_then(at);
    let bar = |date: &Date| DayBar {
        day: day_words(&analysis.period, *date),
        halves: (0..48).map(|number| half(*date, number)).collect(),
    };
    days.iter().map(bar).collect()
}

/// Seven days, as far as there are so many.
fn week_from(first: Date) -> impl Iterator<Item = Date> {
    std::iter::successors(Some(first), |date| date.tomorrow().ok()).take(7)
}

fn limits(over: &Analysis<'_, '_>, analysis: &UnitAnalysis<'_>) -> Vec<LimitSheet> {
    let Some(zone) = analysis.zone else { return Vec::new() };
    let mut limits = Vec::new();
    for setting in &*over.settings(zone) {
        for rule in call_rules(over.view, zone, &setting.limits) {
            let (Some(limit), Some((begins, ends))) = (rule.limit.as_ref(), rule.readings()) else {
                continue;
            };
            let line = LimitSheet {
                mode: setting.mode,
                call: rule.call.to_string(),
                limit: format!("{} {}", rule.key, limit.value),
                begins: begins.to_string(),
                ends: ends.to_string(),
                possible: rule.possible(),
            };
            if !limits.contains(&line) {
                limits.push(line);
            }
        }
    }
    limits
}
