//! A finding is what it is about: its repairs and its name in what programs read go by that, and not by its words,
//! its line or its file.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, clippy::disallowed_methods)]

mod chance;
mod held;
mod pages;

use chance::Dice;
use checks::{ALL, FindingId, identify};
use held::{checked, findings, hold};
use pages::bad_examples;
use rustc_hash::FxHashMap;
use std::path::Path;
use workspace::Workspace;

/// A dryer that may run while the schedule is occupied, so that its nights and weekends are a gap.
fn job(schedule: &str) -> Vec<(String, String)> {
    let text = format!(
        "site: {{name: Example, time-zone: America/New_York, review: {{from: 2027-01-01, days: 365}}}}
schedules:
  staff-hours:
    values: occupancy
    default: unoccupied
{schedule}
zones:
  stacks:
    schedule: staff-hours
    occupied: {{heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}}
    unoccupied: {{heat-below: 62 °F, cool-above: 80 °F, dehumidify-above: 58 °F dew point}}
units:
  DH-1:
    type: dryer
    zone: stacks
    inputs: {{dehumidify: DH1-DEHUM, occupied: DH1-OCC}}
points:
  DH1-DEHUM: {{driven-by: {{call: dehumidify, zone: stacks}}}}
  DH1-OCC: {{driven-by: {{schedule: staff-hours}}}}
unit-types:
  dryer:
    inputs: {{dehumidify: {{}}, occupied: {{}}}}
    outputs: {{compressor: {{when: dehumidify and occupied}}}}
    serves: {{dehumidification: compressor}}
"
    );
    vec![("job.yaml".to_owned(), text)]
}

/// The titles of the repairs of the findings of one check, each held to what it promises.
fn titles(workspace: &Workspace, check: &str) -> Vec<String> {
    let mut titles = Vec::new();
    for (id, finding) in findings(workspace).into_iter().filter(|(_, finding)| finding.check.id == check) {
        for repair in workspace.repairs(id, &finding) {
            hold(workspace, id, &finding, &repair);
            titles.push(repair.title);
        }
    }
    titles
}

/// A closed day and a window on it, at one priority: which of the two is meant is decided by one step, be it a day or
/// a week. The gap that they lie in ends on another day of the week by it, and is the same gap.
#[test]
fn exceptions_that_collide_are_told_apart_by_a_priority() {
    let collide = |on: &str| {
        job(&format!(
            "    week: {{mon-fri: 08:00-17:00}}\n    exceptions:\n      - {{on: {on}, hours: none}}\n      - {{on: {on}, also: 10:00-14:00}}"
        ))
    };
    for on in ["2027-07-05", "{from: 2027-07-05, to: 2027-07-11}"] {
        let workspace = checked(&collide(on));
        assert!(findings(&workspace).iter().any(|(_, finding)| finding.check.id == "dehumidification-gap"));
        let titles = titles(&workspace, "exceptions-collide");
        assert_eq!(
            titles.first().map(String::as_str),
            Some("Let this exception win, at priority 15"),
            "{titles:?}"
        );
        // Whoever lets the other one win does not let this one win as well.
        let both = |title: &String| title.matches(" win, at priority").count() > 1;
        assert!(!titles.iter().any(both), "{titles:?}");
    }
}

/// Nobody knows what a window that runs past midnight leaves without hours until it is split.
#[test]
fn what_a_fault_held_back_does_not_count_against_its_repair() {
    let workspace = checked(&job("    week: {mon-fri: 22:00-06:00}"));
    assert_eq!(
        titles(&workspace, "window-ends-before-start"),
        ["Split the hours at midnight, over two days. Then shows: `dehumidification-gap` of `DH-1`"]
    );
}

/// A unit that never dries is not told of its gaps; the hours that let it run leave some, and others leave none.
#[test]
fn a_repair_that_leaves_nothing_comes_before_one_that_costs_as_much() {
    let mut files = job("    week: {mon-sun: none}");
    files[0].1 = files[0].1.replace("occupied: DH1-OCC}", "occupied: {tied: off}}");
    let workspace = checked(&files);
    let titles = titles(&workspace, "dehumidification-never-runs");
    let shows = |title: &String| title.contains("Then shows: ");
    assert!(titles.first().is_some_and(|title| !shows(title)), "{titles:?}");
}

/// The closed day decided for, the window beside it has no hour left: that is the repair's doing, and has to be made
/// good by it.
#[test]
fn what_a_repair_brings_still_counts_against_it() {
    let workspace = checked(&job(
        "    week: {mon-fri: 08:00-17:00}\n    exceptions:\n      - {on: 2027-07-05, hours: none}\n      - {on: 2027-07-05, also: 10:00-14:00}",
    ));
    let titles = titles(&workspace, "exceptions-collide");
    assert!(!titles.iter().any(|title| title == "Let the other exception win, at priority 15"), "{titles:?}");
    assert!(!titles.iter().any(|title| title.contains("Then shows: ")), "{titles:?}");
}

/// An input that is wired already is not wired once more, which nobody could read.
#[test]
fn a_name_is_not_corrected_to_one_that_stands_there() {
    let mut files = job("    week: {mon-fri: 08:00-17:00}");
    files[0].1 = files[0].1.replace("occupied: DH1-OCC}", "occupied: DH1-OCC, ocupied: DH1-OCC}");
    let workspace = checked(&files);
    assert!(findings(&workspace).iter().any(|(_, finding)| finding.check.id == "terminal-unknown"));
    assert_eq!(titles(&workspace, "terminal-unknown"), Vec::<String>::new());
}

/// The findings of a job, by their names in what programs read.
fn named(workspace: &Workspace) -> FxHashMap<FindingId, String> {
    let found = findings(workspace);
    let entry = |id| workspace.job().entry(id).unwrap();
    let names = identify(found.iter().map(|(id, finding)| (entry(*id), finding)));
    assert_eq!(names.len(), found.len());
    let words = |(id, finding): &(model::EntryId, checks::Finding)| {
        format!("{:?}: {}", finding.key(entry(*id)), finding.message)
    };
    let mut named = FxHashMap::default();
    for (name, finding) in names.into_iter().zip(&found) {
        if let Some(twin) = named.insert(name, words(finding)) {
            panic!("{name} is both {twin} and {}", words(finding));
        }
    }
    named
}

fn sample(name: &str) -> Vec<(String, String)> {
    let root =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/saltmarsh-records-centre").join(name);
    let workspace = Workspace::load(&root, &|_, _| {});
    let text = |file| workspace.job().file(file).unwrap().file().text().to_string();
    workspace.files().into_iter().map(|(file, path)| (path.to_owned(), text(file))).collect()
}

#[test]
fn no_two_findings_of_a_job_have_one_name() {
    let mut met = 0;
    for files in
        ALL.iter().flat_map(|check| bad_examples(check)).chain([sample("clean"), sample("with-mistakes")])
    {
        met += named(&checked(&files)).len();
    }
    let mut dice = Dice::new(15);
    for _ in 0..100 {
        met += named(&checked(&[("job.yaml".to_owned(), chance::job(&mut dice))])).len();
    }
    assert!(met > 1000, "{met}");
}

/// What is counted apart is equal in all that is written of it.
#[test]
fn findings_that_are_alike_in_all_are_counted() {
    let twice = "points:\n  RR1-SPARE: {description: spare}\n  RR1-SPARE: {description: spare}\n";
    let other = "points:\n  RR1-SPARE: {description: spare}\n  RR1-SPARE: {description: kept}\n";
    let files = |text: &str| vec![("job.yaml".to_owned(), text.to_owned())];
    let turned = "points:\n  RR1-SPARE: {description: kept}\n  RR1-SPARE: {description: spare}\n";
    named(&checked(&files(twice)));
    let (one, other) = (named(&checked(&files(other))), named(&checked(&files(turned))));
    let mut names: Vec<&FindingId> = one.keys().collect();
    let mut turned: Vec<&FindingId> = other.keys().collect();
    names.sort_unstable();
    turned.sort_unstable();
    assert_eq!(names, turned, "the order of the list tells them apart");
}

/// Another file, another line, other figures and another name somewhere else leave the names as they are.
#[test]
fn a_name_stays_while_what_it_is_about_stays() {
    let files = sample("with-mistakes");
    let mut before: Vec<FindingId> = named(&checked(&files)).into_keys().collect();
    before.sort_unstable();
    assert!(before.len() > 50, "{}", before.len());

    // A line more above everything, and every section in a file of another name, the last first.
    let moved = files.iter().rev().enumerate().map(|(n, (path, text))| {
        let path = if path == "site.yaml"
            || Path::new(path).extension().is_none_or(|extension| extension != "yaml")
        {
            path.clone()
        } else {
            format!("moved/{n}.yaml")
        };
        (path, format!("\n# moved\n\n{text}"))
    });
    let mut after: Vec<FindingId> = named(&checked(&moved.collect::<Vec<_>>())).into_keys().collect();
    after.sort_unstable();
    assert_eq!(before, after);
}

/// Every finding but those about the thing that is renamed, or told by its name, keeps its own.
#[test]
fn another_thing_renamed_keeps_the_names() {
    let week = "    week: {mon-fri: 08:00-17:00, sat: [09:00-12:00, 11:00-13:00]}";
    let before = named(&checked(&job(week)));
    let renamed: Vec<(String, String)> = job(week)
        .into_iter()
        .map(|(path, text)| (path, text.replace("staff-hours", "reading-hours")))
        .collect();
    let after = named(&checked(&renamed));
    let kept: Vec<&String> =
        before.iter().filter(|(name, _)| after.contains_key(name)).map(|(_, words)| words).collect();
    assert!(kept.iter().any(|words| words.contains("dehumidification-gap")), "{before:?} {after:?}");
    assert!(kept.iter().all(|words| !words.contains("windows-overlap")), "{kept:?}");
}
