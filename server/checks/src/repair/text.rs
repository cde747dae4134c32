//! Edits of an entry of the job: what [`syntax::write`] writes, and where.

use super::PartEdit;
use model::{Entry, EntryId};
use syntax::write::Writer;
use syntax::{Edit, NodeId};

/// An entry whose text may be edited.
#[derive(Clone, Copy)]
pub(crate) struct Target<'e> {
    id: EntryId,
    writer: Writer<'e>,
}

impl<'e> Target<'e> {
    pub(crate) fn new(id: EntryId, entry: &'e Entry) -> Target<'e> {
        Target { id, writer: Writer::new(&entry.part) }
    }

    /// Replaces bytes of the entry.
    pub(crate) fn edit(self, from: u32, to: u32, new: impl Into<String>) -> PartEdit {
        PartEdit { entry: self.id, range: from..to, new: new.into() }
    }

    pub(crate) fn value(self, node: NodeId, value: &str) -> Option<PartEdit> {
        self.here(self.writer.value(node, value))
    }

    pub(crate) fn yaml(self, node: NodeId, yaml: &str) -> Option<PartEdit> {
        self.here(self.writer.yaml(node, yaml))
    }

    pub(crate) fn pair(self, map: NodeId, key: &str, value: &str) -> Option<PartEdit> {
        self.here(self.writer.pair(map, key, value))
    }

    pub(crate) fn item(self, list: NodeId, last: NodeId, item: &str) -> Option<PartEdit> {
        self.here(self.writer.item(list, last, item))
    }

    pub(crate) fn without_pair(self, map: NodeId, key: NodeId) -> Option<PartEdit> {
        self.here(self.writer.without_pair(map, key))
    }

    pub(crate) fn without_item(self, list: NodeId, item: NodeId) -> Option<PartEdit> {
        self.here(self.writer.without_item(list, item))
    }

    pub(crate) fn without_comment(self, number: usize) -> Option<PartEdit> {
        self.here(self.writer.without_comment(number))
    }

    pub(crate) fn without_entry(self) -> Option<PartEdit> {
        self.here(self.writer.without_entry())
    }

    /// A node's text as written, if that is on one line.
    pub(crate) fn one_line(self, node: NodeId) -> Option<&'e str> {
        self.writer.one_line(node)
    }

    fn here(self, edit: Option<Edit>) -> Option<PartEdit> {
        edit.map(|Edit { range, new }| PartEdit { entry: self.id, range, new })
    }
}
