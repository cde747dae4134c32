//! A job as an editor or the command line works with it.

use crate::disk::{self, Listing};
use crate::ledger::Ledger;
use crate::path;
use crate::repeats::Repeats;
use crate::walk::{LeftOut, is_yaml};
use analysis::Memo;
use checks::{Finding, Outcome};
use model::{EntryId, FileId, Import, Item, Job, Key, Name, Prepared, Touched};
use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use syntax::{Edit, File};

/// A job: its folder, its files as they stand on disk or in an editor, and what was found.
///
/// Changing the text is quick and makes findings stale; [`Workspace::compute`] works stale ones out
/// on a shared reference, so that reading goes on meanwhile, and [`Workspace::store`] takes them in.
pub struct Workspace {
    root: PathBuf,
    job: Job,
    memo: Arc<Memo>,
    ledger: Ledger,
    files: FxHashMap<String, FileId>,
    /// Files whose text an editor holds; what is on disk does not count for them.
    open: FxHashSet<FileId>,
    /// Files whose text has changed since the changes were last asked for.
    edited: FxHashSet<FileId>,
    changed: FxHashSet<FileId>,
    /// Whether a unit or a zone was worked out since this was last asked.
    judged: bool,
    /// What lies in the folder and was not read when it was last looked through.
    left_out: Vec<LeftOut>,
}

/// So many entries are worked out before they are taken in.
const MOST_AT_ONCE: usize = 1 << 14;

/// So many entries one thread takes at a time: few enough that none waits long for the last.
const AT_A_TIME: usize = 64;

/// Outcomes that were worked out and not yet taken in.
pub struct Batch(Vec<(EntryId, Outcome, FxHashSet<Key>)>);

/// Files whose findings, or places in them, may differ from when changes were last asked for.
pub type Changes = Vec<FileId>;

impl Workspace {
    /// Reads the job in a folder, not yet checked. `progress` is called with files read and files
    /// in all, from several threads.
    pub fn load(root: &Path, progress: &(dyn Fn(usize, usize) + Sync)) -> Workspace {
        Workspace::load_with(Arc::default(), root, progress)
    }

    /// The same with a memory that other jobs use as well: what they have in common, such as the logic of built-in
    /// types and units that are wired alike, is worked out once.
    pub fn load_with(memo: Arc<Memo>, root: &Path, progress: &(dyn Fn(usize, usize) + Sync)) -> Workspace {
        let Listing { files: paths, mut left_out } = disk::job_files(root);
        let (total, done) = (paths.len(), AtomicUsize::new(0));
        let refused = Mutex::new(Vec::new());
        let read = |path: String| {
            let (file, unread) = disk::file(root, &path, total);
            if let (Some(unread), Ok(mut refused)) = (unread, refused.lock()) {
                refused.push(unread);
            }
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, total);
            (path, file.told())
        };
        // The built-in types are read beside the job's own files.
        let (mut workspace, files) = rayon::join(
            || Workspace { memo, ..Workspace::empty(root) },
            || paths.into_par_iter().with_max_len(1).map(read).collect::<Vec<_>>(),
        );
        left_out.extend(refused.into_inner().unwrap_or_default());
        left_out.sort_unstable();
        workspace.left_out = left_out;
        let (numbers, named) = workspace.job.open_all(files);
        for id in numbers {
            if let Some(file) = workspace.job.file(id) {
                workspace.files.insert(file.path.clone(), id);
            }
        }
        for path in named {
            if !workspace.job.imports().contains_key(&path) {
                let import = disk::import(root, &path);
                workspace.job.set_import(path, Some(import), &mut Touched::default());
            }
        }
        workspace.ledger.touch_all(&workspace.job);
        workspace
    }

    /// A job with no files yet.
    pub fn empty(root: &Path) -> Workspace {
        Workspace {
            root: root.to_path_buf(),
            job: Job::new(),
            memo: Arc::default(),
            ledger: Ledger::default(),
            files: FxHashMap::default(),
            open: FxHashSet::default(),
            edited: FxHashSet::default(),
            changed: FxHashSet::default(),
            judged: false,
            left_out: Vec::new(),
        }
    }

    /// What lies in the job's folder and was not read when the folder was last looked through, in order.
    pub fn left_out(&self) -> &[LeftOut] {
        &self.left_out
    }

    /// How many files were read.
    pub fn files_read(&self) -> usize {
        let refused = |one: &&LeftOut| self.files.contains_key(&one.path);
        self.files.len() - self.left_out.iter().filter(refused).count()
    }

    /// The job folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The facts.
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// What entries have in common.
    pub fn memo(&self) -> &Memo {
        &self.memo
    }

    /// The file at a path of the job.
    pub fn file(&self, path: &str) -> Option<FileId> {
        self.files.get(path).copied()
    }

    /// A path on disk as the job has it: from its folder, `/` between names.
    pub fn relative(&self, path: &Path) -> Option<String> {
        disk::relative(&self.root, path)
    }

    /// Where a file lies that an entry names; nothing outside the job folder.
    pub fn named(&self, written: &str) -> Option<PathBuf> {
        Some(self.root.join(path::inside(written)?))
    }

    /// Whether a path of the job is one that a fresh reading of the folder would find, or would
    /// once it is saved.
    pub fn belongs(&self, path: &str) -> bool {
        is_yaml(Path::new(path)) && disk::belongs(&self.root, path)
    }

    /// Whether an entry names a file, by its path in the job.
    pub fn names(&self, path: &str) -> bool {
        self.job.imports().keys().any(|written| path::means(written, path))
    }

    /// The paths in the job of the files that entries name.
    pub fn named_files(&self) -> impl Iterator<Item = String> {
        self.job.imports().keys().filter_map(|written| path::inside(written))
    }

    /// Whether files of the job, or files that it names, lie in a folder.
    pub fn has_files_in(&self, folder: &str) -> bool {
        let inside = |path: &str| path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/'));
        let mut named = self.job.imports().keys().filter_map(|written| path::inside(written));
        self.files.keys().any(|path| inside(path)) || named.any(|path| inside(&path))
    }

    /// Whether an editor holds a file.
    pub fn is_open(&self, file: FileId) -> bool {
        self.open.contains(&file)
    }

    /// An editor opened a file, with this text: from now on its text counts, not the disk's.
    pub fn open(&mut self, path: &str, text: &str) -> FileId {
        let id = self.put(path, text);
        self.open.insert(id);
        id
    }

    /// An editor changed a file. An edit that does not fit is cut to the text.
    pub fn edit(&mut self, file: FileId, edit: &Edit) {
        let mut touched = Touched::default();
        self.job.edit(file, edit, &mut touched);
        self.edited.insert(file);
        self.settle_facts(touched);
    }

    /// An editor put a whole new text in place of a file's.
    pub fn set_text(&mut self, file: FileId, text: &str) {
        let mut touched = Touched::default();
        self.job.set(file, Prepared::new(File::new(text)), &mut touched);
        self.edited.insert(file);
        self.settle_facts(touched);
    }

    /// An editor let go of a file: the disk counts again.
    pub fn close(&mut self, path: &str) {
        if let Some(id) = self.file(path) {
            self.open.remove(&id);
        }
        self.refresh(path);
    }

    /// Something on disk was made, changed or deleted.
    pub fn refresh(&mut self, path: &str) {
        self.take_from_disk(path, self.belongs(path));
    }

    /// Looks at the disk again: files that came, went or changed.
    pub fn rescan(&mut self) {
        let listing = disk::job_files(&self.root);
        self.left_out = listing.left_out;
        let there: FxHashSet<String> = listing.files.into_iter().collect();
        let gone = self.files.keys().filter(|path| !there.contains(*path)).cloned();
        let imports = self.job.imports().keys().filter_map(|written| path::inside(written));
        let mut paths: Vec<String> = gone.chain(imports).chain(there.iter().cloned()).collect();
        paths.sort_unstable();
        for path in paths {
            self.take_from_disk(&path, there.contains(&path));
        }
    }

    fn take_from_disk(&mut self, path: &str, belongs: bool) {
        let known = self.file(path);
        if known.is_some_and(|id| self.open.contains(&id)) {
            return;
        }
        if belongs && self.root.join(path).is_file() {
            match disk::read(&self.root, path) {
                Ok(text) => self.put(path, &text),
                Err(unread) => self.set(path, unread.file()),
            };
        } else if let Some(id) = known {
            let mut touched = Touched::default();
            self.job.close(id, &mut touched);
            self.files.remove(path);
            self.changed.insert(id);
            self.settle_facts(touched);
        }
        self.refresh_import(path);
    }

    /// Gives a file this text; one that has it already is not read again.
    fn put(&mut self, path: &str, text: &str) -> FileId {
        if let Some(id) = self.file(path)
            && self.job.file(id).is_some_and(|f| has_text(f.file(), text))
        {
            self.edited.insert(id);
            return id;
        }
        self.set(path, Prepared::new(File::among(text, self.files.len())))
    }

    fn set(&mut self, path: &str, file: Prepared) -> FileId {
        let mut touched = Touched::default();
        let id = if let Some(id) = self.file(path) {
            self.job.set(id, file, &mut touched);
            id
        } else {
            let id = self.job.open(path.to_owned(), file, &mut touched);
            self.files.insert(path.to_owned(), id);
            id
        };
        self.edited.insert(id);
        self.settle_facts(touched);
        id
    }

    fn refresh_import(&mut self, path: &str) {
        let known: Vec<Name> =
            self.job.imports().keys().filter(|written| path::means(written, path)).cloned().collect();
        let mut touched = Touched::default();
        for path in known {
            let import = disk::import(&self.root, &path);
            self.job.set_import(path, Some(import), &mut touched);
        }
        self.ledger.touch(&self.job, &touched);
    }

    /// Reads imports that are new, and marks what the changed facts make stale.
    fn settle_facts(&mut self, mut touched: Touched) {
        settle_imports(&mut self.job, &mut touched, |path| disk::import(&self.root, path));
        self.ledger.touch(&self.job, &touched);
    }

    /// A file that an entry names, or may come to name, as it is known or else on disk.
    pub(crate) fn import(&self, path: &Name) -> Import {
        self.job.imports().get(path).cloned().unwrap_or_else(|| disk::import(&self.root, path))
    }

    /// Whether some findings are stale.
    pub fn is_stale(&self) -> bool {
        self.ledger.is_stale()
    }

    /// Works out some of what is stale, as far as it gets before `stop` is set: ask again while
    /// [`Workspace::is_stale`]. `progress` is called with entries done and entries in all, from
    /// several threads.
    pub fn compute(&self, stop: &AtomicBool, progress: &(dyn Fn(usize, usize) + Sync)) -> Batch {
        let mut stale = self.ledger.stale();
        // What is worked out and not taken in costs memory.
        stale.truncate(MOST_AT_ONCE);
        let (total, done) = (stale.len(), AtomicUsize::new(0));
        let one = |id: EntryId| {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            let (outcome, reads) = crate::run::run_noting(&self.job, &self.memo, id);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, total);
            Some((id, outcome, reads))
        };
        // A handful is done before another thread has woken up.
        if total < 32 {
            return Batch(stale.into_iter().filter_map(one).collect());
        }
        Batch(stale.into_par_iter().filter_map(one).collect())
    }

    /// Takes outcomes in. Nothing may have changed since [`Workspace::compute`] made them.
    pub fn store(&mut self, batch: Batch) {
        for (id, outcome, reads) in batch.0 {
            let quiet = |o: &Outcome| o.findings.is_empty() && o.deviations.is_empty();
            let changes = !(quiet(&outcome) && self.ledger.outcome(id).is_none_or(quiet));
            if let Some(entry) = self.job.entry(id).filter(|_| changes) {
                self.changed.insert(entry.file);
            }
            let item = self.job.entry(id).map(|entry| &entry.facts.item);
            self.judged |= matches!(item, Some(Item::Unit(_) | Item::Zone(_)));
            self.ledger.settle(&self.job, id, outcome, reads);
        }
        self.memo.sweep();
    }

    /// Works everything stale out and takes it in.
    pub fn check(&mut self, progress: &(dyn Fn(usize, usize) + Sync)) {
        let all = self.ledger.count_stale();
        while self.is_stale() {
            let before = all.saturating_sub(self.ledger.count_stale());
            let batch = self.compute(&AtomicBool::new(false), &|done, _| progress(before + done, all));
            self.store(batch);
        }
    }

    /// Works everything stale out and takes it in, unless more than `most` is found: then for good, since what every
    /// entry reads, and findings without end, would take too much memory. Whether changes can be tried afterwards.
    pub fn check_within(&mut self, most: usize, progress: &(dyn Fn(usize, usize) + Sync)) -> bool {
        let (all, mut found) = (self.ledger.count_stale(), 0);
        while self.is_stale() {
            let before = all.saturating_sub(self.ledger.count_stale());
            let batch = self.compute(&AtomicBool::new(false), &|done, _| progress(before + done, all));
            found += batch.0.iter().map(|(_, outcome, _)| outcome.findings.len()).sum::<usize>();
            if found > most {
                drop(batch);
                self.ledger = Ledger::default();
                self.ledger.touch_all(&self.job);
                self.check_for_good(progress);
                return false;
            }
            self.store(batch);
        }
        true
    }

    /// Works everything stale out for a job that nothing will change: what was read on the way is not
    /// kept, which saves its memory and time; a later change makes no other entry stale and is not listed.
    pub fn check_for_good(&mut self, progress: &(dyn Fn(usize, usize) + Sync)) {
        let stale = self.ledger.stale();
        let (total, done) = (stale.len(), AtomicUsize::new(0));
        let one = |id: EntryId| {
            let outcome = crate::run::run(&self.job, &self.memo, id);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, total);
            (!outcome.is_empty()).then(|| (id, Box::new(outcome)))
        };
        let (mut repeats, mut found) = (Repeats::default(), Vec::new());
        // Taken in some at a time, so that there are never more findings in memory than are kept.
        for some in stale.chunks(MOST_AT_ONCE) {
            let outcomes: Vec<_> = some.par_iter().with_max_len(AT_A_TIME).copied().filter_map(one).collect();
            found.extend(outcomes.into_iter().map(|(id, mut outcome)| {
                repeats.cut(&self.job, id, &mut outcome);
                (id, outcome)
            }));
        }
        for (id, finding) in repeats.told() {
            if let Ok(at) = found.binary_search_by_key(&id, |(id, _)| *id)
                && let Some((_, outcome)) = found.get_mut(at)
            {
                outcome.findings.push(finding);
            }
        }
        found.retain(|(_, outcome)| !outcome.is_empty());
        self.ledger.settle_for_good(found);
        self.memo.sweep();
    }

    /// Files whose findings may look different from when this was last asked, in order. A file
    /// that is gone is among them once.
    pub fn take_changes(&mut self) -> Changes {
        let mut changes = std::mem::take(&mut self.changed);
        let edited = std::mem::take(&mut self.edited);
        // Reasons point into other files, whose lines may have moved.
        changes.extend(edited.iter().flat_map(|file| self.ledger.pointing_into(*file)));
        changes.extend(edited);
        let mut changes: Vec<FileId> = changes.into_iter().collect();
        changes.sort_unstable();
        changes
    }

    /// Whether what can be said of any unit or zone may differ from when this was last asked.
    pub fn take_verdict_changes(&mut self) -> bool {
        std::mem::take(&mut self.judged)
    }

    /// The findings of a file, in order, each with its entry.
    pub fn findings(&self, file: FileId) -> impl Iterator<Item = (EntryId, &Finding)> {
        let ids = self.job.file(file).map_or(&[][..], model::JobFile::entries);
        ids.iter()
            .filter_map(|id| Some((*id, self.ledger.outcome(*id)?)))
            .flat_map(|(id, o)| o.findings.iter().map(move |f| (id, f)))
    }

    /// All that was found about an entry.
    pub fn outcome(&self, id: EntryId) -> Option<&Outcome> {
        self.ledger.outcome(id)
    }

    /// Entries that read what was touched when they were last looked at.
    pub(crate) fn readers(&self, touched: &Touched) -> FxHashSet<EntryId> {
        self.ledger.readers(touched)
    }

    /// A spot of an entry as bytes of its file.
    pub fn span(&self, id: EntryId, spot: &model::Spot) -> Option<(FileId, Range<u32>)> {
        self.job.span(id, spot)
    }

    /// The job's own files in the order of their paths.
    pub fn files(&self) -> Vec<(FileId, &str)> {
        let mut files: Vec<(FileId, &str)> =
            self.files.iter().map(|(path, id)| (*id, path.as_str())).collect();
        files.sort_unstable_by(|a, b| a.1.cmp(b.1));
        files
    }
}

/// Gives a job the imports that are named newly, and lets go of those that nothing names any more.
pub(crate) fn settle_imports(job: &mut Job, touched: &mut Touched, read: impl Fn(&Name) -> Import) {
    let import = |key: &Key| if let Key::Import(path) = key { Some(path.clone()) } else { None };
    let named: Vec<Name> = touched.keys.iter().filter_map(import).collect();
    for path in named {
        let known = job.imports().get(&path).cloned();
        let import = job.imported(&path).then(|| known.unwrap_or_else(|| read(&path)));
        job.set_import(path, import, touched);
    }
}

/// Whether a file reads `text`. An empty one may be one that could not be read.
fn has_text(file: &File, text: &str) -> bool {
    !text.is_empty() && *file.text() == *text
}
