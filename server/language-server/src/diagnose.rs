//! A job's diagnostics: worked out on a thread of their own, published where they changed.

use crate::convert;
use crate::outlet::Outlet;
use crate::progress::Bar;
use crate::shared::{Held, Shared};
use crate::slow::Turn;
use model::FileId;
use parking_lot::{RwLockReadGuard, RwLockUpgradableReadGuard, RwLockWriteGuard};
use std::collections::{BTreeSet, HashMap};
use std::hash::{DefaultHasher, Hasher};
use std::io::Write;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, TrySendError, sync_channel};
use std::sync::{Arc, OnceLock};
use std::thread::JoinHandle;
use tower_lsp_server::ls_types::{Diagnostic, Uri};

/// Stale entries from which on the client is shown progress.
const LONG_WORK: usize = 1000;

/// The thread that keeps one job's diagnostics current. Dropped, it takes them back and ends.
pub(crate) struct Diagnoser {
    wake: Option<SyncSender<()>>,
    shared: Shared,
    ending: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Diagnoser {
    pub(crate) fn start(shared: Shared, outlet: Outlet) -> Diagnoser {
        let (wake, woken) = sync_channel(1);
        let ending = Arc::new(AtomicBool::new(false));
        let publisher = Publisher {
            shared: shared.clone(),
            ending: ending.clone(),
            outlet,
            due: BTreeSet::new(),
            published: HashMap::new(),
        };
        let thread = std::thread::Builder::new().name("diagnostics".to_owned());
        let thread = thread.spawn(move || publisher.run(&woken));
        if let Err(why) = &thread {
            tracing::error!("no thread for diagnostics: {why}");
        }
        Diagnoser { wake: Some(wake), shared, ending, thread: thread.ok() }
    }

    /// Says that the job has changed.
    pub(crate) fn wake(&self) {
        // A full channel means that it is about to look anyway.
        if let Some(Err(TrySendError::Disconnected(()))) = self.wake.as_ref().map(|w| w.try_send(())) {
            tracing::error!("the thread for diagnostics has ended");
        }
    }
}

impl Drop for Diagnoser {
    fn drop(&mut self) {
        self.wake = None;
        self.ending.store(true, Ordering::SeqCst);
        self.shared.writer_waits.store(true, Ordering::SeqCst);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// What the client was last told of a file.
struct Published {
    uri: Uri,
    hash: u64,
    opening: Option<u32>,
}

/// Something to tell the client of a file.
struct Publication {
    uri: Uri,
    diagnostics: Vec<Diagnostic>,
    version: Option<i32>,
}

struct Publisher {
    shared: Shared,
    ending: Arc<AtomicBool>,
    outlet: Outlet,
    /// Files that may look different from what was published.
    due: BTreeSet<FileId>,
    published: HashMap<FileId, Published>,
}

impl Publisher {
    fn run(mut self, woken: &Receiver<()>) {
        while woken.recv().is_ok() {
            while !self.ending.load(Ordering::SeqCst) && !self.turn() {}
        }
        for (_, last) in std::mem::take(&mut self.published) {
            self.send(Publication { uri: last.uri, diagnostics: Vec::new(), version: None });
        }
    }

    /// Works out what is stale and publishes what changed; whether it got to the end before a
    /// writer wanted the job.
    fn turn(&mut self) -> bool {
        let turn = Turn::begin("diagnostics");
        let shared = self.shared.clone();
        let held = shared.lock.upgradable_read();
        let bar = OnceLock::new();
        let batch = held.workspace.compute(&shared.writer_waits, &|done, all| {
            if all >= LONG_WORK {
                bar.get_or_init(|| Bar::new(&self.outlet, "Checking the job")).report(done, all);
            }
        });
        drop(bar);
        // What was worked out before a writer came is right still: nothing has changed yet.
        let mut held = RwLockUpgradableReadGuard::upgrade(held);
        held.workspace.store(batch);
        self.due.extend(held.workspace.take_changes());
        if held.workspace.is_stale() {
            RwLockWriteGuard::unlock_fair(held);
            return false;
        }
        let held = RwLockWriteGuard::downgrade(held);
        let mut ready = Vec::new();
        while let Some(file) = self.due.pop_first() {
            ready.extend(self.look(&held, file));
            if shared.writer_waits.load(Ordering::Relaxed) {
                break;
            }
        }
        RwLockReadGuard::unlock_fair(held);
        drop(turn);
        ready.into_iter().for_each(|publication| self.send(publication));
        self.due.is_empty()
    }

    /// What the client has to be told of a file, if anything.
    fn look(&mut self, held: &Held, file: FileId) -> Option<Publication> {
        let open = held.open.get(&file);
        let uri = open.map(|open| open.uri.clone()).or_else(|| convert::file_uri(&held.workspace, &self.outlet, file));
        let Some(uri) = uri else {
            let last = self.published.remove(&file)?;
            return Some(Publication { uri: last.uri, diagnostics: Vec::new(), version: None });
        };
        let findings = held.workspace.findings(file);
        let diagnostics: Vec<Diagnostic> = findings
            .filter_map(|(id, finding)| convert::diagnostic(&held.workspace, &self.outlet, id, finding))
            .collect();
        let now = Published { uri: uri.clone(), hash: hash(&diagnostics), opening: open.map(|open| open.opening) };
        let known = match self.published.get(&file) {
            // A file that is opened again may have lost what was shown in it.
            Some(last) => last.hash == now.hash && (now.opening.is_none() || last.opening == now.opening),
            None => diagnostics.is_empty() && open.is_none(),
        };
        if known {
            return None;
        }
        self.published.insert(file, now);
        Some(Publication { uri, diagnostics, version: open.map(|open| open.version) })
    }

    fn send(&self, publication: Publication) {
        let Publication { uri, diagnostics, version } = publication;
        let sending = self.outlet.client.publish_diagnostics(uri, diagnostics, version);
        self.outlet.runtime.block_on(sending);
    }
}

/// A number that differs where the diagnostics differ, kept in place of them.
fn hash(diagnostics: &[Diagnostic]) -> u64 {
    let mut hasher = HashWriter(DefaultHasher::new());
    // Neither the writer nor plain data with string keys can fail.
    let _ = serde_json::to_writer(&mut hasher, diagnostics);
    hasher.0.finish()
}

struct HashWriter(DefaultHasher);

impl Write for HashWriter {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.write(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}
