//! The text of a whole file.

use std::{borrow::Cow, fmt, ops::Range};

use ropey::{Rope, RopeSlice};

/// The text of a file. Lines end with `\n`, `\r\n` or `\r` and nothing else (Language Server
/// Protocol 3.17, "Text Documents"). Offsets are bytes; one beyond the text means its end, one
/// inside a character the character's start.
#[derive(Clone, Debug)]
pub struct Text(pub(crate) Rope);

/// A replacement of a range of bytes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Edit {
    /// The bytes replaced.
    pub range: Range<u32>,
    /// What stands there afterwards.
    pub new: String,
}

impl Text {
    /// The text `s`.
    pub fn new(s: &str) -> Text {
        Text(Rope::from_str(s))
    }

    /// Its length in bytes.
    pub fn len(&self) -> u32 {
        u32::try_from(self.0.len_bytes()).unwrap_or(u32::MAX)
    }

    /// Whether nothing is written.
    pub fn is_empty(&self) -> bool {
        self.0.len_bytes() == 0
    }

    /// The bytes of `range`, its ends moved to character starts.
    pub fn slice(&self, range: Range<u32>) -> String {
        self.cow(range).into_owned()
    }

    /// The number of lines; a text that ends with a break has an empty last line.
    pub fn lines(&self) -> u32 {
        self.0.len_lines() as u32
    }

    /// Where a line starts; the text's end for a line beyond the last.
    pub fn line_start(&self, line: u32) -> u32 {
        self.0.line_to_byte((line as usize).min(self.0.len_lines())) as u32
    }

    /// A line without its break; empty beyond the last line.
    pub fn line_text(&self, line: u32) -> String {
        self.slice(self.line_start(line)..self.line_end(line))
    }

    /// The line in which `offset` stands.
    pub(crate) fn line_of(&self, offset: u32) -> u32 {
        self.0.byte_to_line(offset.min(self.len()) as usize) as u32
    }

    /// Where a line ends, before its break.
    pub(crate) fn line_end(&self, line: u32) -> u32 {
        let start = self.line_start(line);
        let end = self.line_start(line.saturating_add(1));
        let tail = self.cow(end.saturating_sub(2).max(start)..end);
        let length =
            ["\r\n", "\n", "\r"].iter().find(|mark| tail.ends_with(**mark)).map_or(0, |mark| mark.len());
        end - length as u32
    }

    /// The start of the character in which `offset` stands.
    pub(crate) fn snap(&self, offset: u32) -> u32 {
        let offset = offset.min(self.len()) as usize;
        self.0.char_to_byte(self.0.byte_to_char(offset)) as u32
    }

    pub(crate) fn cow(&self, range: Range<u32>) -> Cow<'_, str> {
        self.rope_slice(range).into()
    }

    pub(crate) fn rope_slice(&self, range: Range<u32>) -> RopeSlice<'_> {
        let start = self.0.byte_to_char(range.start.min(self.len()) as usize);
        let end = self.0.byte_to_char(range.end.min(self.len()) as usize);
        self.0.slice(start..end.max(start))
    }

    /// Puts `new` in the place of `range` and returns the range as it was taken: inside the text,
    /// in order, at character starts.
    pub(crate) fn replace(&mut self, range: &Range<u32>, new: &str) -> Range<u32> {
        let start = self.snap(range.start.min(range.end));
        let end = self.snap(range.start.max(range.end));
        let (from, to) = (self.0.byte_to_char(start as usize), self.0.byte_to_char(end as usize));
        self.0.remove(from..to);
        self.0.insert(from, new);
        start..end
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.chunks().try_for_each(|chunk| f.write_str(chunk))
    }
}
