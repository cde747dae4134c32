//! What every repair that is offered is held to.

use checks::{Finding, FindingKey, Severity};
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

/// Findings from scratch, by what they are, each with its severity.
fn found(workspace: &Workspace) -> Vec<(FindingKey, Severity)> {
    let key = |(id, finding): (EntryId, Finding)| {
        (finding.key(workspace.job().entry(id).unwrap()), finding.severity)
    };
    let mut found: Vec<(FindingKey, Severity)> = findings(workspace).into_iter().map(key).collect();
    found.sort();
    found
}

fn comments(files: &[(String, String)]) -> usize {
    files.iter().map(|(_, text)| text.matches('#').count()).sum()
}

/// Applies a repair to a job that is read anew, and holds it to what it promises.
pub(crate) fn hold(workspace: &Workspace, id: EntryId, finding: &Finding, repair: &Repair) -> Workspace {
    let (before, after) = (texts(workspace), repaired(workspace, repair));
    let context = format!("{} `{}`\n{repair:?}\n{before:?}\n{after:?}", finding.check.id, finding.message);
    let anew = checked(&after);
    let (was, left) = (found(workspace), found(&anew));
    let key = finding.key(workspace.job().entry(id).unwrap());
    let count = |found: &[(FindingKey, Severity)]| found.iter().filter(|(known, _)| *known == key).count();
    assert!(count(&left) < count(&was), "it is not gone: {context}\n{was:#?}\n{left:#?}");
    let mut came = left;
    for (key, severity) in &was {
        if let Some(at) = came.iter().position(|(k, s)| k == key && s <= severity) {
            came.remove(at);
        }
    }
    let came: Vec<FindingKey> = came.into_iter().map(|(key, _)| key).collect();
    assert_eq!(came, repair.shows, "what came is not what it says will show: {context}");
    let last = repair.shows.first().map(FindingKey::to_string);
    assert!(last.is_none_or(|last| repair.title.contains(&last)), "{context}");
    if finding.check.id != "deviation-unneeded" {
        assert_eq!(comments(&before), comments(&after), "{context}");
    }
    for ((_, before), (_, after)) in before.iter().zip(&after) {
        let crlf = before.matches("\r\n").count() == before.matches('\n').count();
        assert!(!crlf || after.matches("\r\n").count() == after.matches('\n').count(), "{context}");
    }
    anew
}
