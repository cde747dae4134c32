//! The jobs the client works on, and the documents it holds of them.

mod disk;
mod homes;

use crate::diagnose::Diagnoser;
use crate::document::{Document, Home, edit, edited};
use crate::methods::command::Order;
use crate::methods::diagnostic::{self, Diagnosis};
use crate::methods::find::find;
use crate::methods::{Answer, Question, Reading, give};
use crate::outlet::Outlet;
use crate::settings::Settings;
use crate::shared::{Shared, Snapshot};
use crate::uri;
use model::FileId;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use syntax::Text;
use tower_lsp_server::ls_types::{TextDocumentContentChangeEvent, Uri, WorkspaceSymbolResponse};
use workspace::{as_spelled, find_jobs};

/// The file that makes a folder a job.
const SITE: &str = "site.yaml";

struct Job {
    shared: Shared,
    diagnoser: Diagnoser,
    /// Whether it changed since its diagnostics were last asked for.
    changed: bool,
}

/// Every job by its folder, and every document by its path.
pub(crate) struct Jobs {
    outlet: Outlet,
    folders: BTreeSet<PathBuf>,
    /// Jobs that the client's folders are about; others are there for a document.
    by_folder: BTreeSet<PathBuf>,
    jobs: BTreeMap<PathBuf, Job>,
    documents: HashMap<PathBuf, Document>,
    /// Where documents lie, by what the client calls them: asking the disk takes too long for an edit.
    paths: HashMap<Uri, PathBuf>,
    openings: u32,
}

impl Jobs {
    pub(crate) fn new(outlet: Outlet) -> Jobs {
        Jobs {
            outlet,
            folders: BTreeSet::new(),
            by_folder: BTreeSet::new(),
            jobs: BTreeMap::new(),
            documents: HashMap::new(),
            paths: HashMap::new(),
            openings: 0,
        }
    }

    /// Asks for diagnostics of the jobs that changed.
    pub(crate) fn wake(&mut self) {
        for job in self.jobs.values_mut().filter(|job| job.changed) {
            job.changed = false;
            job.diagnoser.wake();
        }
    }

    /// Changes the folders that the client works on.
    pub(crate) fn set_folders(&mut self, added: &[PathBuf], removed: &[PathBuf]) {
        for folder in removed {
            self.folders.remove(&as_spelled(folder));
        }
        self.folders.extend(added.iter().map(|folder| as_spelled(folder)));
        self.search();
    }

    /// Looks for jobs again.
    fn search(&mut self) {
        self.by_folder = self.folders.iter().flat_map(|folder| find_jobs(folder)).collect();
        self.settle();
    }

    /// Where a document lies, as the disk spells it.
    fn path(&self, uri: &Uri) -> Option<PathBuf> {
        self.paths.get(uri).cloned().or_else(|| Some(as_spelled(&uri::to_path(uri)?)))
    }

    /// The client opened a document.
    pub(crate) fn open(&mut self, uri: Uri, version: i32, text: &str) {
        let Some(path) = self.path(&uri) else { return };
        self.paths.insert(uri.clone(), path.clone());
        self.leave_home(&path);
        self.openings += 1;
        let home = Home::Nowhere(Text::new(text));
        self.documents.insert(path.clone(), Document { uri, version, opening: self.openings, home });
        match self.root_of(&path) {
            Some(root) if self.jobs.contains_key(&root) => self.enter_home(&path, &root),
            Some(_) => self.settle(),
            None => {}
        }
    }

    /// The client changed a document.
    pub(crate) fn change(&mut self, uri: &Uri, version: i32, changes: Vec<TextDocumentContentChangeEvent>) {
        let document = self.path(uri).and_then(|path| self.documents.get_mut(&path));
        let Some(document) = document else {
            tracing::warn!("a change to {} is left out: it is not open", uri.as_str());
            return;
        };
        document.version = version;
        let encoding = self.outlet.abilities.encoding;
        match &mut document.home {
            Home::Nowhere(text) => {
                for change in changes {
                    *text = edited(text, &edit(text, change, encoding));
                }
            }
            Home::Job(root, file) => {
                let Some(job) = self.jobs.get_mut(root) else { return };
                job.changed = true;
                job.shared.change(|held| {
                    for change in changes {
                        let text = held.workspace.job().file(*file).map(|f| f.file().text());
                        if let Some(edit) = text.map(|text| edit(text, change, encoding)) {
                            held.workspace.edit(*file, &edit);
                        }
                    }
                    if let Some(open) = held.open.get_mut(file) {
                        open.version = version;
                    }
                });
            }
        }
    }

    /// The client closed a document: the disk counts again.
    pub(crate) fn close(&mut self, uri: &Uri) {
        let Some(path) = self.path(uri) else { return };
        self.paths.remove(uri);
        self.leave_home(&path);
        if self.documents.remove(&path).is_some() {
            self.settle();
        }
    }

    /// The job and the number of a file. It need not be open: what was found in an open one leads to
    /// others.
    fn find_file(&self, uri: &Uri) -> Option<(&Job, FileId)> {
        let path = self.path(uri)?;
        if let Some(document) = self.documents.get(&path) {
            let Home::Job(root, file) = &document.home else { return None };
            return Some((self.jobs.get(root)?, *file));
        }
        let job = path.ancestors().find_map(|folder| self.jobs.get(folder))?;
        let held = job.shared.snapshot();
        let file = held.workspace.file(&held.workspace.relative(&path)?)?;
        Some((job, file))
    }

    /// The user's settings changed.
    pub(crate) fn set(&mut self, settings: Settings) {
        if self.outlet.settings != settings {
            self.outlet.settings = settings;
            self.outlet.refresh_lenses();
            self.outlet.refresh_hints();
        }
    }

    /// The client asks something about a document. Without a job around it there is no answer.
    pub(crate) fn ask(&mut self, uri: &Uri, question: Question) {
        let Some((job, file)) = self.find_file(uri) else { return };
        let (shared, outlet) = (job.shared.clone(), self.outlet.clone());
        let held = shared.snapshot();
        let version = held.version;
        let ready = (!question.is_of_findings()).then_some(held);
        self.outlet.runtime.spawn_blocking(move || {
            // An edit in between leaves the question without an answer: its places are of another text.
            let Some(held) = ready.or_else(|| shared.settled_at(version)) else { return };
            question.answer(&Reading { held, outlet, file, writer_waits: shared.writer_waits });
        });
    }

    /// The client asks for diagnostics: they are worked out first. A document in no job is answered by
    /// dropping the question.
    pub(crate) fn diagnose(&mut self, question: Diagnosis) {
        let outlet = self.outlet.clone();
        let runtime = self.outlet.runtime.clone();
        match question {
            Diagnosis::Document(uri, previous, to) => {
                let Some(path) = self.path(&uri) else { return };
                let Some(job) = self.root_of(&path).and_then(|root| self.jobs.get(&root)) else { return };
                // It need not be open: a tab may show a file that the client has not read yet.
                let held = job.shared.snapshot();
                let inner = held.workspace.relative(&path);
                let Some(file) = inner.and_then(|inner| held.workspace.file(&inner)) else { return };
                let shared = job.shared.clone();
                runtime.spawn_blocking(move || {
                    diagnostic::document(&shared, &outlet, file, previous.as_deref(), to);
                });
            }
            Diagnosis::All(previous, to) => {
                let jobs: Vec<Shared> = self.jobs.values().map(|job| job.shared.clone()).collect();
                runtime.spawn_blocking(move || diagnostic::all(&jobs, &outlet, previous, to));
            }
        }
    }

    /// The client looks for something by a few letters, in all jobs.
    pub(crate) fn find(&mut self, query: String, to: Answer<WorkspaceSymbolResponse>) {
        let jobs: Vec<Snapshot> = self.jobs.values().map(|job| job.shared.snapshot()).collect();
        let outlet = self.outlet.clone();
        let runtime = self.outlet.runtime.clone();
        runtime.spawn_blocking(move || give(to, "a search", || Some(find(&jobs, &outlet, &query))));
    }

    /// The client wants a command done for the job that a path lies in. The order says that there is
    /// none by being dropped.
    pub(crate) fn command(&mut self, path: &Path, order: Order) {
        let job = path.ancestors().find_map(|folder| self.jobs.get(folder));
        let Some(job) = job else { return };
        let (shared, outlet) = (job.shared.clone(), self.outlet.clone());
        self.outlet.runtime.spawn_blocking(move || order.obey(&shared, &outlet));
    }
}
