//! Finding and reading the job that a command is about.

use indicatif::{ProgressBar, ProgressStyle};
use std::io::IsTerminal;
use std::path::Path;
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

/// Refuses to write a report over a file that the job is made of.
pub(crate) fn spare(workspace: &Workspace, out: Option<&Path>) -> Result<(), String> {
    let Some(out) = out else { return Ok(()) };
    let inner = real(out).ok().and_then(|full| workspace.relative(&full));
    let is_read = |inner: &str| workspace.file(inner).is_some() || workspace.names(inner);
    if inner.is_some_and(|inner| is_read(&inner)) {
        return Err(format!(
            "{} is a file of the job, which a report would write over; name another",
            out.display()
        ));
    }
    Ok(())
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
