//! What the client can do and works on, as it said in `initialize`.

use crate::uri;
use std::path::PathBuf;
use syntax::Encoding;
use tower_lsp_server::ls_types::{
    ClientCapabilities, DiagnosticTag, InitializeParams, MarkupKind, PositionEncodingKind,
    SemanticTokensFullOptions,
};

/// The client's abilities, as far as anything depends on them.
#[derive(Clone, Debug)]
#[allow(clippy::struct_excessive_bools)] // each is one ability
pub(crate) struct Abilities {
    /// What its positions count.
    pub(crate) encoding: Encoding,
    /// Shows places related to a diagnostic.
    pub(crate) related: bool,
    /// Dims what is without use.
    pub(crate) unnecessary: bool,
    /// Links a diagnostic's code to its page.
    pub(crate) links: bool,
    /// Renders Markdown in a hover.
    pub(crate) markdown: bool,
    /// Fills in the blanks of what a completion writes.
    pub(crate) snippets: bool,
    /// Renders Markdown beside a completion.
    pub(crate) markdown_items: bool,
    /// Asks for diagnostics itself, and again on request: without that, what an edit changes in other
    /// files would not be seen.
    pub(crate) pulls: bool,
    /// Takes document symbols as a tree.
    pub(crate) nested: bool,
    /// Shows progress that the server began.
    pub(crate) progress: bool,
    /// Watches files on request.
    pub(crate) watches: bool,
    /// Takes edits of several documents with their versions.
    pub(crate) document_changes: bool,
    /// Takes actions that carry their edit.
    pub(crate) action_literals: bool,
    /// Takes changes of semantic tokens in place of all of them.
    pub(crate) token_changes: bool,
    /// Tells its settings when it is asked.
    pub(crate) tells_settings: bool,
    /// Tells on request when they change.
    pub(crate) settings_change: bool,
    /// Asks for lenses again when it is asked to.
    pub(crate) lens_refresh: bool,
    /// Asks for hints again when it is asked to.
    pub(crate) hint_refresh: bool,
    /// Asks for what is behind a hint when it is wanted.
    pub(crate) late_tooltips: bool,
    /// Asks for the text of built-in unit types itself.
    pub(crate) library_scheme: bool,
    /// Has `drycall.showWeek`, which shows a unit's week.
    pub(crate) shows_weeks: bool,
}

impl Abilities {
    pub(crate) fn of(params: &InitializeParams) -> Abilities {
        let can = &params.capabilities;
        let document = can.text_document.clone().unwrap_or_default();
        let publish = document.publish_diagnostics.unwrap_or_default();
        let hover = document.hover.and_then(|h| h.content_format).unwrap_or_default();
        let item = document.completion.and_then(|c| c.completion_item);
        let item_formats = item.as_ref().and_then(|i| i.documentation_format.clone()).unwrap_or_default();
        let workspace = can.workspace.clone().unwrap_or_default();
        let option = |name: &str| params.initialization_options.as_ref().and_then(|o| o.get(name)?.as_bool());
        Abilities {
            encoding: encoding(can),
            related: publish.related_information == Some(true),
            unnecessary: publish
                .tag_support
                .is_some_and(|t| t.value_set.contains(&DiagnosticTag::UNNECESSARY)),
            links: publish.code_description_support == Some(true),
            // The formats stand in the client's order of preference.
            markdown: hover.first() == Some(&MarkupKind::Markdown),
            snippets: item.is_some_and(|item| item.snippet_support == Some(true)),
            markdown_items: item_formats.first() == Some(&MarkupKind::Markdown),
            pulls: document.diagnostic.is_some()
                && workspace.diagnostics.is_some_and(|d| d.refresh_support == Some(true)),
            nested: document
                .document_symbol
                .is_some_and(|s| s.hierarchical_document_symbol_support == Some(true)),
            progress: can.window.as_ref().is_some_and(|w| w.work_done_progress == Some(true)),
            document_changes: workspace.workspace_edit.is_some_and(|w| w.document_changes == Some(true)),
            action_literals: document.code_action.is_some_and(|c| c.code_action_literal_support.is_some()),
            watches: workspace.did_change_watched_files.is_some_and(|w| w.dynamic_registration == Some(true)),
            token_changes: document.semantic_tokens.is_some_and(|t| {
                matches!(t.requests.full, Some(SemanticTokensFullOptions::Delta { delta: Some(true) }))
            }),
            tells_settings: workspace.configuration == Some(true),
            settings_change: workspace
                .did_change_configuration
                .is_some_and(|c| c.dynamic_registration == Some(true)),
            lens_refresh: workspace.code_lens.is_some_and(|l| l.refresh_support == Some(true)),
            hint_refresh: workspace.inlay_hint.is_some_and(|h| h.refresh_support == Some(true)),
            late_tooltips: document
                .inlay_hint
                .and_then(|hint| hint.resolve_support)
                .is_some_and(|late| late.properties.iter().any(|p| p == "tooltip")),
            library_scheme: option("libraryScheme") == Some(true),
            shows_weeks: option("showWeek") == Some(true),
        }
    }

    /// The encoding by its name in the protocol.
    pub(crate) fn encoding_kind(&self) -> PositionEncodingKind {
        match self.encoding {
            Encoding::Utf8 => PositionEncodingKind::UTF8,
            Encoding::Utf16 => PositionEncodingKind::UTF16,
            Encoding::Utf32 => PositionEncodingKind::UTF32,
        }
    }
}

/// UTF-8 where the client has it, since that is how the text is kept; else the first it names that
/// we know. A client that names none counts UTF-16.
fn encoding(can: &ClientCapabilities) -> Encoding {
    let offered = can.general.as_ref().and_then(|g| g.position_encodings.clone());
    if offered.as_ref().is_some_and(|o| o.contains(&PositionEncodingKind::UTF8)) {
        return Encoding::Utf8;
    }
    let known = offered.unwrap_or_default().into_iter().find_map(|kind| match kind {
        kind if kind == PositionEncodingKind::UTF16 => Some(Encoding::Utf16),
        kind if kind == PositionEncodingKind::UTF32 => Some(Encoding::Utf32),
        _ => None,
    });
    known.unwrap_or(Encoding::Utf16)
}

/// The folders a client says it works on; the older ways of saying it count where the newer is silent.
pub(crate) fn folders(params: &InitializeParams) -> Vec<PathBuf> {
    if let Some(folders) = &params.workspace_folders {
        return folders.iter().filter_map(|folder| uri::to_path(&folder.uri)).collect();
    }
    #[allow(deprecated)] // a client may know no other way
    let (root_uri, root_path) = (&params.root_uri, &params.root_path);
    let by_uri = root_uri.as_ref().and_then(uri::to_path);
    by_uri.or_else(|| root_path.as_ref().map(PathBuf::from)).into_iter().collect()
}
