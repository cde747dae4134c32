//! What a client may ask about a document, one file a method.

mod chart;
pub(crate) mod code_action;
pub(crate) mod command;
pub(crate) mod completion;
mod definition;
pub(crate) mod diagnostic;
mod drives;
pub(crate) mod explain;
pub(crate) mod find;
mod folding;
mod format;
mod hints;
mod hover;
mod lens;
pub(crate) mod library;
mod links;
mod places;
mod references;
mod rename;
mod review;
mod selection;
mod subject;
mod symbols;
pub(crate) mod tokens;
mod week;

use crate::convert;
use crate::outlet::Outlet;
use crate::shared::Snapshot;
use crate::slow::Turn;
use model::{EntryId, FileId};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use tokio::sync::oneshot;
use tower_lsp_server::ls_types as lsp;
use workspace::Stop;

/// Where an answer goes; closed when the client has cancelled.
pub(crate) type Answer<T> = oneshot::Sender<Option<T>>;

/// A question, and where its answer goes.
pub(crate) enum Question {
    Hover(lsp::Position, Answer<lsp::Hover>),
    Definition(lsp::Position, Answer<lsp::GotoDefinitionResponse>),
    /// Whether the declaration is wanted too.
    References(lsp::Position, bool, Answer<Vec<lsp::Location>>),
    Highlights(lsp::Position, Answer<Vec<lsp::DocumentHighlight>>),
    /// A range and the kinds that are wanted.
    CodeActions(lsp::Range, Option<Vec<lsp::CodeActionKind>>, Answer<lsp::CodeActionResponse>),
    Completion(lsp::Position, Option<lsp::CompletionContext>, Answer<lsp::CompletionResponse>),
    /// An item that is looked at.
    Completed(Box<lsp::CompletionItem>, Answer<lsp::CompletionItem>),
    Symbols(Answer<lsp::DocumentSymbolResponse>),
    /// The answer may be a refusal, in words.
    PrepareRename(lsp::Position, Answer<Result<lsp::PrepareRenameResponse, String>>),
    Rename(lsp::Position, String, Answer<Result<lsp::WorkspaceEdit, String>>),
    Tokens(Answer<lsp::SemanticTokensResult>),
    TokensIn(lsp::Range, Answer<lsp::SemanticTokensRangeResult>),
    /// With the number of the tokens that the client holds.
    TokensSince(String, Answer<lsp::SemanticTokensFullDeltaResult>),
    Folding(Answer<Vec<lsp::FoldingRange>>),
    Selections(Vec<lsp::Position>, Answer<Vec<lsp::SelectionRange>>),
    Links(Answer<Vec<lsp::DocumentLink>>),
    Drives(lsp::Position, Answer<Vec<lsp::CallHierarchyItem>>),
    Drivers(Box<lsp::CallHierarchyItem>, Answer<Vec<lsp::CallHierarchyIncomingCall>>),
    Driven(Box<lsp::CallHierarchyItem>, Answer<Vec<lsp::CallHierarchyOutgoingCall>>),
    Lenses(Answer<Vec<lsp::CodeLens>>),
    ResolveLens(lsp::CodeLens, Answer<lsp::CodeLens>),
    Hints(lsp::Range, Answer<Vec<lsp::InlayHint>>),
    ResolveHint(Box<lsp::InlayHint>, Answer<lsp::InlayHint>),
    /// Of these lines, or of all.
    Format(Option<lsp::Range>, Answer<Vec<lsp::TextEdit>>),
}

impl Question {
    /// Whether the answer goes by what was found, which then has to be worked out first.
    pub(crate) fn is_of_findings(&self) -> bool {
        matches!(self, Question::CodeActions(..))
    }

    /// Answers it, unless nobody waits for the answer any more.
    pub(crate) fn answer(self, reading: &Reading) {
        match self {
            Question::Hover(at, to) => give(to, "a hover", || hover::hover(reading, at)),
            Question::Definition(at, to) => give(to, "a definition", || definition::definition(reading, at)),
            Question::References(at, declared, to) => {
                give(to, "references", || references::references(reading, at, declared));
            }
            Question::Highlights(at, to) => give(to, "highlights", || references::highlights(reading, at)),
            Question::CodeActions(range, only, to) => {
                give_while(to, "code actions", |gone| {
                    code_action::code_actions(reading, range, only.as_deref(), gone)
                });
            }
            Question::Completion(at, context, to) => {
                give(to, "a completion", || completion::completion(reading, at, context.as_ref()));
            }
            Question::Completed(item, to) => {
                give(to, "a completed item", || Some(completion::resolve::resolve(reading, *item)));
            }
            Question::Symbols(to) => give(to, "document symbols", || symbols::symbols(reading)),
            Question::PrepareRename(at, to) => give(to, "a renaming", || rename::prepare(reading, at)),
            Question::Rename(at, new, to) => give(to, "a renaming", || rename::rename(reading, at, &new)),
            Question::Tokens(to) => {
                give(to, "tokens", || tokens::full(reading).map(lsp::SemanticTokensResult::Tokens));
            }
            Question::TokensIn(range, to) => give(to, "tokens", || {
                tokens::range(reading, range).map(lsp::SemanticTokensRangeResult::Tokens)
            }),
            Question::TokensSince(id, to) => give(to, "tokens", || tokens::delta(reading, &id)),
            Question::Folding(to) => give(to, "folding", || folding::ranges(reading)),
            Question::Selections(at, to) => give(to, "selections", || selection::ranges(reading, &at)),
            Question::Format(range, to) => give(to, "formatting", || format::format(reading, range)),
            Question::Drives(at, to) => give(to, "what drives", || drives::prepare(reading, at)),
            Question::Drivers(item, to) => give(to, "what drives", || drives::incoming(reading, *item)),
            Question::Driven(item, to) => give(to, "what is driven", || drives::outgoing(reading, *item)),
            Question::Lenses(to) => give(to, "lenses", || lens::lenses(reading)),
            Question::ResolveLens(lens, to) => give(to, "a lens", || Some(lens::resolve(reading, lens))),
            Question::Hints(range, to) => give(to, "hints", || hints::hints(reading, range)),
            Question::ResolveHint(hint, to) => give(to, "a hint", || Some(hints::resolve(reading, *hint))),
            Question::Links(to) => give(to, "links", || links::links(reading)),
        }
    }
}

pub(crate) fn give<T>(to: Answer<T>, what: &'static str, answer: impl FnOnce() -> Option<T>) {
    give_while(to, what, |_| answer());
}

/// Gives an answer that takes long; it is told whether the client has cancelled.
fn give_while<T>(to: Answer<T>, what: &'static str, answer: impl FnOnce(Stop<'_>) -> Option<T>) {
    if !to.is_closed() {
        let _turn = Turn::begin(what);
        let answer = answer(&|| to.is_closed());
        // The client may cancel meanwhile.
        let _ = to.send(answer);
    }
}

/// The job as it stood when the question came, and the document asked about.
pub(crate) struct Reading {
    pub(crate) held: Snapshot,
    pub(crate) outlet: Outlet,
    pub(crate) file: FileId,
    /// Set while an edit waits for this reading to end.
    pub(crate) writer_waits: Arc<AtomicBool>,
}

impl Reading {
    /// The entry at a position, and the byte in its text.
    fn entry_at(&self, at: lsp::Position) -> Option<(EntryId, u32)> {
        let job = self.held.workspace.job();
        let text = job.file(self.file)?.file().text();
        job.entry_at(self.file, convert::offset(text, at, self.outlet.abilities.encoding))
    }
}
