//! What a request is answered from.

use crate::client_handle::ClientHandle;
use crate::convert;
use crate::shared::Snapshot;
use model::{EntryId, FileId};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use tower_lsp_server::ls_types as lsp;

/// The job as it stood when the request came, and the document that it is about.
pub(crate) struct Context {
    pub(crate) snapshot: Snapshot,
    pub(crate) client: ClientHandle,
    pub(crate) file: FileId,
    /// Set while an edit waits for the snapshot to be let go.
    pub(crate) writer_waits: Arc<AtomicBool>,
}

impl Context {
    /// The entry at a position, and the byte in its text.
    pub(crate) fn entry_at(&self, at: lsp::Position) -> Option<(EntryId, u32)> {
        let job = self.snapshot.workspace.job();
        let text = job.file(self.file)?.file().text();
        job.entry_at(self.file, convert::offset(text, at, self.client.abilities.encoding))
    }
}
