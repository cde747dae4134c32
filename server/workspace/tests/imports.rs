//! A repair that names a file is proven with that file as it is.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use workspace::Workspace;

const SITE: &str =
    "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 365}}\n";

const JOB: &str = "\
calendars:
  closures:
    - {imprt: closures.ics}
schedules:
  staff-hours:
    values: occupancy
    week: {mon-fri: 08:00-17:00}
    exceptions: [{on: closures, closed: true}]
units: {}
points: {}
zones: {}
";

const CLOSURES: &str = "\
BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//Example//EN
BEGIN:VEVENT
UID:1
DTSTAMP:20270101T000000Z
DTSTART;VALUE=DATE:20270308
END:VEVENT
END:VCALENDAR
";

fn titles(workspace: &Workspace) -> Vec<String> {
    let files = workspace.files();
    let mut findings = files.iter().flat_map(|(file, _)| workspace.findings(*file));
    let (id, finding) = findings.find(|(_, finding)| finding.check.id == "key-unknown").unwrap();
    let mut repairer = workspace.repairer();
    let mut titles = || -> Vec<String> {
        repairer.repairs(id, finding, &|| false).into_iter().map(|repair| repair.title).collect()
    };
    // What was tried leaves nothing behind in the copy it was tried on.
    let first = titles();
    assert_eq!(titles(), first);
    first
}

#[test]
fn a_key_is_corrected_only_if_the_file_it_then_names_can_be_read() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("site.yaml"), SITE).unwrap();
    std::fs::write(folder.path().join("job.yaml"), JOB).unwrap();
    let corrects = |workspace: &Workspace| titles(workspace).iter().any(|title| title.contains("`import`"));

    let mut workspace = Workspace::load(folder.path(), &|_, _| {});
    workspace.check(&|_, _| {});
    assert!(!corrects(&workspace));

    std::fs::write(folder.path().join("closures.ics"), CLOSURES).unwrap();
    workspace.rescan();
    workspace.check(&|_, _| {});
    assert!(corrects(&workspace));
}
