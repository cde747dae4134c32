//! What is offered where: `|` marks the cursor.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods)]

use super::cursor::Cursor;
use super::offers;
use proptest::prelude::*;
use std::path::Path;
use syntax::Edit;
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
  HP1-OCC: {device: controller-1, description: Occupied command}
  \"yes, no\": {}
unit-types:
  plain-fan:
    description: A fan
    options:
      fan-when: {choices: [always, called], default: called}
    inputs: {fan: {terminal: G, description: fan call}, smoke: {}}
    terms: {wanted: fan and not smoke}
    outputs: {blower: {when: wanted, description: blower relay}}
";

/// The offers at the cursor in `text`, which is a file of a job of two.
fn at(text: &str) -> Vec<super::Offer> {
    let mut workspace = Workspace::empty(Path::new("/job"));
    workspace.open("site.yaml", JOB);
    let file = workspace.open("more.yaml", &text.replace('|', ""));
    let parsed = workspace.job().file(file).unwrap().file();
    let cursor = Cursor::find(parsed, text.find('|').unwrap() as u32);
    cursor.map_or_else(Vec::new, |cursor| offers(&workspace, file, &cursor))
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

#[test]
fn points_that_carry_a_number_come_last() {
    let sensor = "points:\n  A-TEMP: {object: analog-input 1}\n  B: {object: binary-input 2}\n";
    check(&format!("{sensor}  C: {{driven-by: {{point: |}}}}\n"), &["B", "HP1-OCC", "yes, no", "A-TEMP"]);
    check(&format!("{sensor}  C: {{driven-by: {{logic: B and |}}}}\n"), &["B", "HP1-OCC", "A-TEMP", "not"]);
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
fn points_that_are_likely_at_an_input_come_first() {
    let units = "units:\n  HP-2: {zone: lab, inputs: {cool-1: |}}\n  HP-3: {inputs: {cool-1: HP2-OLD}}\n";
    let points = "points:\n  HP1-COOL: {driven-by: {call: cool-1, zone: stacks}}\n  LAB-T: {measures: {zone: lab}}\n  \
                  HP2-OLD: {driven-by: {call: heat-1, zone: lab}}\n  HP2-HEAT: {driven-by: {call: heat-1, zone: lab}}\n  \
                  LAB-COOL: {driven-by: {call: cool-1, zone: lab}}\n";
    let labels: Vec<String> = at(&format!("{units}{points}")).into_iter().map(|offer| offer.label).collect();
    let wanted = ["LAB-COOL", "HP2-HEAT", "HP2-OLD", "HP1-COOL", "HP1-OCC", "yes, no", "LAB-T"];
    assert_eq!(labels.get(..wanted.len()).unwrap_or_default(), wanted);
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
    check("points:\n  A: {driven-by: {logic: \"HP1-OCC and |\"}}\n", &["HP1-OCC", "not"]);
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
    check("devices:\n  d: {|", &["instance", "network", "description"]);
    check("devices:\n  d: {instance: 3, |\n  e: {instance: 4}\n", &["network", "description"]);
    check("devices:\n  d: |\n", &["instance", "network", "description"]);
    among("requirements:\n  - |\n", &["zone", "hours"], &[]);
    among("requirements:\n  - zone: lab\n    |\n", &["hours"], &["zone"]);
    among("site:\n  |\n", &["name", "time-zone"], &[]);
    check("site:\n  name: x\n  review: {|}\n", &["from", "days"]);
    among("points:\n  A: {driven-by: |}\n", &["schedule", "call", "point"], &["device"]);
    among(
        "points:\n  A: {driven-by: {schedule: s, |}}\n",
        &["inverted", "override"],
        &["schedule", "call", "point"],
    );
    among("points:\n  A: {driven-by: {|}}\n", &["schedule", "call", "point"], &["device"]);
    among("points: {A: {driven-by: {|}}}\n", &["schedule", "call", "point"], &["device"]);
}

#[test]
fn lines_that_end_otherwise_and_entries_that_cannot_be_read() {
    check(
        "zones:\r\n  a:\r\n    space: {}\r\n    occupied: {heat-below: 70 °F, cool-above: 75 °F, |\r\n  b: {}\r\n",
        &["dehumidify-above", "humidify-below"],
    );
    check("\u{feff}zones:\r  a:\r    schedule: |\r", &["staff-hours"]);
    check(
        "zones:\n  a: {schedule: }}\n  b: {occupied: {heat-below: 7, , ]\n  c: {schedule: |\n",
        &["staff-hours"],
    );
    check("units:\n  U:\n    type: plain-fan\n    zone: \"lab\n    inputs:\n      |\n", &["fan", "smoke"]);
    check(
        "units:\n  U:\n    zone: {\n    type: plain-fan\n    options: {fan-when: |}\n",
        &["always", "called"],
    );
    check("points:\n  A:\n    description: >\n      two lines\n      and zone: |\n", &[]);
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
    check("points:\n  A: {description: |}\n", &[]);
    check("requirements:\n  - {zone: lab, hours: |}\n", &["all", "occupied", "unoccupied"]);
    among("site:\n  time-zone: |\n", &["America/New_York"], &[]);
    among("points:\n  # deviation: |\n  A: {}\n", &["dehumidification-gap"], &["A"]);
    check("points:\n  A: {} # |\n", &["deviation"]);
    check("points:\n  A: {} # deviation: point-unused, be|\n", &[]);
    check("points:\n  A: {} # schedule: |\n", &[]);
}

/// Every file of a sample, with a workspace that holds them.
fn sample(name: &str) -> (Workspace, Vec<(model::FileId, String)>) {
    let root =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/saltmarsh-records-centre").join(name);
    let workspace = Workspace::load(&root, &|_, _| {});
    let text = |file| workspace.job().file(file).unwrap().file().text().to_string();
    let files = workspace.files().into_iter().map(|(file, _)| (file, text(file))).collect();
    (workspace, files)
}

/// Whether a name at a byte of a file is found to be unknown. Another type may well leave a unit with
/// options that it does not have; that is another place.
fn unknown(workspace: &Workspace, file: model::FileId, at: u32) -> bool {
    let mut findings = workspace.findings(file);
    findings.any(|(id, finding)| {
        let (_, span) = workspace.span(id, &finding.spot).unwrap();
        finding.check.id == "name-unknown" && span.start <= at && at < span.end
    })
}

#[test]
fn whatever_is_offered_in_place_of_a_name_is_one_that_is_known() {
    let (mut workspace, files) = sample("clean");
    workspace.check(&|_, _| {});
    let mut accepted = 0;
    for (n, (file, text)) in files.iter().enumerate() {
        let mut places = Vec::new();
        for id in workspace.job().file(*file).unwrap().entries() {
            let entry = workspace.job().entry(*id).unwrap();
            for used in &entry.facts.uses {
                let (_, span) = workspace.span(*id, &used.spot()).unwrap();
                // Half of the name is typed, or all of it, or none.
                let at =
                    span.start + [0, (span.end - span.start) / 2, span.end - span.start][places.len() % 3];
                let jobfile = workspace.job().file(*file).unwrap().file();
                let cursor = Cursor::find(jobfile, at).unwrap();
                assert_eq!(cursor.word, span, "{text}");
                let offers = offers(&workspace, *file, &cursor);
                let of_kind = |o: &super::Offer| o.names.as_ref().is_some_and(|(kind, _)| *kind == used.kind);
                // A point of logic may also be a term; all that names a thing names one of the kind.
                assert!(offers.iter().all(|o| o.names.is_none() || of_kind(o)), "{:?}", used.name);
                let wanted = offers.iter().filter(|o| of_kind(o)).nth((n + places.len()) % 3).cloned();
                assert!(offers.iter().any(|o| o.label == used.name), "{:?} is not offered", used.name);
                places.extend(wanted.map(|offer| (span, offer.plain.unwrap())));
            }
        }
        for (span, new) in places {
            let old = text.get(span.start as usize..span.end as usize).unwrap().to_owned();
            let end = span.start + new.len() as u32;
            workspace.edit(*file, &Edit { range: span.clone(), new });
            workspace.check(&|_, _| {});
            assert!(!unknown(&workspace, *file, span.start), "in place of {old}");
            workspace.edit(*file, &Edit { range: span.start..end, new: old });
            accepted += 1;
        }
    }
    assert!(accepted > 200, "only {accepted}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// A text cut off anywhere, with anything typed there: no panic, the word typed over holds the
    /// cursor and is written in one line, and nothing is offered twice.
    #[test]
    fn anywhere_in_what_is_half_typed(
        which in any::<prop::sample::Index>(), place in any::<prop::sample::Index>(),
        typed in "([a-z{}\\[\\]:,#'\"|&*! \n\r\t𝄞é-]|driven-by: \\{|\n    ){0,8}", cut in any::<bool>(),
    ) {
        let (mut workspace, files) = sample("with-mistakes");
        let (file, text) = which.get(&files);
        let at = text.floor_char_boundary(place.index(text.len() + 1));
        let rest = if cut { "" } else { &text[at..] };
        workspace.set_text(*file, &[&text[..at], &typed, rest].concat());
        let parsed = workspace.job().file(*file).unwrap().file();
        let offset = (at + typed.len()) as u32;
        if let Some(cursor) = Cursor::find(parsed, offset) {
            prop_assert!(cursor.word.start <= offset && offset <= cursor.word.end);
            prop_assert!(!parsed.text().slice(cursor.word.clone()).contains(['\n', '\r']));
            let offers = offers(&workspace, *file, &cursor);
            let mut labels: Vec<&str> = offers.iter().map(|offer| offer.label.as_str()).collect();
            labels.sort_unstable();
            let all = labels.len();
            labels.dedup();
            prop_assert_eq!(labels.len(), all, "{:?}", labels);
        }
    }
}

/// What is written first, with its dash where the place needs one.
#[track_caller]
fn writes(text: &str, wanted: &str) {
    let offers = at(text);
    let first = offers.first().and_then(|offer| offer.snippet.as_deref().or(offer.plain.as_deref()));
    assert_eq!(first, Some(wanted), "{text}");
}

#[test]
fn an_item_of_a_list_gets_its_dash() {
    writes("requirements:\n  |", "- {zone: $1\\}");
    writes("requirements:\n  |\n  - {zone: lab}\n", "- {zone: $1\\}");
    writes("requirements:\n  - {zone: lab}\n  |\n", "- zone: $1");
    writes("requirements:\n  - zone: lab\n    |\n", "dehumidification: ${1:always}");
    writes("requirements:\n  - |\n", "zone: $1");
    for (before, after) in [
        ("", ""),
        ("", "      - {on: closures}\n"),
        ("      - {on: closures}\n", ""),
        ("      - {on: closures}\n", "      - {on: closures}\n"),
        ("      - on: closures\n        hours: none\n      # why\n\n", ""),
    ] {
        writes(&format!("schedules:\n  s:\n    exceptions:\n{before}      |\n{after}"), "- on: $1");
        let compact = |part: &str| part.replace("      ", "    ");
        if !after.is_empty() {
            let text =
                format!("schedules:\n  s:\n    exceptions:\n{}    |\n{}", compact(before), compact(after));
            writes(&text, "- on: $1");
        }
    }
    writes("schedules:\n  s:\n    exceptions:\n      - |\n      - {on: closures}\n", "on: $1");
    writes("schedules:\n  s:\n    exceptions:\n    - {on: closures}\n    |\n", "values: ${1:occupancy}");
    writes("schedules:\n  s:\n    ex|\n    - {on: closures}\n", "values: ${1:occupancy}");
    writes("schedules:\n  s:\n    values:\n      |\n", "occupancy");
    writes("calendars:\n  c:\n    |\n    - date: 2027-12-26\n", "- date: ${1:2027-01-01}");
    writes("points:\n  A:\n    driven-by:\n      |\n", "schedule: $1");
    writes("points:\n  A:\n    driven-by:\n      |\n      - {schedule: a}\n", "- schedule: $1");
    writes("points:\n  A:\n    driven-by:\n      - {schedule: a}\n      |\n", "- schedule: $1");
}
