//! Which job speaks of a file.
//!
//! When a folder becomes a job of its own, or is none any more, its files change hands. Each job is told of
//! by a thread of its own: without an order between them, the job that lets go of a file could take back
//! what the other has said of it.

use crate::mouth::{Frame, Mouth};
use parking_lot::Mutex;
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::sync::Arc;
use tower_lsp_server::ls_types::Uri;

/// The job that last spoke of each file, by how deep its folder lies: the deeper one has it.
#[derive(Clone, Default)]
pub(crate) struct Claims(Arc<Mutex<HashMap<Uri, usize>>>);

impl Claims {
    /// Says what a job found in a file, unless the file is a deeper job's.
    pub(crate) fn tell(&self, mouth: &Mouth, uri: &Uri, depth: usize, frame: Frame) {
        let mut claims = self.0.lock();
        if claims.get(uri).is_none_or(|claimed| *claimed <= depth) {
            claims.insert(uri.clone(), depth);
            mouth.say(frame);
        }
    }

    /// Takes back what a job said of a file, unless another has spoken of it since.
    pub(crate) fn take_back(&self, mouth: &Mouth, uri: &Uri, depth: usize, frame: Frame) {
        if let Entry::Occupied(claim) = self.0.lock().entry(uri.clone())
            && *claim.get() == depth
        {
            claim.remove();
            mouth.say(frame);
        }
    }
}
