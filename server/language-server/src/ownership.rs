//! Which job publishes the diagnostics of a file.
//!
//! When a folder becomes a job of its own, or stops being one, its files change hands. Each job has a
//! thread of its own that publishes: without an order between them, the job that lets go of a file could
//! retract what the other has published since.

use crate::writer::{Frame, Writer};
use parking_lot::Mutex;
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::sync::Arc;
use tower_lsp_server::ls_types::Uri;

/// The job that last published each file, by how deep its folder lies: the deeper one owns it.
#[derive(Clone, Default)]
pub(crate) struct Ownership(Arc<Mutex<HashMap<Uri, usize>>>);

impl Ownership {
    /// Publishes what a job found in a file, unless the file is a deeper job's.
    pub(crate) fn publish(&self, writer: &Writer, uri: &Uri, depth: usize, frame: Frame) {
        let mut owners = self.0.lock();
        if owners.get(uri).is_none_or(|owner| *owner <= depth) {
            owners.insert(uri.clone(), depth);
            writer.send(frame);
        }
    }

    /// Retracts what a job published of a file, unless another job has published it since.
    pub(crate) fn retract(&self, writer: &Writer, uri: &Uri, depth: usize, frame: Frame) {
        if let Entry::Occupied(owner) = self.0.lock().entry(uri.clone())
            && *owner.get() == depth
        {
            owner.remove();
            writer.send(frame);
        }
    }
}
