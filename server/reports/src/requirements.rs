//! The requirements of a job, each with whether it is met.

use crate::words;
use analysis::drift::ZoneDrift;
use analysis::{Analysis, Gap, UnitAnalysis, common, degrees_words, drying_units, longest, shared};
use model::{
    Demand, Found, Hours, Kind, Name, Quantity, QuantityKind, Requirement, Service, Spot, Unit, UnitType,
    View, Written, Zone,
};
use rayon::prelude::*;
use workspace::Workspace;

/// So many units of a zone are named before they are counted.
const NAMED: usize = 2;

/// Whether something that is required holds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Kept {
    /// It is proven, or predicted, that it does not.
    Missed,
    /// Neither is.
    NotProven,
    /// It is proven, or predicted, that it does.
    Met,
}

impl Kept {
    /// `missed`, `not proven` or `met`.
    pub fn word(self) -> &'static str {
        match self {
            Kept::Missed => "missed",
            Kept::NotProven => "not proven",
            Kept::Met => "met",
        }
    }
}

/// One thing that is required of a zone.
#[derive(Clone, PartialEq, Debug)]
pub struct RequirementLine<'w> {
    /// The zone.
    pub zone: &'w str,
    /// What is asked for: `dehumidification always`.
    pub asks: String,
    /// Whether it holds.
    pub kept: Kept,
    /// By how much, by which units, or why it is not known.
    pub detail: String,
}

/// Every requirement of a job, those that are missed first.
pub(crate) fn requirements(workspace: &Workspace) -> Vec<RequirementLine<'_>> {
    let view = View::new(workspace.job());
    let all = view.all::<Requirement>();
    let of_each = all.into_par_iter().map(|requirement| {
        let view = View::new(workspace.job());
        let Some(analysis) = Analysis::of_review(&view, workspace.memo()) else { return Vec::new() };
        of_one(&analysis, requirement)
    });
    let mut lines: Vec<RequirementLine<'_>> = of_each.flatten_iter().collect();
    lines.sort_by_key(|line| line.kept);
    lines
}

fn of_one<'w>(analysis: &Analysis<'_, 'w>, found: Found<'w, Requirement>) -> Vec<RequirementLine<'w>> {
    let (asked, view) = (found.is, analysis.view);
    let Some(zone) = &asked.zone else { return Vec::new() };
    let in_hours = match asked.hours {
        Hours::All => String::new(),
        Hours::In(mode) => format!(" while {}", mode.name()),
    };
    let known = view.find::<Zone>(&zone.value);
    let line = |asks: String, judged: Option<(Kept, String)>| {
        let (kept, detail) = judged.unwrap_or_else(|| (Kept::NotProven, "no zone has this name".to_owned()));
        RequirementLine { zone: &zone.value, asks: asks + &in_hours, kept, detail }
    };
    let mut lines = Vec::new();
    if let Some(demand) = asked.dehumidification {
        let asks = match demand.value {
            Demand::Always => "dehumidification always".to_owned(),
            Demand::GapAtMost(most) => format!("dehumidification, no gap over {most}"),
        };
        lines.push(line(asks, known.map(|zone| dried(analysis, zone, demand.value, asked.hours))));
    }
    let limits = [asked.dew_point_at_most, asked.relative_humidity_at_most].into_iter().flatten();
    for limit in limits {
        lines.push(line(limit_words(limit.value), known.map(|zone| below(analysis, found, zone, limit))));
    }
    lines
}

fn limit_words(limit: Quantity) -> String {
    let text = limit.to_string();
    if limit.is(QuantityKind::RelativeHumidity) {
        format!("relative humidity at most {text}")
    } else {
        format!("dew point at most {}", text.trim_end_matches(" dew point"))
    }
}

/// Whether the units of a zone can dry it when that is asked for.
fn dried(analysis: &Analysis<'_, '_>, zone: Found<'_, Zone>, demand: Demand, hours: Hours) -> (Kept, String) {
    let view = analysis.view;
    let drying = drying_units(view, zone);
    let serving = view.users::<Unit>(Kind::Zone, &Name::new(zone.name()));
    let mut all_known = serving.iter().all(|unit| has_known_type(view, unit.is));
    if drying.is_empty() {
        let nothing = "no unit of the zone dehumidifies".to_owned();
        return (if all_known { Kept::Missed } else { Kept::NotProven }, nothing);
    }
    let units: Vec<UnitAnalysis<'_>> = drying.iter().filter_map(|unit| analysis.unit(*unit)).collect();
    let gaps: Vec<Vec<Gap>> = units.iter().filter_map(|unit| unit.gaps(Service::Dehumidification)).collect();
    // One that is not proven to run in a gap does not close it, and may.
    all_known &= gaps.len() == drying.len();
    let (Some(gaps), Some(first)) = (shared(gaps), units.first()) else {
        return (Kept::NotProven, "no verdict on its units is proven".to_owned());
    };
    let gaps = match hours {
        Hours::All => gaps,
        Hours::In(_) => {
            let counted: Vec<Gap> =
                first.course().filter(|(_, m)| hours.hold_in(m.mode)).map(|(gap, _)| gap).collect();
            common(&gaps, &counted)
        }
    };
    let Some(longest) = longest(&gaps) else { return (Kept::Met, String::new()) };
    let missed = match demand {
        Demand::Always => true,
        Demand::GapAtMost(most) => longest.hours() > most.si(),
    };
    let names: Vec<&str> = drying.iter().map(Found::name).collect();
    let who = if names.len() > NAMED { format!("{} units", names.len()) } else { names.join(" and ") };
    let idle = words::part_of(gaps.iter().map(Gap::hours).sum(), analysis.over.hours());
    let detail = match demand {
        Demand::Always => format!("{who}: off {idle} in {}", words::count(gaps.len(), "gap")),
        Demand::GapAtMost(_) => {
            let from = words::moment(&analysis.over, longest.from);
            format!("{who}: longest gap {} h from {from}", words::hours(longest.hours()))
        }
    };
    let kept = match (missed, all_known) {
        (true, true) => Kept::Missed,
        (true, false) => Kept::NotProven,
        (false, _) => Kept::Met,
    };
    (kept, detail)
}

fn has_known_type(view: &View<'_>, unit: &Unit) -> bool {
    let unit_type = unit.type_.as_ref().and_then(|t| view.find::<UnitType>(&t.value));
    unit_type.is_some_and(|t| !t.entry.facts.doubtful())
}

/// Whether a zone is predicted to stay below a limit while nothing may dry it.
fn below<'w>(
    analysis: &Analysis<'_, 'w>,
    requirement: Found<'w, Requirement>,
    zone: Found<'w, Zone>,
    limit: Written<Quantity>,
) -> (Kept, String) {
    let drift = analysis.drift(zone);
    let Some((drift, prediction)) = drift.and_then(|d| d.prediction(analysis.memo).map(|p| (d, p))) else {
        return (Kept::NotProven, "nothing is predicted: no weather, or too little is known".to_owned());
    };
    let covers = prediction.hours as f64 >= analysis.over.hours().floor();
    let over = if covers {
        "prediction".to_owned()
    } else {
        format!("prediction for {}", words::part_of(prediction.hours as f64, analysis.over.hours()))
    };
    let Some(gap) = &prediction.worst_gap else {
        return (if covers { Kept::Met } else { Kept::NotProven }, format!("not passed ({over})"));
    };
    if !is_held(&drift, gap.worst.criterion, requirement, limit) {
        return (Kept::NotProven, format!("another limit is passed further ({over})"));
    }
    let dew_point = degrees_words(gap.worst.dew_point(), drift.scale());
    let after = words::hours(gap.crosses_after);
    (Kept::Missed, format!("dew point {dew_point}, passed after {after} h without drying ({over})"))
}

fn is_held(
    drift: &ZoneDrift<'_>,
    number: usize,
    of: Found<'_, Requirement>,
    limit: Written<Quantity>,
) -> bool {
    let place = drift.criteria.get(number).and_then(|criterion| criterion.place.as_ref());
    place.is_some_and(|place| place.entry == of.id && place.spot == Spot::Node(limit.at))
}
