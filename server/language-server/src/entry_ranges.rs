//! Where the bytes of one entry stand in its file.

use model::{EntryId, FileId, Job, Spot};
use std::ops::Range;
use syntax::{Encoding, Part, Position};
use tower_lsp_server::ls_types as lsp;

/// An entry's text and where it begins. Positions in it are counted from there: finding a line in a
/// long file costs more than counting through an entry.
#[derive(Clone, Copy)]
pub(crate) struct EntryRanges<'j> {
    pub(crate) file: FileId,
    part: &'j Part,
    begins: Position,
    encoding: Encoding,
}

/// A line of an entry.
#[derive(Clone, Copy)]
struct Line {
    /// Its number in the file.
    number: u32,
    /// Where it starts in the entry's text.
    start: usize,
}

impl<'j> EntryRanges<'j> {
    pub(crate) fn of(job: &'j Job, id: EntryId, encoding: Encoding) -> Option<EntryRanges<'j>> {
        let part = &*job.entry(id)?.part;
        let (file, span) = job.span(id, &Spot::Bytes(0..0))?;
        let begins = job.file(file)?.file().text().position(span.start, encoding);
        Some(EntryRanges { file, part, begins, encoding })
    }

    /// A spot of the entry as a range of its file.
    pub(crate) fn spot(&self, spot: &Spot) -> lsp::Range {
        self.range(&spot.span(self.part))
    }

    /// Bytes of the entry as a range of its file.
    pub(crate) fn range(&self, span: &Range<u32>) -> lsp::Range {
        let first = Line { number: self.begins.line, start: 0 };
        let (start, line) = self.position(span.start, first);
        // Most ranges end in the line that they begin in.
        let (end, _) = self.position(span.end, if span.start <= span.end { line } else { first });
        lsp::Range { start, end }
    }

    /// A position that does not lie before a line, and its own line.
    fn position(&self, offset: u32, from: Line) -> (lsp::Position, Line) {
        let text = self.part.text();
        let end = text.floor_char_boundary(offset as usize);
        let (before, after) = text.split_at_checked(end).unwrap_or((text, ""));
        // Inside a line break is the end of its line.
        let before =
            if after.starts_with('\n') { before.strip_suffix('\r').unwrap_or(before) } else { before };
        let bytes = before.as_bytes();
        let mut line = from;
        for i in memchr::memchr2_iter(b'\n', b'\r', bytes.get(from.start..).unwrap_or_default()) {
            let i = from.start + i;
            if bytes.get(i..i + 2) != Some(b"\r\n") {
                line = Line { number: line.number + 1, start: i + 1 };
            }
        }
        let shift = if line.start == 0 { self.begins.character } else { 0 };
        let column = before.get(line.start..).unwrap_or_default();
        (lsp::Position { line: line.number, character: shift + units(column, self.encoding) }, line)
    }
}

/// How much a text counts in positions.
pub(crate) fn units(text: &str, encoding: Encoding) -> u32 {
    // Every character has one byte that begins it; those of four bytes are two units of UTF-16.
    let begin = || text.bytes().filter(|b| b & 0xc0 != 0x80).count();
    let count = match encoding {
        Encoding::Utf8 => text.len(),
        Encoding::Utf16 => begin() + text.bytes().filter(|b| *b >= 0xf0).count(),
        Encoding::Utf32 => begin(),
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
        let text = "\u{feff}points:\r\n  A: {description: 𝄞é x} # 書\r  𝄞B:\n    description: |\r\n      y\r\n\r\n      é\n\nunits: {C: {type: 𝄞}, D: {zone: é}}\n- x";
        let mut job = Job::new();
        let id = job.open("a.yaml".to_owned(), Prepared::new(File::new(text)), &mut Touched::default());
        let file = job.file(id).unwrap();
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            for entry in file.entries() {
                let place = EntryRanges::of(&job, *entry, encoding).unwrap();
                let length = place.part.text().len() as u32;
                for offset in 0..length {
                    let (_, span) = job.span(*entry, &Spot::Bytes(offset..offset)).unwrap();
                    let Position { line, character } = file.file().text().position(span.start, encoding);
                    let wanted = lsp::Position { line, character };
                    assert_eq!(place.range(&(offset..offset)).start, wanted, "{encoding:?} {offset}");
                    for other in 0..length {
                        let (to, from) = (place.range(&(other..offset)), place.range(&(offset..other)));
                        assert_eq!((to.end, from.start), (wanted, wanted), "{encoding:?} {offset} {other}");
                    }
                }
            }
        }
    }
}
