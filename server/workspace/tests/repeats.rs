//! The same fault a hundred thousand times is told ten thousand times, and how often besides.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::fmt::Write;
use workspace::Workspace;

fn messages(points: usize) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("site.yaml"), "site: {name: Example, time-zone: UTC}\n").unwrap();
    let mut text = String::from("points:\n");
    for number in 0..points {
        let _ = writeln!(text, "  P{number}: {{nonsense: 1}}");
    }
    std::fs::write(folder.path().join("points.yaml"), text).unwrap();
    let mut workspace = Workspace::load(folder.path(), &|_, _| {});
    workspace.check_for_good(&|_, _| {});
    let file = workspace.file("points.yaml").unwrap();
    let of_keys = workspace.findings(file).filter(|(_, finding)| finding.check.id == "key-unknown");
    of_keys.map(|(_, finding)| finding.message.clone()).collect()
}

#[test]
fn what_is_said_of_one_file_is_bounded_and_counted() {
    let few = messages(10_000);
    assert_eq!(few.len(), 10_000);
    assert!(few.iter().all(|message| !message.contains("not listed")));
    let many = messages(30_000);
    assert_eq!(many.len(), 10_001);
    assert!(many.last().unwrap().starts_with("20000 more findings of `key-unknown`"), "{:?}", many.last());
}
