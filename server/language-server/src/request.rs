//! The work that answers a request, as it waits in the queue.

use crate::client_handle::ClientHandle;
use crate::context::Context;
use crate::shared::{JobState, Snapshot};
use tokio::sync::oneshot;
use workspace::Stop;

/// Answers a request about a document; given nothing if the document is in no job.
pub(crate) type OfDocument = Box<dyn FnOnce(Option<&Context>) + Send>;

/// Answers a request about a job; given nothing if there is no such job.
pub(crate) type OfJob = Box<dyn FnOnce(Option<(&JobState, &ClientHandle)>) + Send>;

/// Answers a request about all jobs, each of which is looked at in its turn.
pub(crate) type OfAll = Box<dyn FnOnce(&mut dyn Iterator<Item = Snapshot>, &ClientHandle) + Send>;

/// Answers, unless nobody waits for the answer any more; the work can ask whether that is so.
pub(crate) fn give<T>(to: oneshot::Sender<T>, work: impl FnOnce(Stop<'_>) -> T) {
    if !to.is_closed() {
        let answer = work(&|| to.is_closed());
        // The client may have cancelled meanwhile.
        let _ = to.send(answer);
    }
}
