//! `drycall repair`: proven repairs, shown line by line or written into the files.

use crate::staged::{Staged, why};
use crate::{diff, job, output};
use model::{EntryId, FileId};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{self, Write as _};
use std::path::Path;
use std::process::ExitCode;
use syntax::visible;
use workspace::{FileEdit, Repair, Workspace, edits_of};

/// Shows each finding that has repairs, with what each changes. Exit status 1 if there is any.
pub(crate) fn show_all(path: &Path) -> Result<ExitCode, String> {
    let workspace = job::open_to_change(path)?;
    let prefix = job::prefix(&workspace);
    let (mut repairer, mut text, mut offered) = (workspace.repairer(), String::new(), 0);
    for (file, path) in workspace.files() {
        for (id, finding) in workspace.findings(file) {
            let repairs = repairer.repairs(id, finding, &|| false);
            if repairs.is_empty() {
                continue;
            }
            let line = line_at(&workspace, file, id, finding);
            let (at, message) = (format!("{prefix}{path}"), finding.shown(workspace.job()));
            let (at, message) = (visible(&at), visible(&message));
            let _ = writeln!(text, "{at}:{line}: {message} [{}]", finding.check.id);
            for repair in &repairs {
                offered += 1;
                let effect =
                    repair.effect.as_ref().map_or(String::new(), |effect| format!(": {}", visible(effect)));
                let safe = if repair.safe { " (applied by --write)" } else { "" };
                let _ = writeln!(text, "  {}{effect}{safe}", visible(&repair.title));
                text += &difference(&workspace, &prefix, repair);
            }
        }
    }
    if offered == 0 {
        let found = workspace.files().iter().any(|(file, _)| workspace.findings(*file).next().is_some());
        text.push_str(if found { "no repair can be proven\n" } else { "nothing is found wrong\n" });
    }
    output::show(&text)?;
    Ok(job::status(&workspace, u8::from(offered > 0)))
}

/// Applies the first safe repair of each finding, as many at once as are proven together, checks all
/// again until none is left, and writes the files that changed. Exit status 1 if findings are left from
/// warnings on.
pub(crate) fn write(path: &Path) -> Result<ExitCode, String> {
    let mut workspace = job::open_to_change(path)?;
    job::whole(&workspace)?;
    let (mut before, mut text) = (BTreeMap::new(), String::new());
    // Each round leaves fewer findings than there were.
    loop {
        let files: Vec<FileId> = workspace.files().into_iter().map(|(file, _)| file).collect();
        let chosen = workspace.repairer().together(&files, &|| false);
        if chosen.is_empty() {
            break;
        }
        for one in &chosen {
            let Some((file, span)) = workspace.span(one.entry, &one.finding.spot) else { continue };
            let path = workspace.job().file(file).map_or("", |file| file.path.as_str());
            let (line, title) = (line_of(&workspace, file, span.start), &one.repair.title);
            let (path, title) = (visible(path), visible(title));
            let _ = writeln!(text, "{path}:{line}: {title} [{}]", one.finding.check.id);
        }
        for (file, range, new) in edits_of(&chosen).into_iter().rev() {
            if let Some(read) = workspace.job().file(file) {
                before.entry(file).or_insert_with(|| read.file().text().to_string());
            }
            workspace.edit(file, &syntax::Edit { range, new });
        }
        workspace.check(&|_, _| {});
    }
    replace_all(&workspace, &before)?;
    if text.is_empty() {
        text.push_str("nothing that is safe to change without a question\n");
    }
    output::show(&text)?;
    let left = workspace.files().into_iter().flat_map(|(file, _)| workspace.findings(file));
    let bad = left.into_iter().any(|(_, f)| f.severity >= checks::Severity::Warning);
    Ok(job::status(&workspace, u8::from(bad)))
}

/// Writes the files that changed, all or, where the disk gives in half-way, those that it says. `before` has each
/// as it was read: what somebody wrote meanwhile is left alone.
fn replace_all(workspace: &Workspace, before: &BTreeMap<FileId, String>) -> Result<(), String> {
    let mut staged = Vec::with_capacity(before.len());
    for (file, read) in before {
        let Some(file) = workspace.job().file(*file) else { continue };
        let place = workspace.root().join(&file.path);
        let failed = |error: &io::Error| format!("{}: {}; nothing was written", file.path, why(error));
        if has_other_names(&place) {
            return Err(format!(
                "{} has a second name on this disk (a hard link), which would keep the old text; nothing was written: make it a file of its own, or apply the repair by hand",
                file.path
            ));
        }
        let mut one = Staged::new(&place).map_err(|e| failed(&e))?;
        one.file().write_all(file.file().text().to_string().as_bytes()).map_err(|e| failed(&e))?;
        one.finish().map_err(|e| failed(&e))?;
        staged.push((one, file.path.as_str(), read.as_str()));
    }
    if let Some((_, path, _)) = staged.iter().find(|(one, _, read)| !still_reads(one.place(), read)) {
        return Err(format!("{path} changed meanwhile, so nothing was written; run it again"));
    }
    let mut written: Vec<&str> = Vec::new();
    for (one, path, read) in staged {
        let so_far = |written: &[&str]| match written {
            [] => "nothing was written".to_owned(),
            written => format!("written so far: {}", written.join(", ")),
        };
        if !still_reads(one.place(), read) {
            return Err(format!("{path} changed meanwhile; {}; run it again", so_far(&written)));
        }
        one.put().map_err(|e| format!("{path}: {}; {}; run it again", why(&e), so_far(&written)))?;
        written.push(path);
    }
    Ok(())
}

/// Whether a file on disk still says what was read.
fn still_reads(path: &Path, read: &str) -> bool {
    std::fs::read(path).is_ok_and(|bytes| bytes == read.as_bytes())
}

#[cfg(unix)]
fn has_other_names(path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    path.metadata().is_ok_and(|meta| meta.nlink() > 1)
}

#[cfg(not(unix))]
fn has_other_names(_: &Path) -> bool {
    false
}

fn line_at(workspace: &Workspace, file: FileId, id: EntryId, finding: &checks::Finding) -> u32 {
    workspace.span(id, &finding.spot).map_or(1, |(_, span)| line_of(workspace, file, span.start))
}

/// The line of a byte, from 1.
fn line_of(workspace: &Workspace, file: FileId, at: u32) -> u32 {
    let text = workspace.job().file(file).map(|file| file.file().text());
    text.map_or(1, |text| text.position(at, syntax::Encoding::Utf8).line + 1)
}

/// What a repair takes out and puts in, as a diff that `patch -p0` takes.
fn difference(workspace: &Workspace, prefix: &str, repair: &Repair) -> String {
    let files = repair.edits.chunk_by(|(a, ..), (b, ..)| a == b);
    let one = |edits: &[FileEdit]| {
        let file = workspace.job().file(edits.first()?.0)?;
        let edits: Vec<_> = edits.iter().map(|(_, range, new)| (range, new.as_str())).collect();
        Some(diff::unified(&format!("{prefix}{}", file.path), file.file().text(), &edits))
    };
    files.filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::fs;

    /// Who saves a file while repairs are worked out keeps what he wrote, and no other file is changed either.
    #[test]
    fn what_was_written_meanwhile_stays() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let site = "site: {name: Example, time-zone: America/New_York}\n";
        for (name, text) in [("site.yaml", site), ("a.yaml", "points: {}\n"), ("b.yaml", "zones: {}\n")] {
            fs::write(at(name), text).unwrap();
        }
        let mut workspace = job::open_to_change(folder.path()).unwrap();
        let mut before = BTreeMap::new();
        let files: Vec<FileId> = workspace.files().into_iter().map(|(file, _)| file).collect();
        for file in files {
            before.insert(file, workspace.job().file(file).unwrap().file().text().to_string());
            workspace.edit(file, &syntax::Edit { range: 0..0, new: "# repaired\n".into() });
        }
        let texts = || ["a.yaml", "b.yaml", "site.yaml"].map(|name| fs::read_to_string(at(name)).unwrap());

        fs::write(at("b.yaml"), "zones: {}\n# saved meanwhile\n").unwrap();
        let told = replace_all(&workspace, &before).unwrap_err();
        assert_eq!(told, "b.yaml changed meanwhile, so nothing was written; run it again");
        assert_eq!(texts(), ["points: {}\n", "zones: {}\n# saved meanwhile\n", site]);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);

        fs::write(at("b.yaml"), "zones: {}\n").unwrap();
        replace_all(&workspace, &before).unwrap();
        assert!(texts().iter().all(|text| text.starts_with("# repaired\n")));
    }
}
