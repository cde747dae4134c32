//! The wire: every message becomes an event in one ordered queue.
//!
//! Handlers run at once and in no order once they wait, so each puts its event into the queue
//! before its first `await`, and waits for nothing but its own answer.

use crate::abilities::Abilities;
use crate::methods::{Answer, Question, code_action, library};
use crate::mouth::{Mouth, mouth};
use crate::outlet::Outlet;
use crate::owner::{self, Event};
use crate::{parent, uri};
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::runtime::{Builder, Handle};
use tokio::sync::oneshot;
use tower_lsp_server::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp_server::ls_types as lsp;
use tower_lsp_server::{Client, LanguageServer, LspService, Server as Wire};

/// Handlers wait for answers only, so any number may wait: were there a limit, a few slow answers
/// would keep edits from being seen.
const WAITING_AT_ONCE: usize = 4096;

/// `LSPErrorCodes.RequestFailed`: the request is right, and what it asks for cannot be.
const REQUEST_FAILED: i64 = -32803;

/// Files whose changes on disk matter.
const WATCHED: [&str; 2] = ["**/*.{yaml,yml,ics,csv,epw,tm2,tm3}", "**/.gitignore"];

/// Serves one client over standard input and output until it goes. Success if it asked to shut
/// down first.
pub fn serve() -> ExitCode {
    let runtime = match Builder::new_current_thread().enable_all().build() {
        Ok(runtime) => runtime,
        Err(why) => {
            tracing::error!("no runtime: {why}");
            return ExitCode::FAILURE;
        }
    };
    let orderly = runtime.block_on(serve_on(tokio::io::stdin(), tokio::io::stdout()));
    // A read of standard input may never return.
    runtime.shutdown_background();
    if orderly { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Serves one client over a pair of streams until it goes; whether it asked to shut down first.
pub async fn serve_on(input: impl AsyncRead + Unpin, output: impl AsyncWrite) -> bool {
    let orderly = Arc::new(AtomicBool::new(false));
    let (tell_parent, parent) = oneshot::channel();
    let shut = orderly.clone();
    let (mouth, to_wire, throat) = mouth();
    let server = move |client| Server {
        client,
        mouth,
        abilities: OnceLock::new(),
        folders: Mutex::default(),
        events: OnceLock::new(),
        orderly: shut,
        tell_parent: Mutex::new(Some(tell_parent)),
    };
    let (service, socket) =
        LspService::build(server).custom_method("drycall/libraryText", Server::library_text).finish();
    let wire = Wire::new(input, to_wire, socket).concurrency_level(WAITING_AT_ONCE);
    let parent_gone = async {
        match parent.await {
            Ok(process) => parent::gone(process).await,
            Err(_) => std::future::pending().await,
        }
    };
    // When the wire is done it hangs up, and the throat ends with its last word.
    let serving = async {
        wire.serve(service).await;
        std::future::pending::<()>().await;
    };
    tokio::select! {
        () = serving => {}
        spoken = throat.speak(output) => {
            if let Err(why) = spoken {
                tracing::warn!("the client does not listen any more: {why}");
            }
        }
        () = parent_gone => tracing::warn!("the editor is gone"),
    }
    orderly.load(Ordering::SeqCst)
}

struct Server {
    client: Client,
    mouth: Mouth,
    abilities: OnceLock<Abilities>,
    folders: Mutex<Vec<PathBuf>>,
    events: OnceLock<Sender<Event>>,
    orderly: Arc<AtomicBool>,
    tell_parent: Mutex<Option<oneshot::Sender<u32>>>,
}

/// The parameters of `drycall/libraryText`.
#[derive(serde::Deserialize, serde::Serialize)]
struct LibraryText {
    uri: lsp::Uri,
}

impl Server {
    fn tell(&self, event: Event) {
        if self.events.get().is_none_or(|events| events.send(event).is_err()) {
            tracing::warn!("an event is left out: the server has not started, or has ended");
        }
    }

    /// Asks something about a document; nothing if it is in no job.
    async fn ask<T>(&self, uri: lsp::Uri, question: impl FnOnce(Answer<T>) -> Question) -> Result<Option<T>> {
        let (answer, answered) = oneshot::channel();
        self.tell(Event::Asked { uri, question: question(answer) });
        Ok(answered.await.ok().flatten())
    }

    /// Asks something that may be refused, in words.
    async fn ask_leave<T>(
        &self,
        uri: lsp::Uri,
        question: impl FnOnce(Answer<std::result::Result<T, String>>) -> Question,
    ) -> Result<Option<T>> {
        let refused = |why: String| Error {
            code: ErrorCode::ServerError(REQUEST_FAILED),
            message: why.into(),
            data: None,
        };
        self.ask(uri, question).await?.transpose().map_err(refused)
    }

    /// The text behind a `drycall-library:` URI.
    async fn library_text(&self, params: LibraryText) -> Result<String> {
        let text = library::text(&params.uri);
        text.map(str::to_owned)
            .ok_or_else(|| Error::invalid_params("there is no such unit type in the library"))
    }
}

/// Asks the client to tell of changes on disk.
async fn watch_files(client: Client) {
    let watchers = WATCHED.map(|glob| lsp::FileSystemWatcher {
        glob_pattern: lsp::GlobPattern::String(glob.to_owned()),
        kind: None,
    });
    let options = lsp::DidChangeWatchedFilesRegistrationOptions { watchers: watchers.to_vec() };
    let registration = lsp::Registration {
        id: "drycall-files".to_owned(),
        method: "workspace/didChangeWatchedFiles".to_owned(),
        register_options: serde_json::to_value(options).ok(),
    };
    if let Err(why) = client.register_capability(vec![registration]).await {
        tracing::warn!("the client does not watch files: {why}");
    }
}

/// The folders a client says it works on; the older ways of saying it count where the newer is silent.
fn folders(params: &lsp::InitializeParams) -> Vec<PathBuf> {
    if let Some(folders) = &params.workspace_folders {
        return folders.iter().filter_map(|folder| uri::to_path(&folder.uri)).collect();
    }
    #[allow(deprecated)] // a client may know no other way
    let (root_uri, root_path) = (&params.root_uri, &params.root_path);
    let by_uri = root_uri.as_ref().and_then(uri::to_path);
    by_uri.or_else(|| root_path.as_ref().map(PathBuf::from)).into_iter().collect()
}

fn capabilities(abilities: &Abilities) -> lsp::ServerCapabilities {
    let sync = lsp::TextDocumentSyncOptions {
        open_close: Some(true),
        change: Some(lsp::TextDocumentSyncKind::INCREMENTAL),
        ..lsp::TextDocumentSyncOptions::default()
    };
    lsp::ServerCapabilities {
        position_encoding: Some(abilities.encoding_kind()),
        text_document_sync: Some(lsp::TextDocumentSyncCapability::Options(sync)),
        hover_provider: Some(lsp::HoverProviderCapability::Simple(true)),
        definition_provider: Some(lsp::OneOf::Left(true)),
        references_provider: Some(lsp::OneOf::Left(true)),
        document_highlight_provider: Some(lsp::OneOf::Left(true)),
        rename_provider: Some(lsp::OneOf::Right(lsp::RenameOptions {
            prepare_provider: Some(true),
            work_done_progress_options: lsp::WorkDoneProgressOptions::default(),
        })),
        document_symbol_provider: Some(lsp::OneOf::Left(true)),
        code_action_provider: abilities.action_literals.then(|| {
            lsp::CodeActionProviderCapability::Options(lsp::CodeActionOptions {
                code_action_kinds: Some(vec![lsp::CodeActionKind::QUICKFIX, code_action::FIX_ALL]),
                ..lsp::CodeActionOptions::default()
            })
        }),
        workspace: Some(lsp::WorkspaceServerCapabilities {
            workspace_folders: Some(lsp::WorkspaceFoldersServerCapabilities {
                supported: Some(true),
                change_notifications: Some(lsp::OneOf::Left(true)),
            }),
            ..lsp::WorkspaceServerCapabilities::default()
        }),
        ..lsp::ServerCapabilities::default()
    }
}

impl LanguageServer for Server {
    async fn initialize(&self, params: lsp::InitializeParams) -> Result<lsp::InitializeResult> {
        let abilities = Abilities::of(&params);
        let capabilities = capabilities(&abilities);
        *self.folders.lock().unwrap_or_else(PoisonError::into_inner) = folders(&params);
        let outlet = Outlet {
            client: self.client.clone(),
            mouth: self.mouth.clone(),
            abilities: abilities.clone(),
            runtime: Handle::current(),
        };
        let _ = self.events.set(owner::start(outlet));
        let _ = self.abilities.set(abilities);
        let tell = self.tell_parent.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let (Some(tell), Some(process)) = (tell, params.process_id) {
            let _ = tell.send(process);
        }
        let server_info = lsp::ServerInfo {
            name: "drycall".to_owned(),
            version: Some(env!("CARGO_PKG_VERSION").to_owned()),
        };
        Ok(lsp::InitializeResult {
            capabilities,
            server_info: Some(server_info),
            ..lsp::InitializeResult::default()
        })
    }

    async fn initialized(&self, _: lsp::InitializedParams) {
        let folders = std::mem::take(&mut *self.folders.lock().unwrap_or_else(PoisonError::into_inner));
        self.tell(Event::Started(folders));
        if self.abilities.get().is_some_and(|can| can.watches) {
            // Not awaited: a handler that waits for the client would outlive one that hangs up.
            Handle::current().spawn(watch_files(self.client.clone()));
        }
    }

    async fn shutdown(&self) -> Result<()> {
        self.orderly.store(true, Ordering::SeqCst);
        Ok(())
    }

    async fn did_open(&self, params: lsp::DidOpenTextDocumentParams) {
        let lsp::TextDocumentItem { uri, version, text, .. } = params.text_document;
        self.tell(Event::Opened { uri, version, text });
    }

    async fn did_change(&self, params: lsp::DidChangeTextDocumentParams) {
        let lsp::VersionedTextDocumentIdentifier { uri, version } = params.text_document;
        self.tell(Event::Changed { uri, version, changes: params.content_changes });
    }

    async fn did_close(&self, params: lsp::DidCloseTextDocumentParams) {
        self.tell(Event::Closed(params.text_document.uri));
    }

    async fn did_change_watched_files(&self, params: lsp::DidChangeWatchedFilesParams) {
        let paths = params.changes.iter().filter_map(|change| uri::to_path(&change.uri));
        self.tell(Event::Watched(paths.collect()));
    }

    async fn did_change_workspace_folders(&self, params: lsp::DidChangeWorkspaceFoldersParams) {
        let paths =
            |folders: &[lsp::WorkspaceFolder]| folders.iter().filter_map(|f| uri::to_path(&f.uri)).collect();
        let event = params.event;
        self.tell(Event::Folders { added: paths(&event.added), removed: paths(&event.removed) });
    }

    async fn hover(&self, params: lsp::HoverParams) -> Result<Option<lsp::Hover>> {
        let at = params.text_document_position_params;
        self.ask(at.text_document.uri, |answer| Question::Hover(at.position, answer)).await
    }

    async fn goto_definition(
        &self,
        params: lsp::GotoDefinitionParams,
    ) -> Result<Option<lsp::GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        self.ask(at.text_document.uri, |answer| Question::Definition(at.position, answer)).await
    }

    async fn references(&self, params: lsp::ReferenceParams) -> Result<Option<Vec<lsp::Location>>> {
        let (at, declared) = (params.text_document_position, params.context.include_declaration);
        self.ask(at.text_document.uri, |answer| Question::References(at.position, declared, answer)).await
    }

    async fn document_highlight(
        &self,
        params: lsp::DocumentHighlightParams,
    ) -> Result<Option<Vec<lsp::DocumentHighlight>>> {
        let at = params.text_document_position_params;
        self.ask(at.text_document.uri, |answer| Question::Highlights(at.position, answer)).await
    }

    async fn document_symbol(
        &self,
        params: lsp::DocumentSymbolParams,
    ) -> Result<Option<lsp::DocumentSymbolResponse>> {
        self.ask(params.text_document.uri, Question::Symbols).await
    }

    async fn code_action(&self, params: lsp::CodeActionParams) -> Result<Option<lsp::CodeActionResponse>> {
        let (range, only) = (params.range, params.context.only);
        self.ask(params.text_document.uri, |answer| Question::CodeActions(range, only, answer)).await
    }

    async fn prepare_rename(
        &self,
        params: lsp::TextDocumentPositionParams,
    ) -> Result<Option<lsp::PrepareRenameResponse>> {
        let at = params.position;
        self.ask_leave(params.text_document.uri, |answer| Question::PrepareRename(at, answer)).await
    }

    async fn rename(&self, params: lsp::RenameParams) -> Result<Option<lsp::WorkspaceEdit>> {
        let (at, new) = (params.text_document_position, params.new_name);
        self.ask_leave(at.text_document.uri, |answer| Question::Rename(at.position, new, answer)).await
    }
}
