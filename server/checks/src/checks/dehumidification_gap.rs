//! # What it finds
//!
//! Hours of the review period in which a unit cannot dehumidify, whatever the space calls for: how
//! many, in how many gaps, and the longest gap with its dates. It is an error where the zone's
//! requirement is not met, counting the zone's other units, too. Where the requirement is met, nothing
//! is reported.
//!
//! # Why it matters
//!
//! Outdoor air does not keep office hours. A room that is dry on Friday evening can be damp on Monday
//! morning, and the unit stood by because its logic did not let it run.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   CR-1:
//! # ^^^^ The longest of 262 gaps is 64 h
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! ```
//! ```yaml bad
//! units:
//!   CR-1:
//! # ^^^^ allows 48 h at most
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   stacks: {schedule: staff-hours}
//! requirements:
//!   - {zone: stacks, dehumidification: {gap-at-most: 48 h}}
//! ```
//! ```yaml bad
//! units:
//!   CR-1:
//!  #^^^^ `CR-1` cannot dehumidify in 6,411 of 8,760 h (73 %)
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   stacks: {schedule: staff-hours, occupied: {dehumidify-above: 55 %RH}, unoccupied: {dehumidify-above: 55 %RH}}
//! ```
//! ```yaml bad
//! units:
//!   CR-1:
//!  #^^^^ `CR-1` cannot dehumidify in 6,411 of 8,760 h (73 %), but the requirement allows no gap
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   stacks: {schedule: staff-hours, occupied: {dehumidify-above: 55 %RH}, unoccupied: {dehumidify-above: 55 %RH}}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//! ```
//! ```yaml bad
//! units:
//!   CR-1:
//!  #^^^^ `CR-1` cannot dehumidify in 24 of 8,760 h (under 1 %)
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-sun: all-day}, exceptions: [{on: 2027-03-05, hours: none}]}
//! zones:
//!   stacks: {schedule: staff-hours, occupied: {dehumidify-above: 55 %RH}, unoccupied: {dehumidify-above: 55 %RH}}
//! ```
//! ```yaml good
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {dehumidify: CR1-DEHUM, occupied: not-wired}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//! ```
//! ```yaml near
//! units:
//!   CR-1:
//!     type: cooling-with-electric-reheat
//!     zone: stacks
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: CR1-DEHUM, occupied: CR1-OCC}
//!   DH-1:
//!     type: stand-alone-dehumidifier
//!     zone: stacks
//!     inputs: {dehumidify: CR1-DEHUM, occupied: not-wired, condensate-full: DH1-FULL}
//! points:
//!   CR1-DEHUM: {driven-by: {contact: field}}
//!   CR1-OCC: {driven-by: {schedule: staff-hours}}
//!   DH1-FULL: {driven-by: {contact: float switch}}
//! schedules:
//!   staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
//! zones:
//!   stacks: {schedule: staff-hours}
//! requirements:
//!   - {zone: stacks, dehumidification: always}
//! ```
//!
//! # Repair
//!
//! Run the unit in those hours: change the option, extend the hours, or set a limit in the mode that
//! has none. Or write under `requirements:` what gap the owner accepts.
//!
//! # Source
//!
//! Common practice, no source. How long a gap a space can take is for the design engineer to say.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{explain, is_wanted, requirements, told_at_the_zone};
use crate::repair;
use analysis::{
    Because, Claim, Gap, UnitAnalysis, common, count_words, drying_units, hours_words, longest, moment_words,
    share_words, shared,
};
use model::{Demand, Found, Hours, Name, Requirement, Service, Unit, Written};

pub(crate) static CHECK: Check = Check {
    id: "dehumidification-gap",
    severity: Severity::Warning,
    source: include_str!("dehumidification_gap.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::unit_as_set],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    // Of a unit whose gaps are not proven that is reported.
    let Some(gaps) = unit.gaps(Service::Dehumidification) else { return };
    let drying = unit.service(Service::Dehumidification);
    let can_run = drying.is_some_and(|drying| unit.can_be_on(drying).is_yes());
    if gaps.is_empty() || !is_wanted(ctx, unit) {
        return;
    }
    // One long gap is reported as such.
    if !can_run {
        return out.held_back(None, "dehumidification-never-runs", ctx.id);
    }
    let required = unit.zone.map_or_else(Vec::new, |zone| requirements(&ctx.view, &Name::new(zone.name())));
    if required.is_empty() {
        report(ctx, found, unit, &gaps, None, out);
        return;
    }
    let shared = shared_gaps(ctx, unit, gaps.clone());
    let violation = required.iter().find_map(|(requirement, demand)| {
        let counted = within(unit, &shared, requirement.is.hours);
        let longest = longest(&counted)?;
        let violated = match demand.value {
            Demand::Always => true,
            Demand::GapAtMost(most) => longest.hours() > most.si(),
        };
        violated.then(|| (counted, because(*requirement, demand)))
    });
    if let Some((counted, because)) = violation {
        report(ctx, found, unit, &counted, Some(because), out);
    }
}

fn report(
    ctx: &Ctx<'_>,
    found: Found<'_, Unit>,
    unit: &UnitAnalysis<'_>,
    gaps: &[Gap],
    required: Option<(String, Because)>,
    out: &mut Sink,
) {
    let Some(longest) = longest(gaps) else { return };
    let inside = |gap: Gap| longest.from <= gap.from && gap.to <= longest.to;
    let moments: Vec<_> = unit.course().filter(|(gap, _)| inside(*gap)).map(|(_, m)| m).collect();
    let reasons = unit.why(Claim::ServiceNever(Service::Dehumidification.name()), |m| {
        moments.iter().any(|of| std::ptr::eq(*of, m))
    });
    let reasons = reasons.unwrap_or_default();
    let about = About::of(noun::SERVICE, Service::Dehumidification.name());
    if told_at_the_zone(ctx, unit, &reasons, &about, out) {
        return;
    }
    let hours: f64 = gaps.iter().map(Gap::hours).sum();
    let which = match gaps.len() {
        1 => "The gap".to_owned(),
        count => format!("The longest of {} gaps", count_words(count)),
    };
    let from = moment_words(&unit.period, longest.from);
    let to = moment_words(&unit.period, longest.to);
    let longest_words = hours_words(longest.hours());
    let what = format!("`{}` cannot dehumidify in {}", found.name(), share_words(hours, unit.period.hours()));
    let longest_gap = format!("{which} is {longest_words}, {from} to {to}.");
    let node = found.entry.part.key_node();
    let zone = unit.zone.map(|zone| zone.name());
    let finding = if let Some((but, because)) = required {
        let cure = zone.map_or_else(
            || "Run it in those hours.".to_owned(),
            |zone| format!("Run it, or another unit of `{zone}`, in those hours."),
        );
        let finding = out.report(about, node, format!("{what}, but {but}. {longest_gap} {cure}"));
        finding.severity(Severity::Error).because(because.place, because.text)
    } else {
        let most = longest.hours().ceil();
        let cure = zone.map_or_else(
            || "Run it in those hours.".to_owned(),
            |zone| {
                format!(
                    "Run it in those hours, or write the gap the owner accepts under `requirements`: \
                     `{{zone: {zone}, dehumidification: {{gap-at-most: {most} h}}}}`."
                )
            },
        );
        out.report(about, node, format!("{what}. {longest_gap} {cure}"))
    };
    explain(finding, &reasons);
}

/// What a requirement allows, as a clause of the message and as a reason.
fn because(requirement: Found<'_, Requirement>, demand: &Written<Demand>) -> (String, Because) {
    let allows = match demand.value {
        Demand::Always => "the requirement allows no gap".to_owned(),
        Demand::GapAtMost(most) => format!("the requirement allows {most} at most"),
    };
    let text = allows.replacen("the", "The", 1);
    (allows, Because::new(requirement.place(demand.at), text))
}

/// The gaps in which no unit of the zone can run.
fn shared_gaps(ctx: &Ctx<'_>, unit: &UnitAnalysis<'_>, own: Vec<Gap>) -> Vec<Gap> {
    let units = unit.zone.map_or_else(Vec::new, |zone| drying_units(&ctx.view, zone));
    let others = units.into_iter().filter(|other| other.id != ctx.id);
    // A unit that is not proven to run in a gap does not close it.
    let gaps = others.filter_map(|other| ctx.analysis()?.unit(other)?.gaps(Service::Dehumidification));
    shared(std::iter::once(own).chain(gaps)).unwrap_or_default()
}

/// The parts of gaps in the hours that a requirement holds in.
fn within(unit: &UnitAnalysis<'_>, gaps: &[Gap], hours: Hours) -> Vec<Gap> {
    if hours == Hours::All {
        return gaps.to_vec();
    }
    let counted: Vec<Gap> =
        unit.course().filter(|(_, m)| hours.hold_in(m.mode)).map(|(gap, _)| gap).collect();
    common(gaps, &counted)
}
