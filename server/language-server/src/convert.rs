//! From the job's terms to the protocol's.

use crate::client_handle::ClientHandle;
use crate::entry_ranges::EntryRanges;
use crate::library;
use crate::shared::JobState;
use crate::uri;
use model::{EntryId, FileId, Spot};
use std::collections::BTreeMap;
use std::ops::Range;
use syntax::{Encoding, Position, Text};
use tower_lsp_server::ls_types as lsp;

/// A range as bytes of a text; what lies outside is cut off, and a reversed one turned.
pub(crate) fn span(text: &Text, range: lsp::Range, encoding: Encoding) -> Range<u32> {
    let (start, end) = (offset(text, range.start, encoding), offset(text, range.end, encoding));
    start.min(end)..start.max(end)
}

/// A position as a byte of a text.
pub(crate) fn offset(text: &Text, at: lsp::Position, encoding: Encoding) -> u32 {
    text.offset(Position { line: at.line, character: at.character }, encoding)
}

/// A spot of an entry as a range of its file.
pub(crate) fn range(state: &JobState, client: &ClientHandle, id: EntryId, spot: &Spot) -> Option<lsp::Range> {
    Some(EntryRanges::of(state.workspace.job(), id, client.abilities.encoding)?.spot(spot))
}

/// A spot of an entry as a place that an editor can go to.
pub(crate) fn location(
    state: &JobState,
    client: &ClientHandle,
    id: EntryId,
    spot: &Spot,
) -> Option<lsp::Location> {
    let file = state.workspace.job().entry(id)?.file;
    Some(lsp::Location { uri: file_uri(state, client, file)?, range: range(state, client, id, spot)? })
}

/// Where a file of the job, or of the library, is found: as the client writes it where it holds it.
pub(crate) fn file_uri(state: &JobState, client: &ClientHandle, file: FileId) -> Option<lsp::Uri> {
    if let Some(open) = state.open.get(&file) {
        return Some(open.uri.clone());
    }
    let file = state.workspace.job().file(file)?;
    if file.library {
        return library::uri(&file.path, client.abilities.library_scheme);
    }
    uri::of_path(&state.workspace.root().join(&file.path))
}

/// Edits by file, with the versions that they are meant for where the client knows of versions.
pub(crate) fn workspace_edit(
    state: &JobState,
    client: &ClientHandle,
    files: BTreeMap<FileId, Vec<lsp::TextEdit>>,
) -> lsp::WorkspaceEdit {
    let named =
        files.into_iter().filter_map(|(file, edits)| Some((file, file_uri(state, client, file)?, edits)));
    if !client.abilities.document_changes {
        let changes = named.map(|(_, uri, edits)| (uri, edits)).collect();
        return lsp::WorkspaceEdit { changes: Some(changes), ..lsp::WorkspaceEdit::default() };
    }
    let documents = named.map(|(file, uri, edits)| lsp::TextDocumentEdit {
        text_document: lsp::OptionalVersionedTextDocumentIdentifier {
            uri,
            version: state.open.get(&file).map(|open| open.version),
        },
        edits: edits.into_iter().map(lsp::OneOf::Left).collect(),
    });
    let changes = lsp::DocumentChanges::Edits(documents.collect());
    lsp::WorkspaceEdit { document_changes: Some(changes), ..lsp::WorkspaceEdit::default() }
}
