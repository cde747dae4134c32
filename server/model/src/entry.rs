//! An entry of the job, and the numbers by which entries and files are known.

use crate::lower::Facts;
use std::sync::Arc;
use syntax::Part;

/// A file of the job, by number; stays the same while the file is in the job.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct FileId(pub u32);

/// An entry of the job, by number; an edit inside an entry leaves its number alone.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct EntryId(pub u32);

/// An entry: its text and tree, and the facts read from them.
#[derive(Clone)]
pub struct Entry {
    /// The file it stands in.
    pub file: FileId,
    /// Text and tree.
    pub part: Arc<Part>,
    pub facts: Arc<Facts>,
    /// Its number among the entries of its file.
    pub(crate) ordinal: u32,
}
