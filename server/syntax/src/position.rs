//! Places in a text as editors count them.

use crate::Text;
use std::ops::Range;

/// What a [`Position`]'s `character` counts. Source: Language Server Protocol 3.17,
/// `PositionEncodingKind`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Encoding {
    /// Bytes.
    Utf8,
    /// UTF-16 code units: a character beyond the basic plane counts two.
    Utf16,
    /// Unicode scalar values.
    Utf32,
}

/// A line and a distance into it, both counted from zero.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub struct Position {
    pub line: u32,
    /// The distance from the line's start, in units of an [`Encoding`].
    pub character: u32,
}

impl Text {
    /// Where the byte `offset` stands. Beyond the text it is the end; inside a character, the
    /// character's start; inside a line break, the end of the line.
    pub fn position(&self, offset: u32, encoding: Encoding) -> Position {
        self.position_in(self.line_of(offset), offset, encoding)
    }

    /// Where a stretch of bytes begins and ends, each as [`Text::position`] has it.
    pub fn positions(&self, bytes: &Range<u32>, encoding: Encoding) -> Range<Position> {
        let line = self.line_of(bytes.start);
        let start = self.position_in(line, bytes.start, encoding);
        // Most stretches end in the line they begin in, which need not be looked for again.
        let same = bytes.start <= bytes.end && bytes.end < self.line_start(line.saturating_add(1));
        let last = if same { line } else { self.line_of(bytes.end) };
        start..self.position_in(last, bytes.end, encoding)
    }

    /// Where the byte `offset` stands, which is in `line`.
    fn position_in(&self, line: u32, offset: u32, encoding: Encoding) -> Position {
        let start = self.line_start(line);
        // Most entries start a line, and finding a byte's character costs as much as finding its line.
        if offset == start {
            return Position { line, character: 0 };
        }
        let offset = self.snap(offset).clamp(start, self.line_end(line));
        let character = match encoding {
            Encoding::Utf8 => offset - start,
            Encoding::Utf16 => self.counts(start..offset).0,
            Encoding::Utf32 => self.counts(start..offset).1,
        };
        Position { line, character }
    }

    /// The byte offset of `position`. Past a line's end it is that end, before the break; past the
    /// last line, the text's end; inside a character, the character's start.
    pub fn offset(&self, position: Position, encoding: Encoding) -> u32 {
        if position.line >= self.lines() {
            return self.len();
        }
        let start = self.line_start(position.line);
        let end = self.line_end(position.line);
        let offset = match encoding {
            Encoding::Utf8 => self.snap(start.saturating_add(position.character).min(end)),
            Encoding::Utf16 => self.reach(start..end, position.character, true),
            Encoding::Utf32 => self.reach(start..end, position.character, false),
        };
        offset.min(end)
    }
}
