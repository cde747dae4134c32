//! A job's diagnostics: worked out on a thread of their own, published where they changed.

use crate::client_handle::ClientHandle;
use crate::convert;
use crate::diagnostic::{Diagnostic, Diagnostics, Publication, fingerprint};
use crate::latency::LatencyTimer;
use crate::progress::Bar;
use crate::shared::{JobState, OpenFile, Shared};
use crate::writer::Frame;
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
    pub(crate) fn start(shared: Shared, client: ClientHandle, depth: usize) -> Diagnoser {
        let (wake, woken) = sync_channel(1);
        let publisher = Publisher {
            shared: shared.clone(),
            client,
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

/// What was last published of a file.
struct Published {
    uri: Uri,
    fingerprint: u64,
    /// The length of the message in bytes: the next one will not be much longer.
    length: usize,
    opening: Option<u32>,
    version: Option<i32>,
}

impl Published {
    fn of(uri: Uri, open: Option<&OpenFile>, diagnostics: &[Diagnostic<'_>]) -> Published {
        Published {
            uri,
            fingerprint: fingerprint(diagnostics),
            length: 0,
            opening: open.map(|open| open.opening),
            version: open.map(|open| open.version),
        }
    }
}

/// What is to be published of a file.
enum News {
    Found(Uri, Frame),
    /// What was published before is void, since the file is none of the job's.
    Gone(Uri),
}

struct Publisher {
    shared: Shared,
    client: ClientHandle,
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
        if self.client.abilities.pulls {
            self.client.refresh_diagnostics();
            return;
        }
        for last in std::mem::take(&mut self.published).into_values() {
            self.publish(News::Gone(last.uri));
        }
    }

    fn publish(&self, news: News) {
        let ClientHandle { writer, ownership, .. } = &self.client;
        match news {
            News::Found(uri, frame) => ownership.publish(writer, &uri, self.depth, frame),
            News::Gone(uri) => match Frame::of(&Publication::of(&uri, None, &[]), 256) {
                Ok(frame) => ownership.retract(writer, &uri, self.depth, frame),
                Err(why) => tracing::error!("the findings of {} cannot be taken back: {why}", uri.as_str()),
            },
        }
    }

    /// Works out what is stale and publishes what changed; whether it got to the end before a
    /// writer wanted the job.
    fn turn(&mut self) -> bool {
        let timer = LatencyTimer::start("diagnostics");
        let shared = self.shared.clone();
        let state = shared.lock.upgradable_read();
        let bar = OnceLock::new();
        let batch = state.workspace.compute(&shared.writer_waits, &|done, all| {
            if all >= LONG_WORK {
                bar.get_or_init(|| Bar::new(&self.client, "Checking the job")).report(done, all);
            }
        });
        drop(bar);
        // What was worked out before a writer came is right still: nothing has changed yet.
        let mut state = RwLockUpgradableReadGuard::upgrade(state);
        state.workspace.store(batch);
        self.due.extend(state.workspace.take_changes());
        if state.workspace.is_stale() {
            RwLockWriteGuard::unlock_fair(state);
            return false;
        }
        let looked_again = state.workspace.take_verdict_changes();
        let state = RwLockWriteGuard::downgrade(state);
        let mut ready = Vec::new();
        let client = self.client.clone();
        let mut diagnostics = Diagnostics::new(&state, &client);
        let mut news = false;
        while let Some(file) = self.due.pop_first() {
            if client.abilities.pulls {
                news |= self.is_news(&state, &mut diagnostics, file);
            } else {
                ready.extend(self.look(&state, &mut diagnostics, file));
            }
            if shared.writer_waits.load(Ordering::Relaxed) {
                break;
            }
        }
        RwLockReadGuard::unlock_fair(state);
        drop(timer);
        if looked_again {
            self.client.refresh_lenses();
        }
        if news {
            self.client.refresh_diagnostics();
        }
        for news in ready {
            self.publish(news);
        }
        self.due.is_empty()
    }

    /// Whether a file's diagnostics changed without an edit of its own, after which a client that asks
    /// for them would ask anyway.
    fn is_news(&mut self, state: &JobState, diagnostics: &mut Diagnostics<'_>, file: FileId) -> bool {
        let Some(uri) = convert::file_uri(state, &self.client, file) else {
            return self.published.remove(&file).is_some();
        };
        let open = state.open.get(&file);
        let found = diagnostics.of_file(file);
        let now = Published::of(uri, open, &found);
        let (fingerprint, version, opening) = (now.fingerprint, now.version, now.opening);
        match self.published.insert(file, now) {
            Some(last) => {
                last.fingerprint != fingerprint && (last.version, last.opening) == (version, opening)
            }
            None => !found.is_empty() && open.is_none(),
        }
    }

    /// What is to be published of a file, if anything.
    fn look(&mut self, state: &JobState, diagnostics: &mut Diagnostics<'_>, file: FileId) -> Option<News> {
        let Some(uri) = convert::file_uri(state, &self.client, file) else {
            let last = self.published.remove(&file)?;
            return Some(News::Gone(last.uri));
        };
        let open = state.open.get(&file);
        let last = self.published.get(&file);
        let found = diagnostics.of_file(file);
        let mut now = Published::of(uri.clone(), open, &found);
        let known = match last {
            // A file that is opened again may have lost what was shown in it.
            Some(last) => {
                last.fingerprint == now.fingerprint && (now.opening.is_none() || last.opening == now.opening)
            }
            None => found.is_empty() && open.is_none(),
        };
        if known {
            return None;
        }
        // Written where it will be sent from: a long file's findings are megabytes.
        let room = last.map_or(1024, |last| last.length + last.length / 8);
        match Frame::of(&Publication::of(&uri, now.version, &found), room) {
            Ok(frame) => {
                now.length = frame.length();
                self.published.insert(file, now);
                Some(News::Found(uri, frame))
            }
            Err(why) => {
                tracing::error!("the findings of {} cannot be written: {why}", uri.as_str());
                None
            }
        }
    }
}
