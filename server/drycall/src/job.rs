//! Finding and reading the job that a command is about.

use indicatif::{ProgressBar, ProgressStyle};
use reports::Review;
use std::io::IsTerminal;
use std::path::Path;
use std::process::ExitCode;
use workspace::{Workspace, find_root, real};

/// The job at or above a path, read and checked for good, with progress on a terminal.
pub(crate) fn checked(path: &Path) -> Result<Workspace, String> {
    let mut workspace = read(path)?;
    let bar = bar("checking");
    workspace.check_for_good(&|done, all| show(&bar, done, all));
    bar.finish_and_clear();
    Ok(workspace)
}

/// The job at or above a path, read and checked so that changes to it can be tried, with progress on a terminal.
pub(crate) fn open_to_change(path: &Path) -> Result<Workspace, String> {
    let mut workspace = read(path)?;
    let bar = bar("checking");
    workspace.check(&|done, all| show(&bar, done, all));
    bar.finish_and_clear();
    Ok(workspace)
}

/// The job at or above a path, read and checked, and whether changes to it can be tried: not where more than `most`
/// is found.
pub(crate) fn open_within(path: &Path, most: usize) -> Result<(Workspace, bool), String> {
    let mut workspace = read(path)?;
    let bar = bar("checking");
    let changeable = workspace.check_within(most, &|done, all| show(&bar, done, all));
    bar.finish_and_clear();
    Ok((workspace, changeable))
}

/// The job at or above a path, read.
pub(crate) fn read(path: &Path) -> Result<Workspace, String> {
    let shown = path.display();
    let full = real(path).map_err(|e| format!("{shown}: {e}"))?;
    let root = find_root(&full).ok_or_else(|| {
        format!(
            "{shown} is in no job: there is no site.yaml in it or above it; `drycall new FOLDER` makes one"
        )
    })?;
    let bar = bar("reading");
    let workspace = Workspace::load(&root, &|done, all| show(&bar, done, all));
    bar.finish_and_clear();
    Ok(workspace)
}

/// What is said of a job that was not read as a whole; nothing where it was.
fn missing(workspace: &Workspace) -> Option<String> {
    let mut told: Vec<String> =
        workspace.left_out().iter().filter(|left| left.may_matter()).map(ToString::to_string).collect();
    if workspace.files_read() == 0 {
        told.insert(0, "no file was read".to_owned());
    }
    let more = told.len().saturating_sub(FEW);
    told.truncate(FEW);
    if more > 0 {
        told.push(format!("and {more} more"));
    }
    (!told.is_empty()).then(|| format!("not all of the job could be read: {}", told.join("; ")))
}

/// So many files are named that were not read.
const FEW: usize = 8;

/// Refuses to go on with a job that was not read as a whole.
pub(crate) fn whole(workspace: &Workspace) -> Result<(), String> {
    missing(workspace).map_or(Ok(()), Err)
}

/// The exit status of a command that said all it could: 2 with a word where not all of the job was read.
pub(crate) fn status(workspace: &Workspace, status: u8) -> ExitCode {
    match missing(workspace) {
        Some(missing) => {
            anstream::eprintln!("drycall: {missing}");
            ExitCode::from(2)
        }
        None => ExitCode::from(status),
    }
}

/// How many files were read, and what was left out.
pub(crate) fn files(review: &Review<'_>) -> String {
    let files = |count: usize| if count == 1 { "1 file".to_owned() } else { format!("{count} files") };
    let mut text = format!("{} read", files(review.files_read));
    if !review.left_out.is_empty() {
        text += &format!(", {} left out:", review.left_out.len());
    }
    text.push('\n');
    for left in review.left_out.iter().take(FEW) {
        text += &format!("  {left}\n");
    }
    if review.left_out.len() > FEW {
        text += &format!("  and {} more\n", review.left_out.len() - FEW);
    }
    text
}

/// Refuses to write a report over a file that the job is made of, or as a new one.
pub(crate) fn spare(workspace: &Workspace, out: Option<&Path>) -> Result<(), String> {
    let Some(out) = out else { return Ok(()) };
    let inner = real(out).ok().and_then(|full| workspace.relative(&full));
    let is_read = |inner: &str| workspace.file(inner).is_some() || workspace.names(inner);
    if inner.is_some_and(|inner| is_read(&inner)) || is_linked(workspace, out) {
        return Err(format!(
            "{} is a file of the job, which a report would write over; name another",
            out.display()
        ));
    }
    let folder = out.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let inside = real(folder).is_ok_and(|folder| folder.starts_with(workspace.root()));
    let yaml =
        out.extension().is_some_and(|e| e.eq_ignore_ascii_case("yaml") || e.eq_ignore_ascii_case("yml"));
    if inside && yaml {
        return Err(format!(
            "{} would be read as a file of the job from then on; give the report another ending, like `.txt`",
            out.display()
        ));
    }
    Ok(())
}

/// Whether a path is another name of a file of the job.
#[cfg(unix)]
fn is_linked(workspace: &Workspace, out: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let Some(meta) = out.metadata().ok().filter(|meta| meta.is_file() && meta.nlink() > 1) else {
        return false;
    };
    let same = |path: &str| {
        let other = workspace.root().join(path).metadata();
        other.is_ok_and(|other| (other.dev(), other.ino()) == (meta.dev(), meta.ino()))
    };
    workspace.files().iter().any(|(_, path)| same(path)) || workspace.named_files().any(|path| same(&path))
}

#[cfg(not(unix))]
fn is_linked(_: &Workspace, _: &Path) -> bool {
    false
}

/// How paths of the job look from where the user stands: what goes before them.
pub(crate) fn prefix(workspace: &Workspace) -> String {
    let here = std::env::current_dir().and_then(|d| real(&d)).unwrap_or_default();
    match workspace.root().strip_prefix(&here) {
        Ok(inner) if inner.as_os_str().is_empty() => String::new(),
        Ok(inner) => format!("{}/", inner.display()),
        Err(_) => format!("{}/", workspace.root().display()),
    }
}

/// A bar on a terminal; nothing in a pipe.
fn bar(what: &'static str) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("{msg} {bar:30} {pos}/{len}");
    ProgressBar::new(0).with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar())).with_message(what)
}

fn show(bar: &ProgressBar, done: usize, all: usize) {
    // Drawing is dearer than checking an entry.
    if done.is_multiple_of(256) || done == all {
        bar.set_length(all as u64);
        bar.set_position(done as u64);
    }
}
