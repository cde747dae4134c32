//! What the Owner's Project Requirements make of a finding about dehumidification, and the trade facts that findings
//! rest on.

#![allow(clippy::unwrap_used)]

use crate::Severity::{self, Error, Note, Warning};
use crate::run;
use crate::tests::fixture::job;
use analysis::Memo;

/// The checks of dehumidification and options that have found something in a job, with their severities.
fn found(text: &str) -> Vec<(&'static str, Severity)> {
    let (job, files) = job(text);
    let memo = Memo::default();
    let entries = files.iter().flat_map(|file| job.file(*file).unwrap().entries());
    let findings = entries.flat_map(|id| run(&job, &memo, *id).findings);
    let about = |id: &str| id.starts_with("dehumidification") || id.starts_with("option");
    let mut found: Vec<_> =
        findings.filter(|f| about(f.check.id)).map(|f| (f.check.id, f.severity)).collect();
    found.sort_unstable_by_key(|(id, _)| *id);
    found
}

/// A heat pump under office hours, its choice, its occupied input, its zone's limits and what is required.
fn heat_pump(choice: &str, occupied: &str, unoccupied: &str, required: &str) -> String {
    let requirements = match required {
        "" => String::new(),
        required => format!("requirements:\n  - {{zone: stacks, {required}}}\n"),
    };
    format!(
        "units:
  HP-1:
    type: heat-pump-with-hot-gas-reheat
    zone: stacks
    options: {{unoccupied-dehumidification: {choice}}}
    inputs: {{cool-1: HP1-COOL1, heat-1: HP1-HEAT1, heat-2: HP1-HEAT2, dehumidify: HP1-DEHUM, occupied: {occupied}}}
points:
  HP1-COOL1: {{driven-by: {{call: cool-1, zone: stacks}}}}
  HP1-HEAT1: {{driven-by: {{call: heat-1, zone: stacks}}}}
  HP1-HEAT2: {{driven-by: {{call: heat-2, zone: stacks}}}}
  HP1-DEHUM: {{driven-by: {{call: dehumidify, zone: stacks}}}}
  HP1-OCC: {{driven-by: {{schedule: staff-hours}}}}
schedules:
  staff-hours: {{values: occupancy, default: unoccupied, week: {{mon-fri: 08:00-17:00}}}}
zones:
  stacks:
    schedule: staff-hours
    occupied: {{heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}}
    unoccupied: {{heat-below: 62 °F, cool-above: 80 °F{unoccupied}}}
{requirements}"
    )
}

const LIMIT: &str = ", dehumidify-above: 55 %RH";
const GAP: &str = "dehumidification-gap";
const YIELDS: &str = "dehumidification-yields-to-heating";

/// The longest gap is 64 h, the weekend on which clocks go back.
#[test]
fn a_gap_is_an_error_against_a_requirement_and_nothing_within_one() {
    let gap = |required: &str| found(&heat_pump("locked-out", "HP1-OCC", LIMIT, required));
    assert_eq!(gap(""), [(GAP, Warning)]);
    assert_eq!(gap("dehumidification: always"), [(GAP, Error)]);
    assert_eq!(gap("dehumidification: {gap-at-most: 63 h}"), [(GAP, Error)]);
    assert_eq!(gap("dehumidification: {gap-at-most: 64 h}"), []);
}

/// While occupied the heat pump dries before it heats, and in no other hours is it let run.
#[test]
fn a_requirement_holds_in_the_hours_it_names() {
    let within = |hours: &str| {
        let required = format!("dehumidification: always, hours: {hours}");
        found(&heat_pump("locked-out", "HP1-OCC", LIMIT, &required))
    };
    assert_eq!(within("occupied"), []);
    assert_eq!(within("unoccupied"), [(GAP, Error)]);
}

#[test]
fn heating_is_yielded_to_only_where_a_requirement_wants_it_dry() {
    let yields = |required: &str| found(&heat_pump("allowed", "HP1-OCC", LIMIT, required));
    assert_eq!(yields(""), []);
    assert_eq!(yields("dehumidification: always"), [(YIELDS, Warning)]);
    assert_eq!(yields("dew-point-at-most: 58 °F, hours: all"), [(YIELDS, Warning)]);
    assert_eq!(yields("dew-point-at-most: 58 °F, hours: occupied"), []);
}

#[test]
fn a_mode_needs_a_limit_of_its_own_where_it_is_required_always() {
    let limited = |required: &str| found(&heat_pump("allowed", "HP1-OCC", "", required));
    assert_eq!(limited(""), [(GAP, Warning)]);
    assert_eq!(limited("dehumidification: always"), [("dehumidification-call-never-made", Error)]);
}

/// A requirement wants the call wired, limit or no limit.
#[test]
fn a_call_left_off_on_purpose_is_missed_where_it_is_required() {
    let off = |required: &str| {
        let text = heat_pump("allowed", "HP1-OCC", "", required);
        let text = text.replace("dehumidify: HP1-DEHUM", "dehumidify: not-wired");
        let text = text.replace("  HP1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}\n", "");
        found(&text.replace(LIMIT, ""))
    };
    assert_eq!(off(""), []);
    assert_eq!(off("dehumidification: always"), [("dehumidification-never-runs", Error)]);
}

/// The occupied input tied to the dehumidify call gives dehumidification precedence over first-stage heating at any
/// hour, and makes the two choices of the option alike. Common practice, no source.
#[test]
fn occupied_tied_to_the_dehumidify_call_defeats_the_option() {
    let tied =
        |choice: &str| found(&heat_pump(choice, "{tied-to: dehumidify}", LIMIT, "dehumidification: always"));
    assert_eq!(tied("locked-out"), [("option-defeated-by-wiring", Warning)]);
    // At its default, the option is what the tie is for: a line that could be left out, and no more.
    assert_eq!(tied("allowed"), [("option-without-effect", Note)]);
}

/// Without the occupied input's wire nothing permits it under `occupied`.
#[test]
fn what_never_runs_is_an_error_with_or_without_a_requirement() {
    for required in ["", "dehumidification: always", "dehumidification: {gap-at-most: 64 h}"] {
        let never = found(&heat_pump("locked-out", "not-wired", LIMIT, required));
        assert!(never.contains(&("dehumidification-never-runs", Error)), "{never:?}");
        assert!(never.iter().all(|(id, severity)| *id == "dehumidification-never-runs" || *severity == Note));
    }
}
