//! Places in a text as editors count them.

use crate::Text;

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
    /// The line.
    pub line: u32,
    /// The distance from the line's start, in units of an [`Encoding`].
    pub character: u32,
}

impl Text {
    /// Where the byte `offset` stands. Beyond the text it is the end; inside a character, the
    /// character's start; inside a line break, the end of the line.
    pub fn position(&self, offset: u32, encoding: Encoding) -> Position {
        let rope = &self.0;
        let line = self.line_of(offset);
        let start = self.line_start(line);
        let offset = self.snap(offset).clamp(start, self.line_end(line));
        let (from, to) = (rope.byte_to_char(start as usize), rope.byte_to_char(offset as usize));
        let character = match encoding {
            Encoding::Utf8 => offset - start,
            Encoding::Utf16 => (rope.char_to_utf16_cu(to) - rope.char_to_utf16_cu(from)) as u32,
            Encoding::Utf32 => (to - from) as u32,
        };
        Position { line, character }
    }

    /// The byte offset of `position`. Past a line's end it is that end, before the break; past the
    /// last line, the text's end; inside a character, the character's start.
    pub fn offset(&self, position: Position, encoding: Encoding) -> u32 {
        if position.line >= self.lines() {
            return self.len();
        }
        let rope = &self.0;
        let start = self.line_start(position.line);
        let end = self.line_end(position.line);
        let first = rope.byte_to_char(start as usize);
        let last = rope.byte_to_char(end as usize);
        let wanted = position.character as usize;
        let offset = match encoding {
            Encoding::Utf8 => self.snap(start.saturating_add(position.character).min(end)),
            Encoding::Utf16 => {
                let unit = rope.char_to_utf16_cu(first).saturating_add(wanted);
                let unit = unit.min(rope.char_to_utf16_cu(last));
                rope.char_to_byte(rope.utf16_cu_to_char(unit)) as u32
            }
            Encoding::Utf32 => rope.char_to_byte(first.saturating_add(wanted).min(last)) as u32,
        };
        offset.min(end)
    }
}
