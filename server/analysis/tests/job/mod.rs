//! Small jobs to analyse.

#![allow(dead_code, clippy::unwrap_used)]

pub(crate) mod plant;

use analysis::{Analysis, Memo, UnitAnalysis};
use model::{Job, Name, Prepared, Touched, View};
use syntax::File;

pub(crate) const SITE: &str =
    "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 365}}\n";

pub(crate) const HOURS: &str = "
schedules:
  office-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
";

pub(crate) fn job(text: &str) -> Job {
    let mut job = Job::new();
    job.open("site.yaml".into(), Prepared::new(File::new(SITE)), &mut Touched::default());
    job.open("job.yaml".into(), Prepared::new(File::new(text)), &mut Touched::default());
    job
}

/// Hands the analysis of unit `U` of a job to `look`.
pub(crate) fn unit<T>(text: &str, look: impl FnOnce(&UnitAnalysis<'_>) -> T) -> T {
    unit_of(&job(text), look)
}

/// The same of a job that is open already.
pub(crate) fn unit_of<T>(job: &Job, look: impl FnOnce(&UnitAnalysis<'_>) -> T) -> T {
    let view = View::new(job);
    let found = view.find::<model::Unit>(&Name::new("U")).unwrap();
    let memo = Memo::default();
    look(&Analysis::of_review(&view, &memo).unwrap().unit(found).unwrap())
}

/// A unit whose inputs are wired to points, each driven as written.
pub(crate) fn wired(kind: &str, options: &str, inputs: &[(&str, &str)], rest: &str) -> String {
    let mut text = format!(
        "units:\n  U:\n    type: {kind}\n    zone: reading-room\n    options: {options}\n    inputs:\n"
    );
    for (input, _) in inputs {
        text.push_str(&["      ", input, ": U-", input, "\n"].concat());
    }
    text += "points:\n";
    for (input, driver) in inputs {
        text.push_str(&["  U-", input, ": {driven-by: ", driver, "}\n"].concat());
    }
    text + rest
}

/// A heat pump with its calls from a zone, and the occupied input driven as written.
pub(crate) fn heat_pump(choice: &str, occupied: &str, zone: &str) -> String {
    let calls = ["cool-1", "heat-1", "heat-2", "dehumidify"]
        .map(|call| (call, format!("{{call: {call}, zone: reading-room}}")));
    let mut inputs: Vec<(&str, &str)> = calls.iter().map(|(call, driver)| (*call, driver.as_str())).collect();
    inputs.push(("occupied", occupied));
    let options = format!("{{unoccupied-dehumidification: {choice}}}");
    wired(
        "heat-pump-with-hot-gas-reheat",
        &options,
        &inputs,
        &format!("zones:\n  reading-room: {zone}\n{HOURS}"),
    )
}

/// Limits of a zone that calls for everything in both modes.
pub(crate) const ZONE: &str = "{schedule: office-hours, occupied: {heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}, unoccupied: {heat-below: 62 °F, cool-above: 80 °F, dehumidify-above: 55 %RH}}";
