//! `drycall repair`: proven repairs, shown line by line or written into the files.

use crate::{diff, job, output};
use model::{EntryId, FileId};
use std::collections::BTreeSet;
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
    Ok(ExitCode::from(u8::from(offered > 0)))
}

/// Applies the first safe repair of each finding, as many at once as are proven together, checks all
/// again until none is left, and writes the files that changed. Exit status 1 if findings are left from
/// warnings on.
pub(crate) fn write(path: &Path) -> Result<ExitCode, String> {
    let mut workspace = job::open_to_change(path)?;
    let (mut changed, mut text) = (BTreeSet::new(), String::new());
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
            workspace.edit(file, &syntax::Edit { range, new });
            changed.insert(file);
        }
        workspace.check(&|_, _| {});
    }
    for file in changed {
        if let Some(file) = workspace.job().file(file) {
            let on_disk = workspace.root().join(&file.path);
            replace(&on_disk, &file.file().text().to_string())
                .map_err(|why| format!("{}: {why}", on_disk.display()))?;
        }
    }
    if text.is_empty() {
        text.push_str("nothing that is safe to change without a question\n");
    }
    output::show(&text)?;
    let left = workspace.files().into_iter().flat_map(|(file, _)| workspace.findings(file));
    let bad = left.into_iter().any(|(_, f)| f.severity >= checks::Severity::Warning);
    Ok(ExitCode::from(u8::from(bad)))
}

/// Puts a text in the place of a file's as a whole: a full disk or a power cut leaves the old one. What
/// a link leads to is replaced, not the link.
fn replace(path: &Path, text: &str) -> io::Result<()> {
    let path = path.canonicalize()?;
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut new = tempfile::NamedTempFile::new_in(folder)?;
    new.write_all(text.as_bytes())?;
    new.as_file().set_permissions(path.metadata()?.permissions())?;
    new.as_file().sync_all()?;
    new.persist(&path)?;
    Ok(())
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
