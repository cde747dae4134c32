//! The wire: what a client may send, one line a method; what answers it has a file a method.
//!
//! Requests are no `async` functions, so that each is in the queue when its method returns; notifications
//! wait for nothing.

pub(crate) mod code_action;
pub(crate) mod command;
mod completion;
mod definition;
pub(crate) mod diagnostic;
mod drives;
mod find;
mod folding;
mod format;
mod hints;
mod hover;
mod lens;
mod links;
mod pages;
mod places;
mod references;
mod rename;
mod selection;
mod subject;
mod symbols;
pub(crate) mod tokens;
mod unit_page;

use crate::capabilities::capabilities;
use crate::owner::Event;
use crate::server::{Server, given_up, uri_in};
use crate::settings::Settings;
use crate::shared::Needs;
use crate::uri;
use command::Command;
use completion::resolve;
use tower_lsp_server::LanguageServer;
use tower_lsp_server::jsonrpc::{Error, Result};
use tower_lsp_server::ls_types as lsp;

impl LanguageServer for Server {
    async fn initialize(&self, params: lsp::InitializeParams) -> Result<lsp::InitializeResult> {
        let server_info = lsp::ServerInfo {
            name: "drycall".to_owned(),
            version: Some(env!("CARGO_PKG_VERSION").to_owned()),
        };
        Ok(lsp::InitializeResult {
            capabilities: capabilities(&self.begin(&params)),
            server_info: Some(server_info),
            ..lsp::InitializeResult::default()
        })
    }

    async fn initialized(&self, _: lsp::InitializedParams) {
        self.started();
    }

    async fn shutdown(&self) -> Result<()> {
        self.end();
        Ok(())
    }

    async fn did_change_configuration(&self, params: lsp::DidChangeConfigurationParams) {
        match Settings::sent(&params.settings) {
            Some(settings) => self.enqueue(Event::Set(settings)),
            None => self.ask_settings(),
        }
    }

    async fn did_open(&self, params: lsp::DidOpenTextDocumentParams) {
        let lsp::TextDocumentItem { uri, version, text, .. } = params.text_document;
        self.enqueue(Event::Opened { uri, version, text });
    }

    async fn did_change(&self, params: lsp::DidChangeTextDocumentParams) {
        let lsp::VersionedTextDocumentIdentifier { uri, version } = params.text_document;
        self.enqueue(Event::Changed { uri, version, changes: params.content_changes });
    }

    async fn did_save(&self, params: lsp::DidSaveTextDocumentParams) {
        self.enqueue(Event::Watched(uri::to_path(&params.text_document.uri).into_iter().collect()));
    }

    async fn did_close(&self, params: lsp::DidCloseTextDocumentParams) {
        self.enqueue(Event::Closed(params.text_document.uri));
    }

    async fn did_change_watched_files(&self, params: lsp::DidChangeWatchedFilesParams) {
        let paths = params.changes.iter().filter_map(|change| uri::to_path(&change.uri));
        self.enqueue(Event::Watched(paths.collect()));
    }

    async fn did_change_workspace_folders(&self, params: lsp::DidChangeWorkspaceFoldersParams) {
        let paths =
            |folders: &[lsp::WorkspaceFolder]| folders.iter().filter_map(|f| uri::to_path(&f.uri)).collect();
        let event = params.event;
        self.enqueue(Event::Folders { added: paths(&event.added), removed: paths(&event.removed) });
    }

    fn hover(&self, params: lsp::HoverParams) -> impl Future<Output = Result<Option<lsp::Hover>>> + Send {
        let lsp::TextDocumentPositionParams { text_document, position } =
            params.text_document_position_params;
        self.ask(text_document.uri, "a hover", move |context| hover::hover(context, position))
    }

    fn completion(
        &self,
        params: lsp::CompletionParams,
    ) -> impl Future<Output = Result<Option<lsp::CompletionResponse>>> + Send {
        let (at, typed) = (params.text_document_position, params.context);
        self.ask(at.text_document.uri, "a completion", move |context| {
            completion::completion(context, at.position, typed.as_ref())
        })
    }

    fn completion_resolve(
        &self,
        params: lsp::CompletionItem,
    ) -> impl Future<Output = Result<lsp::CompletionItem>> + Send {
        self.ask_rest(resolve::document(&params), "a completed item", params, resolve::resolve)
    }

    fn diagnostic(
        &self,
        params: lsp::DocumentDiagnosticParams,
    ) -> impl Future<Output = Result<lsp::DocumentDiagnosticReportResult>> + Send {
        let (uri, previous) = (params.text_document.uri, params.previous_result_id);
        let report = self.ask_of(uri, "a file's findings", Needs::Findings, move |context, _| {
            diagnostic::document(context, previous.as_deref())
        });
        async move { report.await.map_err(given_up) }
    }

    fn workspace_diagnostic(
        &self,
        params: lsp::WorkspaceDiagnosticParams,
    ) -> impl Future<Output = Result<lsp::WorkspaceDiagnosticReportResult>> + Send {
        let previous = params.previous_result_ids;
        let report = self.ask_of_all("all findings", Needs::Findings, |jobs, client, gone| {
            diagnostic::all(jobs, client, previous, gone)
        });
        async move { Ok(report.await.map_err(given_up)?.into()) }
    }

    fn goto_definition(
        &self,
        params: lsp::GotoDefinitionParams,
    ) -> impl Future<Output = Result<Option<lsp::GotoDefinitionResponse>>> + Send {
        let at = params.text_document_position_params;
        self.ask(at.text_document.uri, "a definition", move |context| {
            definition::definition(context, at.position)
        })
    }

    fn references(
        &self,
        params: lsp::ReferenceParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::Location>>>> + Send {
        let (at, declared) = (params.text_document_position, params.context.include_declaration);
        self.ask(at.text_document.uri, "references", move |context| {
            references::references(context, at.position, declared)
        })
    }

    fn document_highlight(
        &self,
        params: lsp::DocumentHighlightParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::DocumentHighlight>>>> + Send {
        let at = params.text_document_position_params;
        self.ask(at.text_document.uri, "highlights", move |context| {
            references::highlights(context, at.position)
        })
    }

    fn document_symbol(
        &self,
        params: lsp::DocumentSymbolParams,
    ) -> impl Future<Output = Result<Option<lsp::DocumentSymbolResponse>>> + Send {
        self.ask(params.text_document.uri, "document symbols", symbols::symbols)
    }

    fn code_action(
        &self,
        params: lsp::CodeActionParams,
    ) -> impl Future<Output = Result<Option<lsp::CodeActionResponse>>> + Send {
        let (uri, range, only) = (params.text_document.uri, params.range, params.context.only);
        let actions = self.ask_of(uri, "code actions", Needs::FindingsOfItsText, move |context, gone| {
            code_action::code_actions(context?, range, only.as_deref(), gone)
        });
        async move { Ok(actions.await.ok().flatten()) }
    }

    fn prepare_rename(
        &self,
        params: lsp::TextDocumentPositionParams,
    ) -> impl Future<Output = Result<Option<lsp::PrepareRenameResponse>>> + Send {
        let at = params.position;
        self.ask_leave(params.text_document.uri, "a renaming", move |context| rename::prepare(context, at))
    }

    fn rename(
        &self,
        params: lsp::RenameParams,
    ) -> impl Future<Output = Result<Option<lsp::WorkspaceEdit>>> + Send {
        let (at, new) = (params.text_document_position, params.new_name);
        self.ask_leave(at.text_document.uri, "a renaming", move |context| {
            rename::rename(context, at.position, &new)
        })
    }

    fn semantic_tokens_full(
        &self,
        params: lsp::SemanticTokensParams,
    ) -> impl Future<Output = Result<Option<lsp::SemanticTokensResult>>> + Send {
        self.ask(params.text_document.uri, "tokens", |context| tokens::full(context).map(Into::into))
    }

    fn semantic_tokens_full_delta(
        &self,
        params: lsp::SemanticTokensDeltaParams,
    ) -> impl Future<Output = Result<Option<lsp::SemanticTokensFullDeltaResult>>> + Send {
        let known = params.previous_result_id;
        self.ask(params.text_document.uri, "tokens", move |context| tokens::delta(context, &known))
    }

    fn semantic_tokens_range(
        &self,
        params: lsp::SemanticTokensRangeParams,
    ) -> impl Future<Output = Result<Option<lsp::SemanticTokensRangeResult>>> + Send {
        self.ask(params.text_document.uri, "tokens", move |context| {
            tokens::range(context, params.range).map(Into::into)
        })
    }

    fn folding_range(
        &self,
        params: lsp::FoldingRangeParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::FoldingRange>>>> + Send {
        self.ask(params.text_document.uri, "folding", folding::ranges)
    }

    fn selection_range(
        &self,
        params: lsp::SelectionRangeParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::SelectionRange>>>> + Send {
        self.ask(params.text_document.uri, "selections", move |context| {
            selection::ranges(context, &params.positions)
        })
    }

    fn document_link(
        &self,
        params: lsp::DocumentLinkParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::DocumentLink>>>> + Send {
        self.ask(params.text_document.uri, "links", links::links)
    }

    fn symbol(
        &self,
        params: lsp::WorkspaceSymbolParams,
    ) -> impl Future<Output = Result<Option<lsp::WorkspaceSymbolResponse>>> + Send {
        let found = self.ask_of_all("a search", Needs::Nothing, move |jobs, client, _| {
            find::find(jobs, client, &params.query)
        });
        async move { Ok(found.await.ok()) }
    }

    fn formatting(
        &self,
        params: lsp::DocumentFormattingParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::TextEdit>>>> + Send {
        self.ask(params.text_document.uri, "formatting", |context| format::format(context, None))
    }

    fn range_formatting(
        &self,
        params: lsp::DocumentRangeFormattingParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::TextEdit>>>> + Send {
        self.ask(params.text_document.uri, "formatting", move |context| {
            format::format(context, Some(params.range))
        })
    }

    fn execute_command(
        &self,
        params: lsp::ExecuteCommandParams,
    ) -> impl Future<Output = Result<Option<lsp::LSPAny>>> + Send {
        let page = command::parse(params).map(|command| match command {
            Command::Done(page) => std::result::Result::Err(page),
            Command::OfJob(path, wanted) => {
                Ok(self.ask_of_job(path, "a command", wanted.needs(), |job| wanted.page(job)))
            }
        });
        async move {
            let page = match page {
                Ok(Ok(page)) => page.await.map_err(given_up)?,
                Ok(Err(page)) => page,
                Err(why) => Err(why),
            };
            page.map(Some).map_err(Error::invalid_params)
        }
    }

    fn code_lens(
        &self,
        params: lsp::CodeLensParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::CodeLens>>>> + Send {
        self.ask(params.text_document.uri, "lenses", lens::lenses)
    }

    fn code_lens_resolve(&self, params: lsp::CodeLens) -> impl Future<Output = Result<lsp::CodeLens>> + Send {
        self.ask_rest(uri_in(params.data.as_ref()), "a lens", params, lens::resolve)
    }

    fn inlay_hint(
        &self,
        params: lsp::InlayHintParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::InlayHint>>>> + Send {
        self.ask(params.text_document.uri, "hints", move |context| hints::hints(context, params.range))
    }

    fn inlay_hint_resolve(
        &self,
        params: lsp::InlayHint,
    ) -> impl Future<Output = Result<lsp::InlayHint>> + Send {
        self.ask_rest(uri_in(params.data.as_ref()), "a hint", params, hints::resolve)
    }

    fn prepare_call_hierarchy(
        &self,
        params: lsp::CallHierarchyPrepareParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::CallHierarchyItem>>>> + Send {
        let at = params.text_document_position_params;
        self.ask(at.text_document.uri, "what drives", move |context| drives::prepare(context, at.position))
    }

    fn incoming_calls(
        &self,
        params: lsp::CallHierarchyIncomingCallsParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::CallHierarchyIncomingCall>>>> + Send {
        self.ask(params.item.uri.clone(), "what drives", |context| drives::incoming(context, params.item))
    }

    fn outgoing_calls(
        &self,
        params: lsp::CallHierarchyOutgoingCallsParams,
    ) -> impl Future<Output = Result<Option<Vec<lsp::CallHierarchyOutgoingCall>>>> + Send {
        self.ask(params.item.uri.clone(), "what is driven", |context| drives::outgoing(context, params.item))
    }
}
