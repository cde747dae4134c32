//! What happens on disk.

use super::{Jobs, SITE};
use crate::document::Home;
use crate::watch::{HIDES, is_of_interest};
use std::path::{Path, PathBuf};
use workspace::as_spelled;

/// More files than this changing at once are a branch switched, or an archive unpacked: the folder
/// is looked at as a whole.
const MAX_ONE_BY_ONE: usize = 64;

/// Whether a path has this name, as a disk that ignores case has it.
fn is_named(path: &Path, name: &str) -> bool {
    path.file_name().is_some_and(|n| n.eq_ignore_ascii_case(name))
}

impl Jobs {
    /// Files on disk were made, changed or deleted.
    pub(crate) fn watched(&mut self, paths: &[PathBuf]) {
        let (files, mut folders): (Vec<PathBuf>, Vec<PathBuf>) =
            paths.iter().map(|path| as_spelled(path)).partition(|path| is_of_interest(path));
        folders.retain(|path| self.is_folder(path));
        let sites_changed = files.iter().any(|path| {
            let root = path.parent().unwrap_or(path);
            is_named(path, SITE) && path.is_file() != self.jobs.contains_key(root)
        });
        let hides = files.iter().any(|path| is_named(path, HIDES));
        if hides {
            self.leave_homes();
        }
        let whole = sites_changed || hides || !folders.is_empty();
        if whole {
            self.search();
        }
        for (root, job) in &mut self.jobs {
            // Of what is open the editor's text counts: that it was saved changes nothing.
            let is_open = |path: &Path| {
                self.documents.get(path).is_some_and(|document| matches!(document.home, Home::Job(..)))
            };
            let counts = |path: &Path| path.starts_with(root) && (whole || !is_open(path));
            let inside: Vec<&PathBuf> = files.iter().filter(|path| counts(path)).collect();
            let around = folders.iter().any(|path| path.starts_with(root) || root.starts_with(path));
            if inside.is_empty() && !around {
                continue;
            }
            job.changed = true;
            job.shared.change(|state| {
                if whole || inside.len() > MAX_ONE_BY_ONE {
                    state.workspace.rescan();
                    return;
                }
                for path in inside {
                    if let Some(inner) = state.workspace.relative(path) {
                        state.workspace.refresh(&inner);
                    }
                }
            });
        }
    }

    /// Whether a path is a folder that came with all that is in it, or was one that files lay in: clients
    /// tell of the folder alone.
    fn is_folder(&self, path: &Path) -> bool {
        let hidden = |folder: &Path| {
            let inside = path.strip_prefix(folder).unwrap_or(Path::new(""));
            inside.components().any(|name| name.as_os_str().to_string_lossy().starts_with('.'))
        };
        if path.is_dir() {
            return self.folders.iter().chain(self.jobs.keys()).all(|folder| !hidden(folder));
        }
        self.jobs.iter().any(|(root, job)| {
            let state = job.shared.snapshot();
            root.starts_with(path)
                || state.workspace.relative(path).is_some_and(|p| state.workspace.has_files_in(&p))
        })
    }
}
