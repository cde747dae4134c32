//! A job as the threads of the server share it.

use model::FileId;
use parking_lot::{ArcRwLockReadGuard, ArcRwLockUpgradableReadGuard, RawRwLock};
use parking_lot::{Mutex, RwLock};
use std::collections::HashMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use tower_lsp_server::ls_types::{SemanticToken, Uri};
use workspace::Workspace;

/// A job, and which of its files an editor holds.
pub(crate) struct JobState {
    pub(crate) workspace: Workspace,
    pub(crate) open: HashMap<FileId, OpenFile>,
    /// Another after every change.
    pub(crate) version: u64,
    /// The tokens that the client holds of open files.
    pub(crate) tokens: Mutex<HashMap<FileId, SentTokens>>,
}

/// A file that an editor holds.
#[derive(Clone)]
pub(crate) struct OpenFile {
    /// As the client writes it, which may differ from how we would.
    pub(crate) uri: Uri,
    /// The version of the text.
    pub(crate) version: i32,
    /// Tells one opening of the file from the next.
    pub(crate) opening: u32,
}

/// The tokens that the client was last sent for a file.
pub(crate) struct SentTokens {
    /// The number it knows them by.
    pub(crate) id: u64,
    pub(crate) tokens: Vec<SemanticToken>,
}

/// What has to be worked out before a request is answered.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Needs {
    /// Nothing: the job as it stands at the request's turn.
    Nothing,
    /// What is found, in the text that the request speaks of. An edit in between leaves it without an
    /// answer, since its positions are of another text.
    FindingsOfItsText,
    /// What is found, in the text as it stands by then.
    Findings,
}

/// A job that readers hold on to as it stands, while one writer changes it in between.
#[derive(Clone)]
pub(crate) struct Shared {
    pub(crate) lock: Arc<RwLock<JobState>>,
    /// Set while the writer waits: long work under an upgradable guard must end soon.
    pub(crate) writer_waits: Arc<AtomicBool>,
    /// Set when the job is let go: nothing more is worked out for it.
    pub(crate) ended: Arc<AtomicBool>,
}

impl Shared {
    pub(crate) fn new(workspace: Workspace) -> Shared {
        let state = JobState { workspace, open: HashMap::new(), version: 0, tokens: Mutex::default() };
        Shared { lock: Arc::new(RwLock::new(state)), writer_waits: Arc::default(), ended: Arc::default() }
    }

    /// The job as it stands now; nothing changes it while the guard is held.
    pub(crate) fn snapshot(&self) -> Snapshot {
        self.lock.read_arc()
    }

    /// What a request gets once it is answered on a thread of its own: the job as it stands now, or with
    /// every finding worked out; nothing if it needs findings of a text that has changed since.
    pub(crate) fn prepare(&self, needs: Needs) -> impl FnOnce() -> Option<Snapshot> + Send + use<> {
        let shared = self.clone();
        let now = self.snapshot();
        let version = now.version;
        let ready = (needs == Needs::Nothing).then_some(now);
        move || {
            ready.or_else(|| match needs {
                Needs::FindingsOfItsText => shared.settled_at(version),
                Needs::Nothing | Needs::Findings => Some(shared.settled_while(|_| true)),
            })
        }
    }

    /// The job with every finding worked out, unless it is let go meanwhile; a writer goes first. Nothing
    /// once it is not in this version any more.
    fn settled_at(&self, version: u64) -> Option<Snapshot> {
        let same = |state: &JobState| state.version == version;
        Some(self.settled_while(same)).filter(|state| same(state))
    }

    fn settled_while(&self, go_on: impl Fn(&JobState) -> bool) -> Snapshot {
        loop {
            let mut state = self.lock.upgradable_read_arc();
            if !go_on(&state) {
                return ArcRwLockUpgradableReadGuard::downgrade(state);
            }
            let batch = state.workspace.compute(&self.writer_waits, &|_, _| {});
            state.with_upgraded(|state| state.workspace.store(batch));
            if !state.workspace.is_stale() || self.ended.load(Ordering::SeqCst) {
                return ArcRwLockUpgradableReadGuard::downgrade(state);
            }
            ArcRwLockUpgradableReadGuard::unlock_fair(state);
        }
    }

    /// Changes the job. Only the owner's thread may call this.
    pub(crate) fn change<T>(&self, change: impl FnOnce(&mut JobState) -> T) -> T {
        self.writer_waits.store(true, Ordering::SeqCst);
        let mut state = self.lock.write();
        self.writer_waits.store(false, Ordering::SeqCst);
        state.version += 1;
        change(&mut state)
    }
}

/// A job as it stood at one moment.
pub(crate) type Snapshot = ArcRwLockReadGuard<RawRwLock, JobState>;
