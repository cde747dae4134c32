//! The jobs the client works on, and the documents it holds of them.

mod disk;
mod homes;

use crate::client_handle::ClientHandle;
use crate::context::Context;
use crate::diagnose::Diagnoser;
use crate::document::{Document, Home, edit, edited};
use crate::latency::LatencyTimer;
use crate::request::{OfAll, OfDocument, OfJob};
use crate::settings::Settings;
use crate::shared::{Needs, Shared};
use crate::uri;
use model::FileId;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use syntax::Text;
use tower_lsp_server::ls_types::{TextDocumentContentChangeEvent, Uri};
use workspace::{SITE, as_spelled, find_jobs};

struct Job {
    shared: Shared,
    diagnoser: Diagnoser,
    /// Whether it changed since its diagnostics were last asked for.
    changed: bool,
}

/// Every job by its folder, and every document by its path.
pub(crate) struct Jobs {
    client: ClientHandle,
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
    pub(crate) fn new(client: ClientHandle) -> Jobs {
        Jobs {
            client,
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
        let encoding = self.client.abilities.encoding;
        match &mut document.home {
            Home::Nowhere(text) => {
                for change in changes {
                    *text = edited(text, &edit(text, change, encoding));
                }
            }
            Home::Job(root, file) => {
                let Some(job) = self.jobs.get_mut(root) else { return };
                job.changed = true;
                job.shared.change(|state| {
                    for change in changes {
                        let text = state.workspace.job().file(*file).map(|f| f.file().text());
                        if let Some(edit) = text.map(|text| edit(text, change, encoding)) {
                            state.workspace.edit(*file, &edit);
                        }
                    }
                    if let Some(open) = state.open.get_mut(file) {
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
        let state = job.shared.snapshot();
        let file = state.workspace.file(&state.workspace.relative(&path)?)?;
        Some((job, file))
    }

    /// The user's settings changed.
    pub(crate) fn set(&mut self, settings: Settings) {
        if self.client.settings != settings {
            self.client.settings = settings;
            self.client.refresh_lenses();
            self.client.refresh_hints();
        }
    }

    /// The client asks something about a document.
    pub(crate) fn ask(&self, uri: &Uri, what: &'static str, needs: Needs, work: OfDocument) {
        let Some((job, file)) = self.find_file(uri) else { return work(None) };
        let client = self.client.clone();
        let writer_waits = job.shared.writer_waits.clone();
        let ready = job.shared.prepare(needs);
        self.client.runtime.spawn_blocking(move || {
            let _timer = LatencyTimer::start(what);
            // Dropped where an edit in between leaves the request without an answer.
            if let Some(snapshot) = ready() {
                work(Some(&Context { snapshot, client, file, writer_waits }));
            }
        });
    }

    /// The client asks something about the job that a path lies in.
    pub(crate) fn ask_of_job(&self, path: &Path, what: &'static str, needs: Needs, work: OfJob) {
        let Some(job) = path.ancestors().find_map(|folder| self.jobs.get(folder)) else { return work(None) };
        let client = self.client.clone();
        let ready = job.shared.prepare(needs);
        self.client.runtime.spawn_blocking(move || {
            let _timer = LatencyTimer::start(what);
            if let Some(snapshot) = ready() {
                work(Some((&snapshot, &client)));
            }
        });
    }

    /// The client asks something about all jobs.
    pub(crate) fn ask_of_all(&self, what: &'static str, needs: Needs, work: OfAll) {
        let client = self.client.clone();
        let ready: Vec<_> = self.jobs.values().map(|job| job.shared.prepare(needs)).collect();
        self.client.runtime.spawn_blocking(move || {
            let _timer = LatencyTimer::start(what);
            work(&mut ready.into_iter().filter_map(|ready| ready()), &client);
        });
    }
}
