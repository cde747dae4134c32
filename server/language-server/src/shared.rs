//! A job as the threads of the server share it.

use crate::methods::tokens::Given;
use model::FileId;
use parking_lot::{ArcRwLockReadGuard, RawRwLock};
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
}

impl Shared {
    pub(crate) fn new(workspace: Workspace) -> Shared {
        let held = Held { workspace, open: HashMap::new(), tokens: Mutex::default() };
        Shared { lock: Arc::new(RwLock::new(held)), writer_waits: Arc::default() }
    }

    /// The job as it stands now; nothing changes it while the guard is held.
    pub(crate) fn snapshot(&self) -> Snapshot {
        self.lock.read_arc()
    }

    /// Changes the job. Only the owner's thread may call this.
    pub(crate) fn change<T>(&self, change: impl FnOnce(&mut Held) -> T) -> T {
        self.writer_waits.store(true, Ordering::SeqCst);
        let mut held = self.lock.write();
        self.writer_waits.store(false, Ordering::SeqCst);
        change(&mut held)
    }
}

/// A job as it stood at one moment.
pub(crate) type Snapshot = ArcRwLockReadGuard<RawRwLock, Held>;
