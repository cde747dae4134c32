//! The one thread that owns the jobs: takes events in the order they arrived.
//!
//! Edits are applied at once. A request is given the job as it stands at its turn and answered on
//! another thread, so it sees exactly the edits before it. One that needs findings waits until they are
//! worked out; none waits for anything else.

use crate::client_handle::ClientHandle;
use crate::jobs::Jobs;
use crate::latency::LatencyTimer;
use crate::request::{OfAll, OfDocument, OfJob};
use crate::settings::Settings;
use crate::shared::Needs;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, channel};
use tower_lsp_server::ls_types::{TextDocumentContentChangeEvent, Uri};

/// All that can happen.
pub(crate) enum Event {
    /// The client is ready; it works on these folders.
    Started(Vec<PathBuf>),
    /// It opened a document.
    Opened { uri: Uri, version: i32, text: String },
    /// It changed one.
    Changed { uri: Uri, version: i32, changes: Vec<TextDocumentContentChangeEvent> },
    /// It closed one.
    Closed(Uri),
    /// Files on disk were made, changed or deleted.
    Watched(Vec<PathBuf>),
    /// Folders were added to, or taken off, those it works on.
    Folders { added: Vec<PathBuf>, removed: Vec<PathBuf> },
    /// The user's settings changed.
    Set(Settings),
    /// It asks something about a document.
    Asked { uri: Uri, what: &'static str, needs: Needs, work: OfDocument },
    /// It asks something about the job that a path lies in.
    AskedOfJob { path: PathBuf, what: &'static str, needs: Needs, work: OfJob },
    /// It asks something about all jobs.
    AskedOfAll { what: &'static str, needs: Needs, work: OfAll },
}

/// Starts the owner; it ends when the sender is dropped.
pub(crate) fn start(client: ClientHandle) -> Sender<Event> {
    let (events, queue) = channel();
    let thread = std::thread::Builder::new().name("owner".to_owned());
    if let Err(why) = thread.spawn(move || run(&queue, Jobs::new(client))) {
        tracing::error!("no thread for the jobs: {why}");
    }
    events
}

fn run(queue: &Receiver<Event>, mut jobs: Jobs) {
    while let Ok(event) = queue.recv() {
        take(event, &mut jobs);
        // What has piled up is taken in before diagnostics are asked for again.
        while let Ok(event) = queue.try_recv() {
            take(event, &mut jobs);
        }
        jobs.wake();
    }
}

fn take(event: Event, jobs: &mut Jobs) {
    let _timer = LatencyTimer::start(event.name());
    match event {
        Event::Started(folders) => jobs.set_folders(&folders, &[]),
        Event::Folders { added, removed } => jobs.set_folders(&added, &removed),
        Event::Opened { uri, version, text } => jobs.open(uri, version, &text),
        Event::Changed { uri, version, changes } => jobs.change(&uri, version, changes),
        Event::Closed(uri) => jobs.close(&uri),
        Event::Watched(paths) => jobs.watched(&paths),
        Event::Set(settings) => jobs.set(settings),
        Event::Asked { uri, what, needs, work } => jobs.ask(&uri, what, needs, work),
        Event::AskedOfJob { path, what, needs, work } => jobs.ask_of_job(&path, what, needs, work),
        Event::AskedOfAll { what, needs, work } => jobs.ask_of_all(what, needs, work),
    }
}

impl Event {
    fn name(&self) -> &'static str {
        match self {
            Event::Started(_) => "the start",
            Event::Opened { .. } => "an opening",
            Event::Changed { .. } => "an edit",
            Event::Closed(_) => "a closing",
            Event::Watched(_) => "a change on disk",
            Event::Folders { .. } => "a change of folders",
            Event::Set(_) => "a change of settings",
            Event::Asked { .. } | Event::AskedOfJob { .. } | Event::AskedOfAll { .. } => {
                "handing out a request"
            }
        }
    }
}
