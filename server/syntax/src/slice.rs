//! A stretch of a text that is held once for many.

use std::{fmt, ops::Deref, ops::Range, sync::Arc};

/// Some bytes of a text. The parts that a file was read into share the file's own; what an edit reads
/// again has a text to itself, so that of all versions of a file's text only the last that was read as
/// a whole is held.
#[derive(Clone)]
pub(crate) struct Slice {
    whole: Arc<str>,
    start: u32,
    end: u32,
}

impl Slice {
    /// The bytes of `range`; nothing where they are none of `whole`, or not whole characters.
    pub(crate) fn new(whole: &Arc<str>, range: Range<u32>) -> Slice {
        let fits = whole.get(range.start as usize..range.end as usize).is_some();
        let Range { start, end } = if fits { range } else { 0..0 };
        Slice { whole: whole.clone(), start, end }
    }

    /// Some of its bytes.
    pub(crate) fn part(&self, range: &Range<usize>) -> Slice {
        Slice::new(&self.whole, self.start + range.start as u32..self.start + range.end as u32)
    }
}

impl From<&str> for Slice {
    fn from(text: &str) -> Slice {
        Slice { whole: text.into(), start: 0, end: text.len() as u32 }
    }
}

impl Deref for Slice {
    type Target = str;

    fn deref(&self) -> &str {
        self.whole.get(self.start as usize..self.end as usize).unwrap_or_default()
    }
}

impl PartialEq for Slice {
    fn eq(&self, other: &Slice) -> bool {
        **self == **other
    }
}

impl fmt::Debug for Slice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        (**self).fmt(f)
    }
}
