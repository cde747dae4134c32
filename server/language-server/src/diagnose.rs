//! A job's diagnostics: worked out on a thread of their own, published where they changed.

use crate::convert;
use crate::mouth::Frame;
use crate::outlet::Outlet;
use crate::progress::Bar;
use crate::render::{END, Renderer, begin, mark};
use crate::shared::{Held, Open, Shared};
use crate::slow::Turn;
use model::FileId;
use parking_lot::{RwLockReadGuard, RwLockUpgradableReadGuard, RwLockWriteGuard};
use std::collections::{BTreeSet, HashMap};
use std::sync::OnceLock;
use std::sync::atomic::Ordering;
use std::sync::mpsc::{Receiver, SyncSender, TrySendError, sync_channel};
use std::thread::JoinHandle;
use tower_lsp_server::ls_types::Uri;

/// Stale entries from which on the client is shown progress.
const LONG_WORK: usize = 1000;

/// The thread that keeps one job's diagnostics current. Dropped, it takes them back and ends.
pub(crate) struct Diagnoser {
    wake: Option<SyncSender<()>>,
    shared: Shared,
    thread: Option<JoinHandle<()>>,
}

impl Diagnoser {
    /// Of a job whose folder lies so deep.
    pub(crate) fn start(shared: Shared, outlet: Outlet, depth: usize) -> Diagnoser {
        let (wake, woken) = sync_channel(1);
        let publisher = Publisher {
            shared: shared.clone(),
            outlet,
            depth,
            due: BTreeSet::new(),
            published: HashMap::new(),
        };
        let thread = std::thread::Builder::new().name("diagnostics".to_owned());
        let thread = thread.spawn(move || publisher.run(&woken));
        if let Err(why) = &thread {
            tracing::error!("no thread for diagnostics: {why}");
        }
        Diagnoser { wake: Some(wake), shared, thread: thread.ok() }
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
        self.shared.ended.store(true, Ordering::SeqCst);
        self.shared.writer_waits.store(true, Ordering::SeqCst);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// What the client was last told of a file.
struct Published {
    uri: Uri,
    /// Of the diagnostics as they were written.
    hash: u64,
    /// Their length in bytes: the next ones will not be much longer.
    length: usize,
    opening: Option<u32>,
    version: Option<i32>,
}

impl Published {
    fn of(uri: Uri, open: Option<&Open>, diagnostics: &[u8]) -> Published {
        Published {
            uri,
            hash: mark(diagnostics),
            length: diagnostics.len(),
            opening: open.map(|open| open.opening),
            version: open.map(|open| open.version),
        }
    }
}

/// What the client is to be told of a file.
enum Publication {
    Found(Uri, Frame),
    /// What was published before holds no more, since the file is none of the job's.
    Gone(Uri),
}

struct Publisher {
    shared: Shared,
    outlet: Outlet,
    /// How deep the job's folder lies.
    depth: usize,
    /// Files that may look different from what was published.
    due: BTreeSet<FileId>,
    published: HashMap<FileId, Published>,
}

impl Publisher {
    fn run(mut self, woken: &Receiver<()>) {
        while woken.recv().is_ok() {
            while !self.shared.ended.load(Ordering::SeqCst) && !self.turn() {}
        }
        if self.outlet.abilities.pulls {
            self.ask_to_pull();
            return;
        }
        for last in std::mem::take(&mut self.published).into_values() {
            self.publish(Publication::Gone(last.uri));
        }
    }

    fn publish(&self, publication: Publication) {
        let Outlet { mouth, claims, .. } = &self.outlet;
        match publication {
            Publication::Found(uri, frame) => claims.tell(mouth, &uri, self.depth, frame),
            Publication::Gone(uri) => claims.take_back(mouth, &uri, self.depth, retraction(&uri)),
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
        let looked_again = held.workspace.take_verdict_changes();
        let held = RwLockWriteGuard::downgrade(held);
        let mut ready = Vec::new();
        let outlet = self.outlet.clone();
        let mut renderer = Renderer::new(&held, &outlet);
        let mut news = false;
        while let Some(file) = self.due.pop_first() {
            if outlet.abilities.pulls {
                news |= self.is_news(&held, &mut renderer, file);
            } else {
                ready.extend(self.look(&held, &mut renderer, file));
            }
            if shared.writer_waits.load(Ordering::Relaxed) {
                break;
            }
        }
        RwLockReadGuard::unlock_fair(held);
        drop(turn);
        if looked_again {
            self.outlet.refresh_lenses();
        }
        if news {
            self.ask_to_pull();
        }
        for publication in ready {
            self.publish(publication);
        }
        self.due.is_empty()
    }

    /// Whether a file's diagnostics changed without an edit of its own, after which a client that asks
    /// for them would ask anyway.
    fn is_news(&mut self, held: &Held, renderer: &mut Renderer<'_>, file: FileId) -> bool {
        let Some(uri) = convert::file_uri(held, &self.outlet, file) else {
            return self.published.remove(&file).is_some();
        };
        let open = held.open.get(&file);
        let mut diagnostics = Vec::new();
        renderer.diagnostics(file, &mut diagnostics);
        let now = Published::of(uri, open, &diagnostics);
        let (hash, version, opening) = (now.hash, now.version, now.opening);
        match self.published.insert(file, now) {
            Some(last) => last.hash != hash && (last.version, last.opening) == (version, opening),
            None => diagnostics != b"[]" && open.is_none(),
        }
    }

    /// Asks the client to ask again.
    fn ask_to_pull(&self) {
        let client = self.outlet.client.clone();
        self.outlet.runtime.spawn(async move {
            let _ = client.workspace_diagnostic_refresh().await;
        });
    }

    /// What the client has to be told of a file, if anything.
    fn look(&mut self, held: &Held, renderer: &mut Renderer<'_>, file: FileId) -> Option<Publication> {
        let Some(uri) = convert::file_uri(held, &self.outlet, file) else {
            let last = self.published.remove(&file)?;
            return Some(Publication::Gone(last.uri));
        };
        let open = held.open.get(&file);
        let last = self.published.get(&file);
        // Written where it will be sent from: a long file's findings are megabytes.
        let mut frame = Frame::new(last.map_or(0, |last| last.length + last.length / 8));
        begin(&uri, open.map(|open| open.version), frame.body());
        let before = frame.body().len();
        renderer.diagnostics(file, frame.body());
        let diagnostics = frame.body().get(before..).unwrap_or_default();
        let now = Published::of(uri.clone(), open, diagnostics);
        let known = match last {
            // A file that is opened again may have lost what was shown in it.
            Some(last) => last.hash == now.hash && (now.opening.is_none() || last.opening == now.opening),
            None => diagnostics == b"[]" && open.is_none(),
        };
        if known {
            return None;
        }
        self.published.insert(file, now);
        frame.body().extend_from_slice(END);
        Some(Publication::Found(uri, frame))
    }
}

/// Takes back what was published of a file.
fn retraction(uri: &Uri) -> Frame {
    let mut frame = Frame::new(0);
    begin(uri, None, frame.body());
    frame.body().extend_from_slice(b"[]");
    frame.body().extend_from_slice(END);
    frame
}
