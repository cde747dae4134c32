//! What every repair that is offered is held to.

use checks::Finding;
use model::{EntryId, FileId};
use std::path::Path;
use workspace::{Repair, Workspace};

/// A job of texts with their paths, checked.
pub(crate) fn checked(files: &[(String, String)]) -> Workspace {
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

/// All findings, each with its entry.
pub(crate) fn findings(workspace: &Workspace) -> Vec<(EntryId, Finding)> {
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
pub(crate) fn hold(workspace: &Workspace, finding: &Finding, repair: &Repair) -> Workspace {
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
pub(crate) fn repair_all(mut workspace: Workspace) -> Workspace {
    for _ in 0..100 {
        let found = findings(&workspace);
        let first = found.iter().find_map(|(id, f)| Some((f, workspace.repairs(*id, f).into_iter().next()?)));
        let Some((finding, repair)) = first else { return workspace };
        workspace = hold(&workspace, finding, &repair);
    }
    panic!("repairs do not come to an end");
}
