//! A whole review in windows of several widths.

#![allow(clippy::panic)]

use crate::{Form, Review, review_window};
use checks::Severity;
use std::path::Path;
use unicode_width::UnicodeWidthStr;
use workspace::Workspace;

const JOB: [(&str, &str); 4] = [
    ("site.yaml", "site: {name: Saltmarsh Records Centre, time-zone: America/New_York}\n"),
    (
        "units.yaml",
        "units:
  HP-2:
    type: heat-pump-with-hot-gas-reheat
    zone: reading-room
    options: {unoccupied-dehumidification: locked-out, reversing-valve: energised-to-cool}
    inputs: {cool-1: not-wired, heat-1: not-wired, heat-2: not-wired, dehumidify: HP2-DEHUM, occupied: HP2-OCC}
requirements:
  - {zone: reading-room, dehumidification: always}
  - {zone: reading-room, dehumidification: {gap-at-most: 72 h}, hours: occupied}
  - {zone: nowhere, dehumidification: always}
",
    ),
    (
        "points.yaml",
        "points:
  HP2-OCC: {description: occupied command of the heat pump in the room behind the reading room for visitors, driven-by: {operator: off}}
  SPARE: {description: a point with a key that no point has, contct: a}
  HP2-DEHUM: {driven-by: {contact: a humidistat beside the door to the reading room}}
zones:
  reading-room: {heating: 乾燥した部屋は良い部屋です、そして湿った部屋は悪い部屋です。乾燥した部屋は良い部屋です}
",
    ),
    ("broken.yaml", "points:\n  A: {driven-by: {contact: a}\n"),
];

fn job() -> Workspace {
    let mut workspace = Workspace::empty(Path::new("/job"));
    for (path, text) in JOB {
        workspace.open(path, text);
    }
    workspace.check(&|_, _| {});
    workspace
}

fn shown(workspace: &Workspace, width: usize, from: Severity, reasons: bool) -> String {
    let mut text = String::new();
    let review = Review::for_window(workspace, from, true);
    let form = Form { width, coloured: false, from, reasons };
    review_window(&review, &form, |piece| {
        text.push_str(piece);
        Ok(())
    })
    .unwrap_or_default();
    text
}

#[test]
fn no_line_is_wider_than_the_window() {
    let workspace = job();
    for width in [60, 80, 100, 160] {
        for reasons in [false, true] {
            let text = shown(&workspace, width, Severity::Note, reasons);
            for line in text.lines() {
                // A word that cannot be broken stands alone.
                assert!(line.width() <= width || line.split_whitespace().count() == 1, "{width}: {line}");
            }
        }
    }
}

#[test]
fn the_worst_comes_first_and_all_of_it_is_told() {
    let workspace = job();
    let text = shown(&workspace, 100, Severity::Note, false);
    let head = "Saltmarsh Records Centre · 2027-01-01 to 2027-12-31, America/New_York";
    assert!(text.lines().next().is_some_and(|line| line.ends_with(head)), "{text}");
    let at = |what: &str| text.find(what).unwrap_or_else(|| panic!("no {what:?} in\n{text}"));
    assert!(at("Start with these") < at("  1  `HP-2`"), "{text}");
    assert!(at("units.yaml:2") < at("broken.yaml:2"), "{text}");
    // What follows from a finding stands under it, with its place.
    assert!(at("occupancy-never-asserts") < at("     so    units.yaml:2"), "{text}");
    let order = ["missed", "not proven", "Units\n", "never", "Left out: nothing. 4 files read."];
    let last = |what: &str| text.rfind(what).unwrap_or_else(|| panic!("no {what:?} in\n{text}"));
    assert!(order.map(last).is_sorted(), "{text}");
    assert!(!shown(&workspace, 100, Severity::Note, true).contains("(--reasons)"));
}

#[test]
fn what_the_level_leaves_out_is_counted() {
    let workspace = job();
    let text = shown(&workspace, 100, Severity::Error, false);
    assert!(!text.contains("  warning: ") && !text.contains("  note: "), "{text}");
    let words: Vec<&str> = text.split_whitespace().collect();
    assert!(words.join(" ").contains(" not shown (--level note)"), "{text}");
}

/// Only the first of many findings are shown in full, and none is forgotten.
#[test]
fn a_file_full_of_findings_is_cut() {
    let mut workspace = Workspace::empty(Path::new("/job"));
    let points: String = (0..900).map(|n| format!("  P-{n}: {{}}\n")).collect();
    workspace.open("site.yaml", "site: {name: Annexe, time-zone: UTC}\n");
    workspace.open("points.yaml", &format!("points:\n{points}"));
    workspace.check(&|_, _| {});
    let all = Review::of(&workspace).findings.len();
    let text = shown(&workspace, 100, Severity::Note, false);
    let in_full = text.lines().filter(|line| line.contains(" │ ") && line.contains("P-")).count();
    assert_eq!(in_full, 200);
    let more = format!("… {} more in this file", crate::words::thousands(all - 200));
    assert!(text.contains(&more), "{more}: {}", &text[text.len() - 600..]);
}
