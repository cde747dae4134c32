//! What is offered where: `|` marks the cursor.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods)]

use super::cursor::Cursor;
use super::offers;
use model::View;
use std::path::Path;
use workspace::Workspace;

const JOB: &str = "\
calendars:
  closures: [{date: 2027-12-25}]
schedules:
  staff-hours: {values: occupancy, default: unoccupied}
zones:
  stacks: {schedule: staff-hours}
  lab: {}
devices:
  controller-1: {instance: 1201}
points:
  HP1-OCC: {device: controller-1, text: Occupied command}
  \"yes, no\": {}
unit-types:
  plain-fan:
    text: A fan
    options:
      fan-when: {choices: [always, called], as-shipped: called}
    inputs: {fan: {terminal: G, text: fan call}, smoke: {}}
    terms: {wanted: fan and not smoke}
    outputs: {blower: {when: wanted, text: blower relay}}
";

/// The offers at the cursor in `text`, which is a file of a job of two.
fn at(text: &str) -> Vec<super::Offer> {
    let mut workspace = Workspace::empty(Path::new("/job"));
    workspace.open("site.yaml", JOB);
    let file = workspace.open("more.yaml", &text.replace('|', ""));
    let file = workspace.job().file(file).unwrap().file();
    let cursor = Cursor::find(file, text.find('|').unwrap() as u32);
    cursor.map_or_else(Vec::new, |cursor| offers(&View::new(workspace.job()), file, &cursor))
}

#[track_caller]
fn check(text: &str, wanted: &[&str]) {
    let labels: Vec<String> = at(text).into_iter().map(|offer| offer.label).collect();
    assert_eq!(labels, wanted, "{text}");
}

/// Both that some are offered and that others are not.
#[track_caller]
fn among(text: &str, there: &[&str], not_there: &[&str]) {
    let labels: Vec<String> = at(text).into_iter().map(|offer| offer.label).collect();
    let has = |label: &&&str| labels.iter().any(|l| l == **label);
    assert!(there.iter().all(|l| has(&l)) && !not_there.iter().any(|l| has(&l)), "{text}\n{labels:?}");
}

const POINTS: [&str; 2] = ["HP1-OCC", "yes, no"];

#[test]
fn names_of_the_right_kind() {
    check("zones:\n  a:\n    schedule: |", &["staff-hours"]);
    check("zones:\n  a:\n    schedule: st|a\n    occupied: {}\n", &["staff-hours"]);
    check("zones:\n  a: {schedule: |", &["staff-hours"]);
    check("zones:\n  a: {schedule: |}\n  b: {}\n", &["staff-hours"]);
    check("zones:\n  a: {schedule: s|, occupied: {}}\n", &["staff-hours"]);
    check("zones:\n  a:\n    schedule: \"|\"\n", &["staff-hours"]);
    check("units:\n  U:\n    zone: |\n    type: plain-fan\n", &["stacks", "lab"]);
    check("requirements:\n  - {zone: |}\n", &["stacks", "lab"]);
    check("requirements:\n  - zone: |\n", &["stacks", "lab"]);
    check("points:\n  A: {device: |", &["controller-1"]);
    check("points:\n  A: {driven-by: {point: |}}\n", &POINTS);
    check("points:\n  A: {driven-by: {call: cool-1, zone: |}}\n", &["stacks", "lab"]);
    check("points:\n  A:\n    driven-by:\n      - {schedule: |}\n", &["staff-hours"]);
    check("units:\n  U: {type: plain-fan, outputs: {blower: |}}\n", &POINTS);
    check(
        "schedules:\n  s:\n    exceptions:\n      - {on: |, hours: none}\n",
        &["closures", "date", "from", "to", "every", "import"],
    );
    among("units:\n  U:\n    type: |\n", &["plain-fan", "heat-pump-with-hot-gas-reheat"], &["stacks"]);
    among(
        "units:\n  U: {type: plain-fan, inputs: {fan: |}}\n",
        &["HP1-OCC", "not-wired", "tied-to"],
        &["lab"],
    );
}

#[test]
fn names_that_yaml_would_misread_are_quoted() {
    let written = |text: &str| at(text).into_iter().find(|o| o.label == "yes, no").unwrap().plain.unwrap();
    assert_eq!(written("points:\n  A: {driven-by: {point: |}}\n"), "\"yes, no\"");
    assert_eq!(written("points:\n  A: {driven-by: {point: \"|\"}}\n"), "yes, no");
}

#[test]
fn names_of_the_entry_s_own() {
    let unit = |rest: &str| format!("units:\n  U:\n    type: plain-fan\n{rest}");
    check(&unit("    options: {|}\n"), &["fan-when"]);
    check(&unit("    options: {fan-when: |}\n"), &["always", "called"]);
    check(&unit("    options:\n      fan-when: |\n"), &["always", "called"]);
    check(&unit("    inputs:\n      |\n"), &["fan", "smoke"]);
    check(&unit("    inputs:\n      fan: HP1-OCC\n      |\n"), &["smoke"]);
    check(&unit("    inputs:\n      |\n      fan: HP1-OCC\n"), &["smoke"]);
    check(&unit("    inputs: {fan: {tied-to: |}}\n"), &["smoke"]);
    check(&unit("    inputs: {fan: {tied: |}}\n"), &["on", "off"]);
    check(&unit("    outputs: {|"), &["blower"]);
    check("units:\n  U:\n    inputs:\n      |\n", &[]);
    check("schedules:\n  s: {values: [low, high], default: |}\n", &["low", "high"]);
    check("schedules:\n  s: {values: occupancy, default: |}\n", &["unoccupied", "occupied"]);
    among("schedules:\n  s:\n    week:\n      mon-fri: none\n      |\n", &["sat", "sun"], &["mon-fri"]);
    check("schedules:\n  s:\n    week: {sat: |}\n", &["all-day", "none"]);
}

#[test]
fn words_of_logic() {
    let unit_type = |rest: &str| {
        format!(
            "unit-types:\n  t:\n    options: {{mode: {{choices: [a, b]}}}}\n    inputs: {{in: {{}}}}\n{rest}"
        )
    };
    check(&unit_type("    terms: {x: |}\n"), &["in", "mode", "not"]);
    check(&unit_type("    terms: {x: in |}\n"), &["and", "or"]);
    check(&unit_type("    terms: {x: mode |}\n"), &["is"]);
    check(&unit_type("    terms: {x: mode is |}\n"), &["a", "b"]);
    check(&unit_type("    terms: {x: mode is a |}\n"), &["and", "or"]);
    check(&unit_type("    terms: {x: (|)}\n"), &["in", "mode", "not"]);
    check(&unit_type("    outputs:\n      o: {when: in and not |}\n"), &["in", "mode", "not"]);
    check(&unit_type("    outputs: {o: {when: in}}\n    never: [|]\n"), &["in", "o", "mode", "not"]);
    check(
        &unit_type("    serves: {cooling: |}\n    outputs: {o: {when: in}}\n"),
        &["in", "o", "mode", "not"],
    );
    among(&unit_type("    serves: {|}\n"), &["cooling"], &["in"]);
    check("points:\n  A: {driven-by: {logic: \"HP1-OCC and |\"}}\n", &["HP1-OCC", "yes, no", "not"]);
    check("points:\n  A: {driven-by: {logic: HP1-OCC |}}\n", &["and", "or"]);
}

#[test]
fn keys_that_are_not_there_yet() {
    let limits = ["heat-below", "cool-above", "dehumidify-above", "humidify-below"];
    check("zones:\n  a: {occupied: {|}}\n", &limits);
    check("zones:\n  a:\n    occupied: {heat-below: 70 °F, |}\n", &limits[1..]);
    check("zones:\n  a:\n    occupied: {|, cool-above: 70 °F}\n", &[limits[0], limits[2], limits[3]]);
    check(
        "zones:\n  a:\n    occupied:\n      heat-below: 70 °F\n      |\n      cool-above: 75 °F\n",
        &limits[2..],
    );
    check("zones:\n  a:\n    sch|\n", &["schedule", "occupied", "unoccupied", "thermostat", "space"]);
    check(
        "zones:\n  a:\n    space: {}\n    |\n\n  b: {}\n",
        &["schedule", "occupied", "unoccupied", "thermostat"],
    );
    check(
        "zones:\n  a:\n    sch|: staff-hours\n    space: {}\n",
        &["schedule", "occupied", "unoccupied", "thermostat"],
    );
    check("devices:\n  d: {|", &["instance", "network", "text"]);
    check("devices:\n  d: {instance: 3, |\n  e: {instance: 4}\n", &["network", "text"]);
    check("devices:\n  d: |\n", &["instance", "network", "text"]);
    among("requirements:\n  - |\n", &["zone", "hours"], &[]);
    among("requirements:\n  - zone: lab\n    |\n", &["hours"], &["zone"]);
    among("site:\n  |\n", &["name", "time-zone"], &[]);
    check("site:\n  name: x\n  review: {|}\n", &["from", "days"]);
    among("points:\n  A: {driven-by: |}\n", &["schedule", "call", "point"], &["device"]);
    among("points:\n  A: {driven-by: {|}}\n", &["schedule", "call", "point"], &["device"]);
    among("points: {A: {driven-by: {|}}}\n", &["schedule", "call", "point"], &["device"]);
}

#[test]
fn sections_entries_words_and_checks() {
    among("|", &["points", "units"], &[]);
    among("points:\n  A: {}\nu|", &["units", "unit-types"], &["points"]);
    check("points:\n  |\n", &["new point"]);
    check("points:\n  A: {}\n  |", &["new point"]);
    among("points:\n  A: {object: |}\n", &["binary-output"], &[]);
    check("points:\n  A: {object: binary-output |}\n", &[]);
    among("points:\n  A: {units: |}\n", &["degrees-fahrenheit"], &[]);
    among("points:\n  A: {driven-by: {call: |}}\n", &["cool-1"], &["stacks"]);
    check("points:\n  A: {text: |}\n", &[]);
    check("requirements:\n  - {zone: lab, hours: |}\n", &["all", "occupied", "unoccupied"]);
    among("site:\n  time-zone: |\n", &["America/New_York"], &[]);
    among("points:\n  # deviation: |\n  A: {}\n", &["dehumidification-gap"], &["A"]);
    check("points:\n  A: {} # |\n", &["deviation"]);
    check("points:\n  A: {} # deviation: point-unused, be|\n", &[]);
    check("points:\n  A: {} # schedule: |\n", &[]);
}
