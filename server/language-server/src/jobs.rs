//! The jobs the client works on, and the documents it holds of them.

use crate::diagnose::Diagnoser;
use crate::document::{Document, Home, edit, edited};
use crate::methods::command::Order;
use crate::methods::diagnostic::{self, Diagnosis};
use crate::methods::find::find;
use crate::methods::{Answer, Question, Reading, give};
use crate::outlet::Outlet;
use crate::progress::Bar;
use crate::settings::Settings;
use crate::shared::{Open, Shared, Snapshot};
use crate::uri;
use crate::watch::{HIDES, is_of_interest};
use model::FileId;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use syntax::Text;
use tower_lsp_server::ls_types::{TextDocumentContentChangeEvent, Uri, WorkspaceSymbolResponse};
use workspace::{Workspace, as_spelled, find_jobs, find_root};

/// The file that makes a folder a job.
const SITE: &str = "site.yaml";

/// More files than this changing at once are a branch switched, or an archive unpacked: the folder
/// is looked at as a whole.
const MANY: usize = 64;

/// Whether a path has this name, as a disk that ignores case has it.
fn is_named(path: &Path, name: &str) -> bool {
    path.file_name().is_some_and(|n| n.eq_ignore_ascii_case(name))
}

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

    /// The folder of the job that a path belongs to. A `site.yaml` that is not saved yet counts
    /// where there is no other.
    fn root_of(&self, path: &Path) -> Option<PathBuf> {
        let unsaved =
            || path.ancestors().skip(1).find(|folder| self.documents.contains_key(&folder.join(SITE)));
        find_root(path).or_else(|| unsaved().map(Path::to_path_buf))
    }

    /// Drops jobs that nothing asks for, reads those that are missing, and gives every document
    /// its home.
    fn settle(&mut self) {
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
                job.shared.change(|held| held.workspace.rescan());
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
        let bar = Bar::new(&self.outlet, "Reading the job");
        let workspace = Workspace::load(&root, &|done, all| bar.report(done, all));
        let shared = Shared::new(workspace);
        let diagnoser = Diagnoser::start(shared.clone(), self.outlet.clone(), root.components().count());
        self.jobs.insert(root, Job { shared, diagnoser, changed: true });
    }

    /// Takes a document out of its job; its text stays with it.
    fn leave_home(&mut self, path: &Path) {
        let Some(document) = self.documents.get_mut(path) else { return };
        let Home::Job(root, file) = &document.home else { return };
        let Some(job) = self.jobs.get_mut(root) else { return };
        job.changed = true;
        let text = job.shared.change(|held| {
            held.open.remove(file);
            held.tokens.get_mut().remove(file);
            let text = held.workspace.job().file(*file).map(|f| f.file().text().clone());
            if let Some(inner) = held.workspace.relative(path) {
                held.workspace.close(&inner);
            }
            text
        });
        document.home = Home::Nowhere(text.unwrap_or_else(|| Text::new("")));
    }

    /// Puts a document that has no home into a job, if it belongs there.
    fn enter_home(&mut self, path: &Path, root: &Path) {
        let (Some(document), Some(job)) = (self.documents.get_mut(path), self.jobs.get_mut(root)) else {
            return;
        };
        let Home::Nowhere(text) = &document.home else { return };
        let Document { uri, version, opening, .. } = &*document;
        let open = Open { uri: uri.clone(), version: *version, opening: *opening };
        let file = job.shared.change(|held| {
            let inner = held.workspace.relative(path).filter(|inner| held.workspace.belongs(inner))?;
            let file = held.workspace.open(&inner, &text.to_string());
            held.open.insert(file, open);
            Some(file)
        });
        if let Some(file) = file {
            job.changed = true;
            document.home = Home::Job(root.to_path_buf(), file);
        }
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
            let inside: Vec<&PathBuf> = files.iter().filter(|path| path.starts_with(root)).collect();
            let around = folders.iter().any(|path| path.starts_with(root) || root.starts_with(path));
            if inside.is_empty() && !around {
                continue;
            }
            job.changed = true;
            job.shared.change(|held| {
                if whole || inside.len() > MANY {
                    held.workspace.rescan();
                    return;
                }
                for path in inside {
                    if let Some(inner) = held.workspace.relative(path) {
                        held.workspace.refresh(&inner);
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
            let held = job.shared.snapshot();
            root.starts_with(path)
                || held.workspace.relative(path).is_some_and(|p| held.workspace.has_files_in(&p))
        })
    }

    /// Takes documents out of jobs that they do not belong to any more.
    fn leave_homes(&mut self) {
        let stays = |path: &Path, document: &Document| match &document.home {
            Home::Job(root, _) => self.jobs.get(root).is_some_and(|job| {
                let held = job.shared.snapshot();
                held.workspace.relative(path).is_some_and(|inner| held.workspace.belongs(&inner))
            }),
            Home::Nowhere(_) => true,
        };
        let leaving = self.documents.iter().filter(|(path, document)| !stays(path, document));
        let leaving: Vec<PathBuf> = leaving.map(|(path, _)| path.clone()).collect();
        leaving.iter().for_each(|path| self.leave_home(path));
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
