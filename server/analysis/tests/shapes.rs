//! What is kept of one unit for others of its shape is right for them: random units of one job, many of them alike
//! and many nearly so, are told the same with a memory shared by all, with one that keeps next to nothing, and with one
//! of their own.

#![allow(clippy::unwrap_used)]

use analysis::{Analysis, Claim, Memo, Reason, Verdicts};
use model::{Job, Prepared, Touched, Unit, View};
use proptest::prelude::*;
use std::fmt::Write;
use syntax::File;

const COMMON: &str = "
site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 9}}
schedules:
  day: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
  late: {values: occupancy, default: unoccupied, week: {mon-fri: 12:00-20:00, sat: 10:00-12:00}}
  same-as-day: {values: occupancy, default: unoccupied, week: {mon-fri: 09:00-16:00}}
  never: {values: occupancy, default: unoccupied, week: {mon-fri: none}}
  night-limit: {values: °F, default: 75 °F, week: {mon-fri: {08:00-17:00: 72 °F}}}
zones:
  A:
    schedule: day
    occupied: {heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}
    unoccupied: {heat-below: 60 °F, cool-above: 85 °F, dehumidify-above: 60 %RH}
  B:
    schedule: late
    occupied: {heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}
    unoccupied: {heat-below: 60 °F, cool-above: 85 °F}
  C:
    occupied: {heat-below: 70 °F, cool-above: 70 °F, dehumidify-above: 55 %RH}
  E:
    occupied: {heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}
    unoccupied: {heat-below: 60 °F, cool-above: 85 °F, dehumidify-above: 60 %RH}
  D:
    schedule: same-as-day
    occupied: {heat-below: 70 °F, cool-above: {schedule: night-limit}, dehumidify-above: 55 %RH}
    unoccupied: {heat-below: 60 °F, cool-above: 85 °F, dehumidify-above: 60 %RH}
";

const TYPES: [&str; 2] = ["heat-pump-with-hot-gas-reheat", "two-stage-heat-pump-with-hot-gas-reheat"];
const INPUTS: [&str; 5] = ["cool-1", "heat-1", "heat-2", "dehumidify", "occupied"];
const ZONES: [&str; 5] = ["A", "B", "C", "D", "E"];

/// A unit of numbers, each of which makes one choice; few, so that units are often alike.
fn unit(n: usize, dice: &[u8]) -> (String, String) {
    let die = |i: usize, sides: usize| usize::from(dice.get(i).copied().unwrap_or(0)) % sides;
    let zone = ZONES[die(0, 5)];
    let calling = ZONES[die(13, 8).min(5) % 5];
    let option = [
        "",
        "    options: {unoccupied-dehumidification: locked-out}\n",
        "    options: {unoccupied-dehumidification: allowed}\n",
    ];
    let mut units = format!(
        "  U{n}:\n    type: {}\n    zone: {zone}\n{}    inputs:\n",
        TYPES[die(1, 8) / 7],
        option[die(2, 3)]
    );
    let mut points = String::new();
    for (i, input) in INPUTS.iter().enumerate() {
        let wire = match die(3 + i, 64) {
            0 => "not-wired".to_owned(),
            1 => "{tied: on}".to_owned(),
            2 => "{tied-to: dehumidify}".to_owned(),
            3 => continue,
            _ => format!("U{n}-{input}"),
        };
        writeln!(units, "      {input}: {wire}").unwrap();
        let driver = match (die(8 + i, 64), *input) {
            (0, _) => "{operator: on}".to_owned(),
            (1, _) => "{operator: on-or-off}".to_owned(),
            (2, _) => "{contact: field}".to_owned(),
            (3, _) => format!("{{logic: \"U{n}-occupied and not U{n}-dehumidify\"}}"),
            (4, _) => "{schedule: late, inverted: true}".to_owned(),
            (5, "occupied") => "{schedule: same-as-day}".to_owned(),
            (6..12, "occupied") => "{schedule: never}".to_owned(),
            (_, "occupied") => "{schedule: day}".to_owned(),
            (5, call) => format!("{{call: {call}, zone: A}}"),
            (_, call) => format!("{{call: {call}, zone: {calling}}}"),
        };
        writeln!(points, "  U{n}-{input}: {{object: binary-output {n}{i}, driven-by: {driver}}}").unwrap();
    }
    (units, points)
}

type Told = (Verdicts, Vec<Option<Vec<Reason>>>);

fn told(job: &Job, memo: &Memo, unit: model::Found<'_, Unit>) -> Told {
    let view = View::new(job);
    let analysis = Analysis::of_review(&view, memo).unwrap().unit(unit).unwrap();
    let mut claims = vec![Claim::ServiceNever("dehumidification"), Claim::ServiceNever("heating")];
    claims
        .extend(analysis.outputs().iter().flat_map(|(o, _)| [Claim::OutputNever(o), Claim::OutputAlways(o)]));
    claims.extend(INPUTS.iter().flat_map(|i| [Claim::InputNever(i), Claim::InputWithoutEffect(i)]));
    claims.push(Claim::ChoicesAlike("unoccupied-dehumidification", 0, 1));
    let reasons = claims.into_iter().map(|claim| analysis.why(claim, |_| true));
    (analysis.verdicts(), reasons.collect())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn units_of_one_shape_are_told_what_each_would_be_told_alone(
        dice in prop::collection::vec(prop::collection::vec(any::<u8>(), 14), 60)
    ) {
        let (units, points): (Vec<_>, Vec<_>) = dice.iter().enumerate().map(|(n, dice)| unit(n, dice)).unzip();
        let text = format!("{COMMON}units:\n{}points:\n{}", units.concat(), points.concat());
        let mut job = Job::new();
        job.open("site.yaml".into(), Prepared::new(File::new(&text)), &mut Touched::default());
        let (shared, narrow) = (Memo::default(), Memo::of_at_most(2));
        let view = View::new(&job);
        for unit in view.all::<Unit>() {
            let alone = told(&job, &Memo::default(), unit);
            prop_assert_eq!(&told(&job, &shared, unit), &alone, "{} of\n{}", unit.name(), text);
            prop_assert_eq!(&told(&job, &narrow, unit), &alone, "{} of\n{}", unit.name(), text);
        }
    }
}
