//! All units of a job, a week of each on one scale.

use super::days::{DaySpan, dates, join, pieces};
use super::requirement::{RequirementLine, Requirements};
use super::words::short_date;
use super::{GapPage, Locate, gap_page, shown_service, words, yields};
use crate::analysis::Analysis;
use crate::unit::UnitAnalysis;
use crate::verdict::Verdict;
use calendar::Date;
use model::{Found, Mode, Unit};
use serde::Serialize;

/// So many units are shown; more nobody reads in a row.
const MOST: usize = 200;

/// The units of a job that have a service, the worst first.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Board<P> {
    /// The first day of the week.
    pub from: String,
    /// The days, short: `Fri Mar 5`.
    pub days: Vec<String>,
    /// The service.
    pub service: String,
    /// What the service is good for, as an order: `dehumidify`.
    pub verb: String,
    /// A row a unit.
    pub rows: Vec<BoardRow<P>>,
    /// How many units have the service at all.
    pub units: usize,
    /// How many units of those do not meet what is required of their zones.
    pub missed: usize,
    /// How many can never run.
    pub never: usize,
    /// How many have gaps.
    pub with_gaps: usize,
    /// How many are not proven.
    pub not_proven: usize,
}

/// A unit on the board.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct BoardRow<P> {
    /// The unit.
    pub unit: String,
    /// Its zone.
    pub zone: Option<String>,
    /// The verdict over the review period.
    pub verdict: Verdict,
    /// What it yields to, short.
    pub yields: String,
    /// Hours of the period in which it can run; nothing where that is not proven.
    pub hours: Option<f64>,
    /// The same a week, on average.
    pub hours_a_week: Option<f64>,
    /// The number of gaps; likewise.
    pub gaps: Option<usize>,
    /// The longest gap.
    pub longest_gap: Option<GapPage>,
    /// What is required of its zone.
    pub required: Vec<RequirementLine<P>>,
    /// Each day's stretches with their verdicts, in minutes of the wall clock.
    pub week: Vec<Vec<(DaySpan, Verdict)>>,
    /// When its zone is occupied, day by day.
    pub occupied: Vec<Vec<DaySpan>>,
    /// When a requirement is broken, day by day.
    pub broken: Vec<Vec<DaySpan>>,
    /// How many things it yields to.
    #[serde(skip)]
    yielding: usize,
}

impl<P> Board<P> {
    /// The board of a service, in the week from a day. Nothing where no unit has the service.
    pub fn of(over: &Analysis<'_, '_>, service: &str, from: Date, locate: Locate<'_, P>) -> Option<Board<P>> {
        let units = over.view.all::<Unit>();
        let dates = dates(from);
        let row = |unit: &Found<'_, Unit>| {
            let analysis = over.unit(over.view.as_found(unit.id)?)?;
            shown_service(&analysis, Some(service)).ok()?;
            Some(row(over, &analysis, service, &dates, locate))
        };
        let mut rows: Vec<BoardRow<P>> = units.iter().filter_map(row).collect();
        if rows.is_empty() {
            return None;
        }
        let count = |of: &dyn Fn(&BoardRow<P>) -> bool| rows.iter().filter(|row| of(row)).count();
        let (units, missed) = (rows.len(), count(&BoardRow::misses));
        let never = count(&|row| row.verdict == Verdict::Never);
        let with_gaps = count(&|row| row.gaps.is_some_and(|gaps| gaps > 0));
        let not_proven = count(&|row| row.verdict == Verdict::NotProven);
        // Stable: of equals in the order of files and lines.
        rows.sort_by_key(BoardRow::rank);
        rows.truncate(MOST);
        Some(Board {
            from: from.to_string(),
            days: dates.iter().map(|date| short_date(*date)).collect(),
            service: service.to_owned(),
            verb: words::verb(service),
            rows,
            units,
            missed,
            never,
            with_gaps,
            not_proven,
        })
    }
}

impl<P> BoardRow<P> {
    /// Whether a requirement on its zone is missed, and the unit itself has gaps.
    fn misses(&self) -> bool {
        self.gaps != Some(0) && self.required.iter().any(|required| required.met == Some(false))
    }

    /// The worst first.
    fn rank(&self) -> (u8, std::cmp::Reverse<u64>, std::cmp::Reverse<usize>) {
        let gap = self.longest_gap.as_ref().map_or(0.0, |gap| gap.hours);
        let class = match self.verdict {
            _ if self.misses() => 0,
            Verdict::Never => 1,
            Verdict::NotProven => 2,
            _ if gap > 0.0 => 3,
            _ => 4,
        };
        (class, std::cmp::Reverse((gap * 60.0) as u64), std::cmp::Reverse(self.yielding))
    }
}

fn row<P>(
    over: &Analysis<'_, '_>,
    analysis: &UnitAnalysis<'_>,
    service: &str,
    dates: &[Date],
    locate: Locate<'_, P>,
) -> BoardRow<P> {
    let verdict = analysis.verdict(&model::Name::new(service));
    let required = Requirements::of(over, analysis, service);
    let mut week: Vec<Vec<(DaySpan, Verdict)>> = vec![Vec::new(); dates.len()];
    let mut occupied: Vec<Vec<DaySpan>> = vec![Vec::new(); dates.len()];
    let mut broken = occupied.clone();
    for piece in pieces(analysis, dates) {
        let now = analysis.verdict_at(service, piece.moment);
        if let Some(day) = week.get_mut(piece.day) {
            match day.last_mut() {
                Some((span, last)) if *last == now => span.to = piece.span.to,
                _ => day.push((piece.span, now)),
            }
        }
        if let (Some(Mode::Occupied), Some(day)) = (piece.moment.mode, occupied.get_mut(piece.day)) {
            join(day, piece.span);
        }
        if let (true, Some(day)) =
            (required.broken_in(piece.seconds.0, piece.seconds.1), broken.get_mut(piece.day))
        {
            join(day, piece.span);
        }
    }
    let yields = yields::over_period(analysis, service);
    BoardRow {
        unit: analysis.unit.name().to_owned(),
        zone: analysis.zone.map(|zone| zone.name().to_owned()),
        verdict: verdict.verdict,
        yielding: verdict.unless.len(),
        yields,
        hours: verdict.hours,
        hours_a_week: verdict.hours.map(|hours| hours * 168.0 / analysis.period.hours()),
        gaps: verdict.gaps,
        longest_gap: verdict.longest_gap.as_ref().map(|gap| gap_page(analysis, &required, gap)),
        required: required.stated(locate),
        week,
        occupied,
        broken,
    }
}
