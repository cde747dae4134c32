//! The wire: every message becomes an event in one ordered queue.
//!
//! Handlers run at once and in no order once they wait, so each puts its event into the queue
//! before its first `await`, and waits for nothing but its own answer.

use crate::abilities::{Abilities, folders};
use crate::capabilities::capabilities;
use crate::claims::Claims;
use crate::methods::command::{self, Command};
use crate::methods::completion::resolve;
use crate::methods::diagnostic::{self, Diagnosis};
use crate::methods::explain::explain;
use crate::methods::{Answer, Question, library};
use crate::mouth::Mouth;
use crate::outlet::Outlet;
use crate::owner::{self, Event};
use crate::settings::{self, Settings};
use crate::uri;
use crate::watch::watch_files;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use tokio::runtime::Handle;
use tokio::sync::oneshot;
use tower_lsp_server::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp_server::ls_types as lsp;
use tower_lsp_server::{Client, LanguageServer};

/// `LSPErrorCodes.RequestFailed`: the request is right, and what it asks for cannot be.
const REQUEST_FAILED: i64 = -32803;

/// What the handlers share.
pub(crate) struct Server {
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
pub(crate) struct LibraryText {
    uri: lsp::Uri,
}

impl Server {
    pub(crate) fn new(
        client: Client,
        mouth: Mouth,
        orderly: Arc<AtomicBool>,
        tell_parent: oneshot::Sender<u32>,
    ) -> Server {
        Server {
            client,
            mouth,
            abilities: OnceLock::new(),
            folders: Mutex::default(),
            events: OnceLock::new(),
            orderly,
            tell_parent: Mutex::new(Some(tell_parent)),
        }
    }

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

    /// Asks the client for the user's settings, if it can tell them.
    fn ask_settings(&self) {
        let tells = self.abilities.get().is_some_and(|can| can.tells_settings);
        if let Some(events) = self.events.get().filter(|_| tells) {
            Handle::current().spawn(settings::ask(self.client.clone(), events.clone()));
        }
    }

    /// The text behind a `drycall-library:` URI.
    pub(crate) async fn library_text(&self, params: LibraryText) -> Result<String> {
        let text = library::text(&params.uri);
        text.map(str::to_owned)
            .ok_or_else(|| Error::invalid_params("there is no such unit type in the library"))
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
            claims: Claims::default(),
            abilities: abilities.clone(),
            settings: Settings::of(params.initialization_options.as_ref().unwrap_or(&lsp::LSPAny::Null)),
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
        if self.abilities.get().is_some_and(|can| can.settings_change) {
            Handle::current().spawn(settings::follow(self.client.clone()));
        }
        self.ask_settings();
    }

    async fn shutdown(&self) -> Result<()> {
        self.orderly.store(true, Ordering::SeqCst);
        Ok(())
    }

    async fn did_change_configuration(&self, params: lsp::DidChangeConfigurationParams) {
        match Settings::sent(&params.settings) {
            Some(settings) => self.tell(Event::Set(settings)),
            None => self.ask_settings(),
        }
    }

    async fn did_open(&self, params: lsp::DidOpenTextDocumentParams) {
        let lsp::TextDocumentItem { uri, version, text, .. } = params.text_document;
        self.tell(Event::Opened { uri, version, text });
    }

    async fn did_change(&self, params: lsp::DidChangeTextDocumentParams) {
        let lsp::VersionedTextDocumentIdentifier { uri, version } = params.text_document;
        self.tell(Event::Changed { uri, version, changes: params.content_changes });
    }

    async fn did_save(&self, params: lsp::DidSaveTextDocumentParams) {
        self.tell(Event::Watched(uri::to_path(&params.text_document.uri).into_iter().collect()));
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

    async fn completion(&self, params: lsp::CompletionParams) -> Result<Option<lsp::CompletionResponse>> {
        let lsp::CompletionParams { text_document_position: at, context, .. } = params;
        let question = |answer| Question::Completion(at.position, context, answer);
        self.ask(at.text_document.uri, question).await
    }

    async fn completion_resolve(&self, item: lsp::CompletionItem) -> Result<lsp::CompletionItem> {
        let Some(uri) = resolve::document(&item) else { return Ok(item) };
        let question = |answer| Question::Completed(Box::new(item.clone()), answer);
        Ok(self.ask(uri, question).await?.unwrap_or(item))
    }

    async fn diagnostic(
        &self,
        params: lsp::DocumentDiagnosticParams,
    ) -> Result<lsp::DocumentDiagnosticReportResult> {
        let (answer, answered) = oneshot::channel();
        let (uri, previous) = (params.text_document.uri, params.previous_result_id);
        self.tell(Event::Diagnosed(Diagnosis::Document(uri, previous, answer)));
        Ok(diagnostic::answer(answered.await.unwrap_or_else(|_| diagnostic::nothing())))
    }

    async fn workspace_diagnostic(
        &self,
        params: lsp::WorkspaceDiagnosticParams,
    ) -> Result<lsp::WorkspaceDiagnosticReportResult> {
        let (answer, answered) = oneshot::channel();
        self.tell(Event::Diagnosed(Diagnosis::All(params.previous_result_ids, answer)));
        Ok(answered.await.unwrap_or_default().into())
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

    async fn semantic_tokens_full(
        &self,
        params: lsp::SemanticTokensParams,
    ) -> Result<Option<lsp::SemanticTokensResult>> {
        self.ask(params.text_document.uri, Question::Tokens).await
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: lsp::SemanticTokensDeltaParams,
    ) -> Result<Option<lsp::SemanticTokensFullDeltaResult>> {
        let held = params.previous_result_id;
        self.ask(params.text_document.uri, |answer| Question::TokensSince(held, answer)).await
    }

    async fn semantic_tokens_range(
        &self,
        params: lsp::SemanticTokensRangeParams,
    ) -> Result<Option<lsp::SemanticTokensRangeResult>> {
        self.ask(params.text_document.uri, |answer| Question::TokensIn(params.range, answer)).await
    }

    async fn folding_range(&self, params: lsp::FoldingRangeParams) -> Result<Option<Vec<lsp::FoldingRange>>> {
        self.ask(params.text_document.uri, Question::Folding).await
    }

    async fn selection_range(
        &self,
        params: lsp::SelectionRangeParams,
    ) -> Result<Option<Vec<lsp::SelectionRange>>> {
        self.ask(params.text_document.uri, |answer| Question::Selections(params.positions, answer)).await
    }

    async fn document_link(&self, params: lsp::DocumentLinkParams) -> Result<Option<Vec<lsp::DocumentLink>>> {
        self.ask(params.text_document.uri, Question::Links).await
    }

    async fn symbol(
        &self,
        params: lsp::WorkspaceSymbolParams,
    ) -> Result<Option<lsp::WorkspaceSymbolResponse>> {
        let (answer, answered) = oneshot::channel();
        self.tell(Event::Sought { query: params.query, answer });
        Ok(answered.await.ok().flatten())
    }

    async fn formatting(&self, params: lsp::DocumentFormattingParams) -> Result<Option<Vec<lsp::TextEdit>>> {
        self.ask(params.text_document.uri, |answer| Question::Format(None, answer)).await
    }

    async fn range_formatting(
        &self,
        params: lsp::DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<lsp::TextEdit>>> {
        self.ask(params.text_document.uri, |answer| Question::Format(Some(params.range), answer)).await
    }

    async fn execute_command(&self, params: lsp::ExecuteCommandParams) -> Result<Option<lsp::LSPAny>> {
        let (answer, answered) = oneshot::channel();
        let (path, order) = match command::parse(params, answer).map_err(Error::invalid_params)? {
            Command::Explain(check) => return explain(&check).map(Some).map_err(Error::invalid_params),
            Command::OfJob(path, order) => (path, order),
        };
        self.tell(Event::Commanded { path, order });
        let done = answered.await;
        done.unwrap_or_else(|_| Err("it is in no job: there is no site.yaml above it".to_owned()))
            .map(Some)
            .map_err(Error::invalid_params)
    }

    async fn code_lens(&self, params: lsp::CodeLensParams) -> Result<Option<Vec<lsp::CodeLens>>> {
        self.ask(params.text_document.uri, Question::Lenses).await
    }

    async fn code_lens_resolve(&self, lens: lsp::CodeLens) -> Result<lsp::CodeLens> {
        let Some(uri) = uri_in(lens.data.as_ref()) else { return Ok(lens) };
        let resolved = self.ask(uri, |answer| Question::ResolveLens(lens.clone(), answer)).await?;
        Ok(resolved.unwrap_or(lens))
    }

    async fn inlay_hint(&self, params: lsp::InlayHintParams) -> Result<Option<Vec<lsp::InlayHint>>> {
        self.ask(params.text_document.uri, |answer| Question::Hints(params.range, answer)).await
    }

    async fn inlay_hint_resolve(&self, hint: lsp::InlayHint) -> Result<lsp::InlayHint> {
        let Some(uri) = uri_in(hint.data.as_ref()) else { return Ok(hint) };
        let boxed = Box::new(hint.clone());
        Ok(self.ask(uri, |answer| Question::ResolveHint(boxed, answer)).await?.unwrap_or(hint))
    }

    async fn prepare_call_hierarchy(
        &self,
        params: lsp::CallHierarchyPrepareParams,
    ) -> Result<Option<Vec<lsp::CallHierarchyItem>>> {
        let at = params.text_document_position_params;
        self.ask(at.text_document.uri, |answer| Question::Drives(at.position, answer)).await
    }

    async fn incoming_calls(
        &self,
        params: lsp::CallHierarchyIncomingCallsParams,
    ) -> Result<Option<Vec<lsp::CallHierarchyIncomingCall>>> {
        let item = Box::new(params.item);
        self.ask(item.uri.clone(), |answer| Question::Drivers(item, answer)).await
    }

    async fn outgoing_calls(
        &self,
        params: lsp::CallHierarchyOutgoingCallsParams,
    ) -> Result<Option<Vec<lsp::CallHierarchyOutgoingCall>>> {
        let item = Box::new(params.item);
        self.ask(item.uri.clone(), |answer| Question::Driven(item, answer)).await
    }
}

/// The document that something the client was given, and gives back, belongs to.
fn uri_in(data: Option<&lsp::LSPAny>) -> Option<lsp::Uri> {
    serde_json::from_value(data?.get("uri")?.clone()).ok()
}
