//! Where the bytes of one entry stand in its file.

use model::{EntryId, FileId, Job, Spot};
use std::ops::Range;
use syntax::{Encoding, Position};
use tower_lsp_server::ls_types as lsp;

/// An entry's text and where it begins. Positions in it are counted from there: finding a line in a
/// long file costs more than counting through an entry.
pub(crate) struct Place<'j> {
    pub(crate) file: FileId,
    text: &'j str,
    begins: Position,
    encoding: Encoding,
}

impl<'j> Place<'j> {
    pub(crate) fn of(job: &'j Job, id: EntryId, encoding: Encoding) -> Option<Place<'j>> {
        let part = &job.entry(id)?.part;
        let (file, span) = job.span(id, &Spot::Bytes(0..0))?;
        let begins = job.file(file)?.file().text().position(span.start, encoding);
        Some(Place { file, text: part.text(), begins, encoding })
    }

    /// Bytes of the entry as a range of its file.
    pub(crate) fn range(&self, span: &Range<u32>) -> lsp::Range {
        lsp::Range { start: self.position(span.start), end: self.position(span.end) }
    }

    fn position(&self, offset: u32) -> lsp::Position {
        let end = self.text.floor_char_boundary(offset as usize);
        let (before, after) = self.text.split_at_checked(end).unwrap_or((self.text, ""));
        // Inside a line break is the end of its line.
        let before =
            if after.starts_with('\n') { before.strip_suffix('\r').unwrap_or(before) } else { before };
        let bytes = before.as_bytes();
        let (mut line, mut start) = (self.begins.line, 0);
        for i in memchr::memchr2_iter(b'\n', b'\r', bytes) {
            if bytes.get(i..i + 2) != Some(b"\r\n") {
                line += 1;
                start = i + 1;
            }
        }
        let shift = if start == 0 { self.begins.character } else { 0 };
        let column = before.get(start..).unwrap_or_default();
        lsp::Position { line, character: shift + units(column, self.encoding) }
    }
}

pub(crate) fn units(text: &str, encoding: Encoding) -> u32 {
    let count = match encoding {
        Encoding::Utf8 => text.len(),
        Encoding::Utf16 => text.encode_utf16().count(),
        Encoding::Utf32 => text.chars().count(),
    };
    count as u32
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use model::{Prepared, Touched};
    use syntax::File;

    #[test]
    fn positions_are_those_of_the_whole_text() {
        let text = "\u{feff}points:\r\n  A: {text: 𝄞é x} # 書\r  𝄞B:\n    text: |\r\n      y\r\n\r\n      é\n\nunits: {C: {type: 𝄞}, D: {zone: é}}\n- x";
        let mut job = Job::new();
        let id = job.open("a.yaml".to_owned(), Prepared::new(File::new(text)), &mut Touched::default());
        let file = job.file(id).unwrap();
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            for entry in file.entries() {
                let place = Place::of(&job, *entry, encoding).unwrap();
                for offset in 0..place.text.len() as u32 {
                    let (_, span) = job.span(*entry, &Spot::Bytes(offset..offset)).unwrap();
                    let Position { line, character } = file.file().text().position(span.start, encoding);
                    assert_eq!(
                        place.position(offset),
                        lsp::Position { line, character },
                        "{encoding:?} {:?} {offset}",
                        place.text
                    );
                }
            }
        }
    }
}
