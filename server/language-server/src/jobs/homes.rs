//! Which job each document belongs to, as jobs come and go.

use super::{Job, Jobs, SITE};
use crate::diagnose::Diagnoser;
use crate::document::{Document, Home};
use crate::progress::Bar;
use crate::shared::{OpenFile, Shared};
use std::path::{Path, PathBuf};
use syntax::Text;
use workspace::{Workspace, find_root};

impl Jobs {
    /// The folder of the job that a path belongs to. A `site.yaml` that is not saved yet counts
    /// where there is no other.
    pub(super) fn root_of(&self, path: &Path) -> Option<PathBuf> {
        let unsaved =
            || path.ancestors().skip(1).find(|folder| self.documents.contains_key(&folder.join(SITE)));
        find_root(path).or_else(|| unsaved().map(Path::to_path_buf))
    }

    /// Drops jobs that nothing asks for, reads those that are missing, and gives every document
    /// its home.
    pub(super) fn settle(&mut self) {
        let homes: Vec<(PathBuf, Option<PathBuf>)> =
            self.documents.keys().map(|path| (path.clone(), self.root_of(path))).collect();
        let mut wanted = self.by_folder.clone();
        wanted.extend(homes.iter().filter_map(|(_, root)| root.clone()));
        for (path, root) in &homes {
            let settled = match self.documents.get(path).map(|d| &d.home) {
                Some(Home::Job(old, _)) => Some(old) == root.as_ref(),
                Some(Home::Nowhere(_)) | None => root.is_none(),
            };
            if !settled {
                self.leave_home(path);
            }
        }
        let gone: Vec<PathBuf> = self.jobs.keys().filter(|root| !wanted.contains(*root)).cloned().collect();
        for root in &gone {
            self.jobs.remove(root);
        }
        let came: Vec<PathBuf> = wanted.into_iter().filter(|root| !self.jobs.contains_key(root)).collect();
        for (root, job) in &mut self.jobs {
            // Files change hands between a job and one inside its folder.
            if gone.iter().chain(&came).any(|folder| folder.starts_with(root)) {
                job.changed = true;
                job.shared.change(|state| state.workspace.rescan());
            }
        }
        for root in came {
            self.load(root);
        }
        for (path, root) in homes {
            if let Some(root) = root {
                self.enter_home(&path, &root);
            }
        }
    }

    /// Reads a job.
    fn load(&mut self, root: PathBuf) {
        let bar = Bar::new(&self.client, "Context the job");
        let workspace = Workspace::load(&root, &|done, all| bar.report(done, all));
        let shared = Shared::new(workspace);
        let diagnoser = Diagnoser::start(shared.clone(), self.client.clone(), root.components().count());
        self.jobs.insert(root, Job { shared, diagnoser, changed: true });
    }

    /// Takes a document out of its job; its text stays with it.
    pub(super) fn leave_home(&mut self, path: &Path) {
        let Some(document) = self.documents.get_mut(path) else { return };
        let Home::Job(root, file) = &document.home else { return };
        let Some(job) = self.jobs.get_mut(root) else { return };
        job.changed = true;
        let text = job.shared.change(|state| {
            state.open.remove(file);
            state.tokens.get_mut().remove(file);
            let text = state.workspace.job().file(*file).map(|f| f.file().text().clone());
            if let Some(inner) = state.workspace.relative(path) {
                state.workspace.close(&inner);
            }
            text
        });
        document.home = Home::Nowhere(text.unwrap_or_else(|| Text::new("")));
    }

    /// Puts a document that has no home into a job, if it belongs there.
    pub(super) fn enter_home(&mut self, path: &Path, root: &Path) {
        let (Some(document), Some(job)) = (self.documents.get_mut(path), self.jobs.get_mut(root)) else {
            return;
        };
        let Home::Nowhere(text) = &document.home else { return };
        let Document { uri, version, opening, .. } = &*document;
        let open = OpenFile { uri: uri.clone(), version: *version, opening: *opening };
        let file = job.shared.change(|state| {
            let inner = state.workspace.relative(path).filter(|inner| state.workspace.belongs(inner))?;
            let file = state.workspace.open(&inner, &text.to_string());
            state.open.insert(file, open);
            Some(file)
        });
        if let Some(file) = file {
            job.changed = true;
            document.home = Home::Job(root.to_path_buf(), file);
        }
    }

    /// Takes documents out of jobs that they do not belong to any more.
    pub(super) fn leave_homes(&mut self) {
        let stays = |path: &Path, document: &Document| match &document.home {
            Home::Job(root, _) => self.jobs.get(root).is_some_and(|job| {
                let state = job.shared.snapshot();
                state.workspace.relative(path).is_some_and(|inner| state.workspace.belongs(&inner))
            }),
            Home::Nowhere(_) => true,
        };
        let leaving = self.documents.iter().filter(|(path, document)| !stays(path, document));
        let leaving: Vec<PathBuf> = leaving.map(|(path, _)| path.clone()).collect();
        leaving.iter().for_each(|path| self.leave_home(path));
    }
}
