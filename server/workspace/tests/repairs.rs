//! Every repair that is offered clears its finding, brings no other, and keeps comments and line
//! endings, on the examples of every check's page.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use checks::{ALL, Check, Finding};
use model::{EntryId, FileId};
use std::path::Path;
use workspace::{Repair, Workspace};

/// Checks that propose repairs, none of which is proven on an example of theirs. On a few lines the
/// obvious change leaves a point, a schedule or an option without use; for some a change of two
/// places at once, which no maker proposes yet, is what would do.
const UNREPAIRED: &[&str] = &[
    "occupancy-never-asserts",
    "occupancy-disagrees",
    "exceptions-collide",
    "command-pinned",
    "dehumidification-gap",
    "dehumidification-yields-to-heating",
    "dehumidification-call-never-made",
    "reheat-never-enabled",
    "heating-and-cooling-together",
    "humidify-and-dehumidify-together",
    "option-defeated-by-wiring",
    "stage-never-reached",
    "setpoints-crossed",
    "setpoint-outside-range",
    "point-undriven",
];

const SITE: &str =
    "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 365}}\n";

/// The `bad` examples of a page, each as files with their names.
fn bad_examples(check: &Check) -> Vec<Vec<(String, String)>> {
    let (mut examples, mut open): (Vec<Vec<(String, String)>>, bool) = (Vec::new(), false);
    for line in check.page().lines() {
        if line == "```yaml bad" {
            open = true;
            examples.push(Vec::new());
        } else if line.starts_with("```") {
            open = false;
        } else if open {
            let files = examples.last_mut().unwrap();
            if let Some(name) = line.strip_prefix("# file: ") {
                files.push((name.trim().to_owned(), String::new()));
                continue;
            }
            if files.is_empty() {
                files.push(("job.yaml".to_owned(), String::new()));
            }
            files.last_mut().unwrap().1 += &format!("{line}\n");
        }
    }
    for files in &mut examples {
        if !files.iter().any(|(_, text)| text.lines().any(|l| l.starts_with("site:"))) {
            files.push(("site.yaml".to_owned(), SITE.to_owned()));
        }
    }
    examples
}

fn checked(files: &[(String, String)]) -> Workspace {
    let mut workspace = Workspace::empty(Path::new("nowhere"));
    for (path, text) in
        files.iter().filter(|(path, _)| Path::new(path).extension().is_some_and(|e| e == "yaml"))
    {
        workspace.open(path, text);
    }
    workspace.check(&|_, _| {});
    workspace
}

fn texts(workspace: &Workspace) -> Vec<(String, String)> {
    let text = |file| workspace.job().file(file).unwrap().file().text().to_string();
    workspace.files().into_iter().map(|(file, path)| (path.to_owned(), text(file))).collect()
}

fn findings(workspace: &Workspace) -> Vec<(EntryId, Finding)> {
    let all = workspace.files().into_iter().flat_map(|(file, _)| workspace.findings(file));
    all.map(|(id, finding)| (id, finding.clone())).collect()
}

/// The texts after a repair.
fn repaired(workspace: &Workspace, repair: &Repair) -> Vec<(String, String)> {
    let mut files = texts(workspace);
    let path = |id: FileId| workspace.job().file(id).unwrap().path.clone();
    for (file, range, new) in repair.edits.iter().rev() {
        let (_, text) = files.iter_mut().find(|(p, _)| *p == path(*file)).unwrap();
        text.replace_range(range.start as usize..range.end as usize, new);
    }
    files
}

/// Findings from scratch, by what identifies them but for figures and places.
fn told(workspace: &Workspace) -> Vec<String> {
    let words = |(id, f): (EntryId, Finding)| {
        let entry = workspace.job().entry(id).unwrap();
        let message: String = f.message.chars().filter(|c| !c.is_ascii_digit() && *c != '.').collect();
        format!("{} {:?} {} {message}", f.check.id, entry.part.key(), f.severity.word())
    };
    let mut told: Vec<String> = findings(workspace).into_iter().map(words).collect();
    told.sort();
    told
}

fn comments(files: &[(String, String)]) -> usize {
    files.iter().map(|(_, text)| text.matches('#').count()).sum()
}

/// Applies a repair to a job that is read anew, and holds it to what it promises.
fn hold(workspace: &Workspace, finding: &Finding, repair: &Repair) -> Workspace {
    let (before, after) = (texts(workspace), repaired(workspace, repair));
    let context = format!("{} `{}`\n{repair:?}\n{before:?}\n{after:?}", finding.check.id, finding.message);
    let anew = checked(&after);
    let (was, mut left) = (told(workspace), told(&anew));
    assert!(left.len() < was.len(), "nothing is gone: {context}\n{was:#?}\n{left:#?}");
    for finding in &was {
        if let Some(at) = left.iter().position(|l| l == finding) {
            left.remove(at);
        }
    }
    assert!(left.is_empty(), "{left:?} came: {context}");
    if finding.check.id != "deviation-unneeded" {
        assert_eq!(comments(&before), comments(&after), "{context}");
    }
    for ((_, before), (_, after)) in before.iter().zip(&after) {
        let crlf = before.matches("\r\n").count() == before.matches('\n').count();
        assert!(!crlf || after.matches("\r\n").count() == after.matches('\n').count(), "{context}");
    }
    anew
}

/// Repairs a job by the first repair of its first finding that has one, until nothing changes.
fn repair_all(mut workspace: Workspace) -> Workspace {
    for _ in 0..100 {
        let found = findings(&workspace);
        let first = found.iter().find_map(|(id, f)| Some((f, workspace.repairs(*id, f).into_iter().next()?)));
        let Some((finding, repair)) = first else { return workspace };
        workspace = hold(&workspace, finding, &repair);
    }
    panic!("repairs do not come to an end");
}

#[test]
fn every_repair_of_an_example_holds() {
    let mut without = Vec::new();
    for check in ALL {
        let mut offered = 0;
        for files in bad_examples(check) {
            for (crlf, marked) in [(false, false), (false, true), (true, true)] {
                let write = |text: &str| {
                    let lines = text.lines().filter(|line| marked || !line.trim().starts_with('#'));
                    lines.map(|line| format!("{line}{}", if crlf { "\r\n" } else { "\n" })).collect()
                };
                let files: Vec<(String, String)> = files.iter().map(|(p, t)| (p.clone(), write(t))).collect();
                let workspace = checked(&files);
                for (id, finding) in findings(&workspace) {
                    for repair in workspace.repairs(id, &finding) {
                        offered += usize::from(finding.check.id == check.id);
                        hold(&workspace, &finding, &repair);
                    }
                }
                repair_all(workspace);
            }
        }
        if offered == 0 && !check.repairs.is_empty() {
            without.push(check.id);
        }
    }
    assert_eq!(without, UNREPAIRED);
}
