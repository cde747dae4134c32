//! The server as the wire sees it: every message becomes an event in one ordered queue.
//!
//! The library polls handlers in no order once they wait. What puts something into the queue is therefore
//! no `async` function: it does so when it is called, and hands back the answer to wait for.

use crate::abilities::{Abilities, folders};
use crate::client_handle::ClientHandle;
use crate::context::Context;
use crate::library;
use crate::owner::{self, Event};
use crate::ownership::Ownership;
use crate::request::{OfJob, give};
use crate::settings::{self, Settings};
use crate::shared::{JobState, Needs, Snapshot};
use crate::watch::watch_files;
use crate::writer::Writer;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use tokio::runtime::Handle;
use tokio::sync::oneshot;
use tower_lsp_server::Client;
use tower_lsp_server::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp_server::ls_types as lsp;
use workspace::Stop;

/// `LSPErrorCodes.RequestFailed`: the request is right, and what it asks for cannot be.
const REQUEST_FAILED: i64 = -32803;

/// What the handlers share.
pub(crate) struct Server {
    client: Client,
    writer: Writer,
    abilities: OnceLock<Abilities>,
    folders: Mutex<Vec<PathBuf>>,
    events: OnceLock<Sender<Event>>,
    orderly: Arc<AtomicBool>,
    tell_parent: Mutex<Option<oneshot::Sender<u32>>>,
}

/// The parameters of `drycall/libraryText`.
#[derive(serde::Deserialize, serde::Serialize)]
pub(crate) struct LibraryText {
    uri: lsp::Uri,
}

impl Server {
    pub(crate) fn new(
        client: Client,
        writer: Writer,
        orderly: Arc<AtomicBool>,
        tell_parent: oneshot::Sender<u32>,
    ) -> Server {
        Server {
            client,
            writer,
            abilities: OnceLock::new(),
            folders: Mutex::default(),
            events: OnceLock::new(),
            orderly,
            tell_parent: Mutex::new(Some(tell_parent)),
        }
    }

    /// Starts the owner of the jobs; what the client can do.
    pub(crate) fn begin(&self, params: &lsp::InitializeParams) -> Abilities {
        let abilities = Abilities::of(params);
        *self.folders.lock().unwrap_or_else(PoisonError::into_inner) = folders(params);
        let handle = ClientHandle {
            wire: self.client.clone(),
            writer: self.writer.clone(),
            ownership: Ownership::default(),
            abilities: abilities.clone(),
            settings: Settings::of(params.initialization_options.as_ref().unwrap_or(&lsp::LSPAny::Null)),
            runtime: Handle::current(),
        };
        let _ = self.events.set(owner::start(handle));
        let _ = self.abilities.set(abilities.clone());
        let tell = self.tell_parent.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let (Some(tell), Some(process)) = (tell, params.process_id) {
            let _ = tell.send(process);
        }
        abilities
    }

    /// Reads the jobs, and asks the client to tell what changes.
    pub(crate) fn started(&self) {
        let folders = std::mem::take(&mut *self.folders.lock().unwrap_or_else(PoisonError::into_inner));
        self.enqueue(Event::Started(folders));
        if self.abilities.get().is_some_and(|can| can.watches) {
            // Not awaited: a handler that waits for the client would outlive one that hangs up.
            Handle::current().spawn(watch_files(self.client.clone()));
        }
        if self.abilities.get().is_some_and(|can| can.settings_change) {
            Handle::current().spawn(settings::follow(self.client.clone()));
        }
        self.ask_settings();
    }

    /// The client is about to end the server, and says so.
    pub(crate) fn end(&self) {
        self.orderly.store(true, Ordering::SeqCst);
    }

    /// Asks the client for the user's settings, if it can tell them.
    pub(crate) fn ask_settings(&self) {
        let tells = self.abilities.get().is_some_and(|can| can.tells_settings);
        if let Some(events) = self.events.get().filter(|_| tells) {
            let (client, events) = (self.client.clone(), events.clone());
            Handle::current().spawn(async move {
                if let Some(settings) = settings::ask(client).await {
                    // Nobody is there to take it once the server ends.
                    let _ = events.send(Event::Set(settings));
                }
            });
        }
    }

    /// The text behind a `drycall-library:` URI.
    pub(crate) async fn library_text(&self, params: LibraryText) -> Result<String> {
        let text = library::text(&params.uri);
        text.map(str::to_owned)
            .ok_or_else(|| Error::invalid_params("there is no such unit type in the library"))
    }

    /// Puts an event into the queue.
    pub(crate) fn enqueue(&self, event: Event) {
        if self.events.get().is_none_or(|events| events.send(event).is_err()) {
            tracing::warn!("an event is left out: the server has not started, or has ended");
        }
    }

    /// Asks something about a document; no answer if it is in no job.
    pub(crate) fn ask<T: Send + 'static>(
        &self,
        uri: lsp::Uri,
        what: &'static str,
        work: impl FnOnce(&Context) -> Option<T> + Send + 'static,
    ) -> impl Future<Output = Result<Option<T>>> + Send {
        let answer = self.ask_of(uri, what, Needs::Nothing, |context, _| work(context?));
        async move { Ok(answer.await.ok().flatten()) }
    }

    /// Asks something that may be refused, in words.
    pub(crate) fn ask_leave<T: Send + 'static>(
        &self,
        uri: lsp::Uri,
        what: &'static str,
        work: impl FnOnce(&Context) -> Option<std::result::Result<T, String>> + Send + 'static,
    ) -> impl Future<Output = Result<Option<T>>> + Send {
        let answer = self.ask(uri, what, work);
        let refused = |why: String| Error {
            code: ErrorCode::ServerError(REQUEST_FAILED),
            message: why.into(),
            data: None,
        };
        async move { answer.await?.transpose().map_err(refused) }
    }

    /// Asks for the rest of something that the client was given in part, and that carries the document it is
    /// of; it comes back as it is where there is no more to say.
    pub(crate) fn ask_rest<T: Clone + Send + 'static>(
        &self,
        uri: Option<lsp::Uri>,
        what: &'static str,
        item: T,
        work: impl FnOnce(&Context, T) -> T + Send + 'static,
    ) -> impl Future<Output = Result<T>> + Send {
        let given = item.clone();
        let answer = uri.map(|uri| self.ask(uri, what, |context| Some(work(context, given))));
        async move {
            let rest = match answer {
                Some(answer) => answer.await?,
                None => None,
            };
            Ok(rest.unwrap_or(item))
        }
    }

    /// Asks something about a document that may be in no job, may need findings, and may take long: the work
    /// can ask whether nobody waits for it any more.
    pub(crate) fn ask_of<T: Send + 'static>(
        &self,
        uri: lsp::Uri,
        what: &'static str,
        needs: Needs,
        work: impl FnOnce(Option<&Context>, Stop<'_>) -> T + Send + 'static,
    ) -> oneshot::Receiver<T> {
        let (to, answer) = oneshot::channel();
        let work = Box::new(|context: Option<&Context>| give(to, |gone| work(context, gone)));
        self.enqueue(Event::Asked { uri, what, needs, work });
        answer
    }

    /// Asks something about the job that a path lies in, if it lies in one.
    pub(crate) fn ask_of_job<T: Send + 'static>(
        &self,
        path: PathBuf,
        what: &'static str,
        needs: Needs,
        work: impl FnOnce(Option<(&JobState, &ClientHandle)>) -> T + Send + 'static,
    ) -> oneshot::Receiver<T> {
        let (to, answer) = oneshot::channel();
        let work: OfJob = Box::new(|job| give(to, |_| work(job)));
        self.enqueue(Event::AskedOfJob { path, what, needs, work });
        answer
    }

    /// Asks something about all jobs.
    pub(crate) fn ask_of_all<T: Send + 'static>(
        &self,
        what: &'static str,
        needs: Needs,
        work: impl FnOnce(&mut dyn Iterator<Item = Snapshot>, &ClientHandle, Stop<'_>) -> T + Send + 'static,
    ) -> oneshot::Receiver<T> {
        let (to, answer) = oneshot::channel();
        let work = Box::new(|jobs: &mut dyn Iterator<Item = Snapshot>, client: &ClientHandle| {
            give(to, |gone| work(jobs, client, gone));
        });
        self.enqueue(Event::AskedOfAll { what, needs, work });
        answer
    }
}

/// The document that something the client was given, and gives back, belongs to.
pub(crate) fn uri_in(data: Option<&lsp::LSPAny>) -> Option<lsp::Uri> {
    serde_json::from_value(data?.get("uri")?.clone()).ok()
}

/// What a request is answered whose work was given up: the server ends, or a fault of its own.
pub(crate) fn given_up(_: oneshot::error::RecvError) -> Error {
    Error { code: ErrorCode::InternalError, message: "the request was given up".into(), data: None }
}
