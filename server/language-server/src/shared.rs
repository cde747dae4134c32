//! A job as the threads of the server share it.

use crate::methods::tokens::Given;
use model::FileId;
use parking_lot::{ArcRwLockReadGuard, ArcRwLockUpgradableReadGuard, RawRwLock};
use parking_lot::{Mutex, RwLock};
use std::collections::HashMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use tower_lsp_server::ls_types::Uri;
use workspace::Workspace;

/// A job, and which of its files an editor holds.
pub(crate) struct Held {
    pub(crate) workspace: Workspace,
    pub(crate) open: HashMap<FileId, Open>,
    /// Another after every change.
    pub(crate) version: u64,
    /// The tokens that the client holds of open files.
    pub(crate) tokens: Mutex<HashMap<FileId, Given>>,
}

/// A file that an editor holds.
#[derive(Clone)]
pub(crate) struct Open {
    /// As the client writes it, which may differ from how we would.
    pub(crate) uri: Uri,
    /// The version of the text.
    pub(crate) version: i32,
    /// Tells one opening of the file from the next.
    pub(crate) opening: u32,
}

/// A job that readers hold on to as it stands, while one writer changes it in between.
#[derive(Clone)]
pub(crate) struct Shared {
    pub(crate) lock: Arc<RwLock<Held>>,
    /// Set while the writer waits: long work under an upgradable guard must end soon.
    pub(crate) writer_waits: Arc<AtomicBool>,
    /// Set when the job is let go: nothing more is worked out for it.
    pub(crate) ended: Arc<AtomicBool>,
}

impl Shared {
    pub(crate) fn new(workspace: Workspace) -> Shared {
        let held = Held { workspace, open: HashMap::new(), version: 0, tokens: Mutex::default() };
        Shared { lock: Arc::new(RwLock::new(held)), writer_waits: Arc::default(), ended: Arc::default() }
    }

    /// The job as it stands now; nothing changes it while the guard is held.
    pub(crate) fn snapshot(&self) -> Snapshot {
        self.lock.read_arc()
    }

    /// The job as it stands, with every finding worked out, unless it is let go meanwhile; a writer
    /// goes first.
    pub(crate) fn settled(&self) -> Snapshot {
        self.settled_while(|_| true)
    }

    /// The same, of the job as it is in this version; nothing once it has changed.
    pub(crate) fn settled_at(&self, version: u64) -> Option<Snapshot> {
        let same = |held: &Held| held.version == version;
        Some(self.settled_while(same)).filter(|held| same(held))
    }

    fn settled_while(&self, go_on: impl Fn(&Held) -> bool) -> Snapshot {
        loop {
            let mut held = self.lock.upgradable_read_arc();
            if !go_on(&held) {
                return ArcRwLockUpgradableReadGuard::downgrade(held);
            }
            let batch = held.workspace.compute(&self.writer_waits, &|_, _| {});
            held.with_upgraded(|held| held.workspace.store(batch));
            if !held.workspace.is_stale() || self.ended.load(Ordering::SeqCst) {
                return ArcRwLockUpgradableReadGuard::downgrade(held);
            }
            ArcRwLockUpgradableReadGuard::unlock_fair(held);
        }
    }

    /// Changes the job. Only the owner's thread may call this.
    pub(crate) fn change<T>(&self, change: impl FnOnce(&mut Held) -> T) -> T {
        self.writer_waits.store(true, Ordering::SeqCst);
        let mut held = self.lock.write();
        self.writer_waits.store(false, Ordering::SeqCst);
        held.version += 1;
        change(&mut held)
    }
}

/// A job as it stood at one moment.
pub(crate) type Snapshot = ArcRwLockReadGuard<RawRwLock, Held>;
