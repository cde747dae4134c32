//! Windows of a week of hours: added, widened, or all there are.

use super::text::Target;
use super::{Proposal, cost};
use crate::schedules::{days_words, runs};
use crate::written::value;
use model::schedule::{DayRule, Values};
use model::{Found, Schedule};

/// Hours for a week that has none: something to begin with, that somebody has to make their own.
const SOME_HOURS: &str = "{mon-fri: 08:00-17:00}";

/// Longer hours for a schedule of occupancy.
pub(super) fn longer(schedule: Found<'_, Schedule>, out: &mut Vec<Proposal>) {
    if !schedule.is.values.as_ref().is_some_and(|v| v.value == Values::Occupancy) {
        return;
    }
    whole_week(schedule, out);
    let (with, without): (Vec<&DayRule>, Vec<&DayRule>) =
        schedule.is.week.iter().partition(|rule| !rule.windows.is_empty());
    if with.is_empty() {
        some_hours(schedule, out);
    } else {
        whole_days(schedule, &with, out);
        free_days(schedule, &with, &without, out);
    }
}

fn whole_week(schedule: Found<'_, Schedule>, out: &mut Vec<Proposal>) {
    let part = &schedule.entry.part;
    let target = Target::new(schedule.id, schedule.entry);
    let whole = "{mon-sun: all-day}";
    let edit = match (value(part, part.value(), "week"), schedule.is.week.as_slice()) {
        (Some(_), [rule]) if rule.days == [true; 7] => {
            windows(schedule, rule).and_then(|at| target.yaml(at, "all-day"))
        }
        (Some(week), _) => target.yaml(week, whole),
        (None, _) => target.pair(part.value(), "week", whole),
    };
    let title = format!("Make `{}` occupied all week", schedule.name());
    out.extend(Proposal::one(title, cost::HOURS + 10, edit));
}

fn some_hours(schedule: Found<'_, Schedule>, out: &mut Vec<Proposal>) {
    let part = &schedule.entry.part;
    let target = Target::new(schedule.id, schedule.entry);
    let edit = match value(part, part.value(), "week") {
        Some(week) => target.yaml(week, SOME_HOURS),
        None => target.pair(part.value(), "week", SOME_HOURS),
    };
    let title = format!("Give `{}` hours to start from, `{SOME_HOURS}`, and correct them", schedule.name());
    out.extend(Proposal::one(title, cost::HOURS, edit));
}

/// All of the days that have hours.
fn whole_days(schedule: Found<'_, Schedule>, with: &[&DayRule], out: &mut Vec<Proposal>) {
    let target = Target::new(schedule.id, schedule.entry);
    let title = format!("Make `{}` occupied all day on {}", schedule.name(), days_words(days_of(with)));
    let edits = with.iter().map(|rule| target.yaml(windows(schedule, rule)?, "all-day")).collect();
    out.extend(Proposal::all(title, cost::HOURS + 5, edits));
}

/// The hours of the first days that have some, on the days that have none.
fn free_days(
    schedule: Found<'_, Schedule>,
    with: &[&DayRule],
    without: &[&DayRule],
    out: &mut Vec<Proposal>,
) {
    let part = &schedule.entry.part;
    let target = Target::new(schedule.id, schedule.entry);
    let Some(hours) = with.first().and_then(|rule| target.one_line(windows(schedule, rule)?)) else { return };
    let free = days_of(with).map(|occupied| !occupied);
    let unnamed = days_of(schedule.is.week.iter().collect::<Vec<_>>().as_slice()).map(|named| !named);
    if free == [false; 7] {
        return;
    }
    let instead = without.iter().map(|rule| target.yaml(windows(schedule, rule)?, hours));
    let week = value(part, part.value(), "week");
    let added = runs(unnamed).into_iter().filter(|_| unnamed != [false; 7]);
    let added = added.map(|days| target.pair(week?, &days, hours));
    let title = format!("Make `{}` occupied on {}, too, at `{hours}`", schedule.name(), days_words(free));
    out.extend(Proposal::all(title, cost::HOURS, instead.chain(added).collect()));
}

fn days_of(rules: &[&DayRule]) -> [bool; 7] {
    std::array::from_fn(|day| rules.iter().any(|rule| rule.days.get(day) == Some(&true)))
}

/// The node of a rule's windows.
fn windows(schedule: Found<'_, Schedule>, rule: &DayRule) -> Option<syntax::NodeId> {
    let part = &schedule.entry.part;
    let week = value(part, part.value(), "week")?;
    part.pairs(week).find(|(key, _)| *key == rule.at).map(|(_, windows)| windows)
}
