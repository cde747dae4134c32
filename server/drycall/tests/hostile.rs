//! A stranger's job, whose names are orders to a terminal and lines of a report: nothing of it acts, and
//! nothing of it is taken for a line that the program wrote.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::fs;
use std::path::Path;
use std::process::Command;

/// In YAML's double quotes.
const YAML: &str = r"\nsite.yaml:1:1: error: forged [syntax-error]\r\e[31m\e]0;title\a\u009b2J\u202e";
const RAW: &str =
    "\nsite.yaml:1:1: error: forged [syntax-error]\r\u{1b}[31m\u{1b}]0;title\u{7}\u{9b}2J\u{202e}";

/// A job in which every name ends in orders: unit, zone, schedule, device, points, option's choice, own type,
/// its terms and outputs, a file and a folder.
fn job(folder: &Path) {
    let write = |name: &str, text: &str| {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text.replace('@', YAML)).unwrap();
    };
    write(
        "site.yaml",
        "site:\n  name: \"Saltmarsh@\"\n  time-zone: America/New_York\n  review: {from: 2027-01-01, days: 28}\n  \
         weather: {dry-bulb: 30 °C, dew-point: 25 °C}\n",
    );
    write(
        "zones.yaml",
        "zones:\n  \"stacks@\":\n    schedule: \"hours@\"\n    occupied: {heat-below: 68 °F, cool-above: 75 °F, \
         dehumidify-above: 55 %RH}\n    unoccupied: {dehumidify-above: 55 %RH}\nrequirements:\n  - {zone: \
         \"stacks@\", dehumidification: always}\n",
    );
    write(
        // The file system takes all but `/` and NUL.
        &format!("plant{RAW}/units{RAW}.yaml"),
        "schedules:\n  \"hours@\":\n    values: occupancy\n    default: unoccupied\n    week: {mon-fri: \
         08:00-17:00}\nunit-types:\n  \"dryer@\":\n    description: \"dries@\"\n    inputs: {dehumidify: {terminal: \
         \"D@\"}, occupied: {terminal: \"O@\"}}\n    options: {\"when@\": [\"open@\", \"any@\"]}\n    terms: \
         {drying: dehumidify and occupied}\n    outputs: {compressor: {when: drying}}\n    serves: \
         {dehumidification: compressor}\nunits:\n  \"DH@\":\n    type: \"dryer@\"\n    zone: \"stacks@\"\n    \
         options: {\"when@\": \"open@\"}\n    inputs: {dehumidify: \"DEHUM@\", occupied: \"OCC@\"}\n",
    );
    write(
        "points.yaml",
        "devices:\n  \"controller@\": {instance: 1201, network: 1}\npoints:\n  \"DEHUM@\": {device: \
         \"controller@\", object: binary-output 1, description: \"call@\", driven-by: {call: dehumidify, zone: \
         \"stacks@\"}}\n  \"OCC@\": {device: \"controller@\", object: binary-output 1, description: \"call@\", driven-by: \
         {schedule: \"hours@\"}}\n  \"LOST@\": {device: \"contrller@\", object: binary-otput 3}\n# deviation: \
         point-unused, because\u{202e}\n",
    );
}

/// What a command shows on both streams, with and without colour asked for.
fn shown(folder: &Path, arguments: &[&str]) -> String {
    let run = |colour: bool| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_drycall"));
        command.args(arguments).current_dir(folder);
        if colour {
            command.env("CLICOLOR_FORCE", "1");
        }
        let output = command.output().unwrap();
        String::from_utf8(output.stdout).unwrap() + &String::from_utf8(output.stderr).unwrap()
    };
    // The report's own colours.
    let coloured = run(true).replace("\u{1b}[", "\u{0}[");
    let mut kept = String::new();
    let mut parts = coloured.split('\u{0}');
    kept.push_str(parts.next().unwrap());
    for part in parts {
        let (code, rest) = part.split_once('m').unwrap();
        assert!(
            ["[0", "[1", "[2", "[31", "[33", "[36"].contains(&code),
            "{code:?} in what {arguments:?} shows"
        );
        kept.push_str(rest);
    }
    run(false) + &kept
}

fn holds(arguments: &[&str], shown: &str) {
    let acts = |c: char| syntax::is_unseen(c) && !matches!(c, '\n' | '\t');
    assert!(!shown.contains(acts), "{arguments:?}: {:?}", shown.find(acts).map(|at| &shown[at..]));
    let forged = shown.lines().find(|line| line.starts_with("site.yaml:1:1: error: forged"));
    assert!(forged.is_none(), "{arguments:?}: {shown}");
}

#[test]
fn no_command_lets_a_name_act() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join(format!("job{RAW}"));
    job(&folder);
    let named = |name: &str| format!("{name}{RAW}");
    let (unit, zone, out) = (named("DH"), named("stacks"), named("nowhere/out"));
    let (absent, unknown, place) = (named("absent"), named("unknown"), named("no-folder"));
    let all: [&[&str]; 19] = [
        &["review"],
        &["review", "--format", "text"],
        &["review", "--format", "text", "--reasons"],
        &["review", folder.to_str().unwrap()],
        &["review", "--out", &out],
        &["review", "--out", "points.yaml"],
        &["review", &place],
        &["repair"],
        &["chart", &unit],
        &["chart", &absent],
        &["hours", &unit],
        &["hours", &unit, "--week", "2027-01-04"],
        &["hours", &unit, "--format", "svg"],
        &["hours", &unit, "--week", &unknown],
        &["hours", &absent],
        &["predict", &zone],
        &["predict", &zone, "--format", "svg"],
        &["predict", &absent],
        &["explain", &unknown],
    ];
    let mut told = String::new();
    for arguments in all {
        let shown = shown(&folder, arguments);
        assert!(!shown.trim().is_empty(), "{arguments:?}");
        holds(arguments, &shown);
        told += &shown;
    }
    let elsewhere = shown(outer.path(), &["review", folder.to_str().unwrap()]);
    holds(&["review", "from outside"], &elsewhere);
    assert!(
        elsewhere.contains("job\\u{a}site.yaml:1:1: error: forged [syntax-error]\\u{d}\\u{1b}[31m"),
        "{elsewhere}"
    );
    // Each kind of name is met, so that this would see it act.
    for name in ["DH", "stacks", "hours", "dryer", "DEHUM", "OCC", "LOST", "plant", "units"] {
        assert!(told.contains(&format!("{name}\\u{{a}}site.yaml")), "`{name}` is not told");
    }
    // New jobs and written repairs.
    let made = shown(outer.path(), &["new", &named("made")]);
    holds(&["new"], &made);
    let written = shown(&folder, &["repair", "--write"]);
    holds(&["repair", "--write"], &written);
}

/// A program reads names as they are.
#[test]
fn json_has_the_names_as_they_are() {
    let folder = tempfile::tempdir().unwrap();
    job(folder.path());
    let output = Command::new(env!("CARGO_BIN_EXE_drycall"))
        .args(["review", "--format", "json"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let review: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(review["verdicts"][0]["unit"], format!("DH{RAW}"));
    let findings = review["findings"].as_array().unwrap();
    let invisible = findings
        .iter()
        .filter(|f| f["message"].as_str().unwrap().contains("invisible character in it (U+000A)"));
    assert!(invisible.count() >= 8, "{findings:#?}");
}
