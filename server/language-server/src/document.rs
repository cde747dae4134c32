//! Documents that the client holds.

use crate::convert;
use model::FileId;
use std::path::PathBuf;
use syntax::{Edit, Encoding, Text};
use tower_lsp_server::ls_types::{TextDocumentContentChangeEvent, Uri};

/// A document that the client holds.
pub(crate) struct Document {
    /// As the client writes it.
    pub(crate) uri: Uri,
    pub(crate) version: i32,
    /// Tells one opening of a file from the next.
    pub(crate) opening: u32,
    pub(crate) home: Home,
}

/// Where a document's text is kept.
pub(crate) enum Home {
    /// In the job of this folder, as this file.
    Job(PathBuf, FileId),
    /// Here, since it is in no job: one may come to be around it.
    Nowhere(Text),
}

/// A change as an edit of `text`; a change without a range is the whole new text.
pub(crate) fn edit(text: &Text, change: TextDocumentContentChangeEvent, encoding: Encoding) -> Edit {
    let range = change.range.map_or(0..text.len(), |range| convert::span(text, range, encoding));
    Edit { range, new: change.text }
}

/// The text after an edit.
pub(crate) fn edited(text: &Text, edit: &Edit) -> Text {
    let (before, after) = (text.slice(0..edit.range.start), text.slice(edit.range.end..text.len()));
    Text::new(&[before.as_str(), edit.new.as_str(), after.as_str()].concat())
}
