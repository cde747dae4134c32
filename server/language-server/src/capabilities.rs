//! What the server can do, as it says in its answer to `initialize`.

use crate::abilities::Abilities;
use crate::methods::code_action;
use crate::methods::command;
use crate::methods::diagnostic;
use crate::methods::tokens;
use tower_lsp_server::ls_types as lsp;

/// All that is announced; tests hold the list to this.
pub(crate) fn capabilities(abilities: &Abilities) -> lsp::ServerCapabilities {
    let sync = lsp::TextDocumentSyncOptions {
        open_close: Some(true),
        change: Some(lsp::TextDocumentSyncKind::INCREMENTAL),
        // Not every client watches files, and a saved `site.yaml` makes a folder a job.
        save: Some(lsp::TextDocumentSyncSaveOptions::Supported(true)),
        ..lsp::TextDocumentSyncOptions::default()
    };
    lsp::ServerCapabilities {
        position_encoding: Some(abilities.encoding_kind()),
        text_document_sync: Some(lsp::TextDocumentSyncCapability::Options(sync)),
        hover_provider: Some(lsp::HoverProviderCapability::Simple(true)),
        completion_provider: Some(lsp::CompletionOptions {
            trigger_characters: Some([" ", "{", "[", "("].map(str::to_owned).to_vec()),
            resolve_provider: Some(true),
            ..lsp::CompletionOptions::default()
        }),
        // Either way, never both: a client that asks is not sent them as well.
        diagnostic_provider: abilities.pulls.then(diagnostic::options),
        definition_provider: Some(lsp::OneOf::Left(true)),
        references_provider: Some(lsp::OneOf::Left(true)),
        document_highlight_provider: Some(lsp::OneOf::Left(true)),
        rename_provider: Some(lsp::OneOf::Right(lsp::RenameOptions {
            prepare_provider: Some(true),
            work_done_progress_options: lsp::WorkDoneProgressOptions::default(),
        })),
        semantic_tokens_provider: Some(lsp::SemanticTokensServerCapabilities::SemanticTokensOptions(
            lsp::SemanticTokensOptions {
                legend: tokens::legend(),
                range: Some(true),
                full: Some(lsp::SemanticTokensFullOptions::Delta { delta: Some(true) }),
                ..lsp::SemanticTokensOptions::default()
            },
        )),
        document_formatting_provider: Some(lsp::OneOf::Left(true)),
        document_range_formatting_provider: Some(lsp::OneOf::Left(true)),
        folding_range_provider: Some(lsp::FoldingRangeProviderCapability::Simple(true)),
        selection_range_provider: Some(lsp::SelectionRangeProviderCapability::Simple(true)),
        document_link_provider: Some(lsp::DocumentLinkOptions {
            resolve_provider: None,
            work_done_progress_options: lsp::WorkDoneProgressOptions::default(),
        }),
        call_hierarchy_provider: Some(lsp::CallHierarchyServerCapability::Simple(true)),
        code_lens_provider: Some(lsp::CodeLensOptions { resolve_provider: Some(true) }),
        inlay_hint_provider: Some(lsp::OneOf::Right(lsp::InlayHintServerCapabilities::Options(
            lsp::InlayHintOptions { resolve_provider: Some(true), ..lsp::InlayHintOptions::default() },
        ))),
        workspace_symbol_provider: Some(lsp::OneOf::Left(true)),
        document_symbol_provider: Some(lsp::OneOf::Left(true)),
        code_action_provider: abilities.action_literals.then(|| {
            lsp::CodeActionProviderCapability::Options(lsp::CodeActionOptions {
                code_action_kinds: Some(vec![lsp::CodeActionKind::QUICKFIX, code_action::FIX_ALL]),
                ..lsp::CodeActionOptions::default()
            })
        }),
        execute_command_provider: Some(command::options()),
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
