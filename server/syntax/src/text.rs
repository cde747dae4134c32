//! The text of a whole file.

use std::{borrow::Cow, fmt, ops::Range, sync::Arc};

use ropey::Rope;

use crate::{
    flat::Flat,
    line::{Line, lines},
    slice::Slice,
};

/// The text of a file. Lines end with `\n`, `\r\n` or `\r` and nothing else (Language Server
/// Protocol 3.17, "Text Documents"). Offsets are bytes; one beyond the text means its end, one
/// inside a character the character's start.
#[derive(Clone, Debug)]
pub struct Text(Form);

/// Most files of a job are never edited, and need no rope.
#[derive(Clone, Debug)]
enum Form {
    Flat(Arc<Flat>),
    Rope(Rope),
}

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
        Text::of(&s.into())
    }

    /// The text `s`, which is shared and not copied.
    pub(crate) fn of(s: &Arc<str>) -> Text {
        let flat = Flat::new(s).map(|flat| Form::Flat(Arc::new(flat)));
        Text(flat.unwrap_or_else(|| Form::Rope(Rope::from_str(s))))
    }

    /// Its length in bytes.
    pub fn len(&self) -> u32 {
        let length = match &self.0 {
            Form::Flat(flat) => flat.text.len(),
            Form::Rope(rope) => rope.len_bytes(),
        };
        u32::try_from(length).unwrap_or(u32::MAX)
    }

    /// Whether nothing is written.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The bytes of `range`, its ends moved to character starts.
    pub fn slice(&self, range: Range<u32>) -> String {
        self.cow(range).into_owned()
    }

    /// The number of lines; a text that ends with a break has an empty last line.
    pub fn lines(&self) -> u32 {
        let lines = match &self.0 {
            Form::Flat(flat) => flat.starts().len(),
            Form::Rope(rope) => rope.len_lines(),
        };
        lines as u32
    }

    /// Where a line starts; the text's end for a line beyond the last.
    pub fn line_start(&self, line: u32) -> u32 {
        match &self.0 {
            Form::Flat(flat) => flat.starts().get(line as usize).copied().unwrap_or(self.len()),
            Form::Rope(rope) => rope.line_to_byte((line as usize).min(rope.len_lines())) as u32,
        }
    }

    /// A line without its break; empty beyond the last line.
    pub fn line_text(&self, line: u32) -> String {
        self.slice(self.line_start(line)..self.line_end(line))
    }

    /// The line in which `offset` stands.
    pub(crate) fn line_of(&self, offset: u32) -> u32 {
        let offset = offset.min(self.len());
        let line = match &self.0 {
            Form::Flat(flat) => flat.starts().partition_point(|start| *start <= offset).saturating_sub(1),
            Form::Rope(rope) => rope.byte_to_line(offset as usize),
        };
        line as u32
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
        let start = match &self.0 {
            Form::Flat(flat) => flat.text.floor_char_boundary(offset),
            Form::Rope(rope) => rope.char_to_byte(rope.byte_to_char(offset)),
        };
        start as u32
    }

    pub(crate) fn cow(&self, range: Range<u32>) -> Cow<'_, str> {
        let start = self.snap(range.start) as usize;
        let end = (self.snap(range.end) as usize).max(start);
        match &self.0 {
            Form::Flat(flat) => flat.text.get(start..end).unwrap_or_default().into(),
            Form::Rope(rope) => rope.byte_slice(start..end).into(),
        }
    }

    /// The bytes of `range`, shared with others where they can be.
    pub(crate) fn shared(&self, range: Range<u32>) -> Slice {
        match &self.0 {
            Form::Flat(flat) => Slice::new(&flat.text, range),
            Form::Rope(_) => Slice::from(&*self.cow(range)),
        }
    }

    /// The lines from `start` on, each with its break.
    pub(crate) fn lines_from(&self, start: u32) -> impl Iterator<Item = Line<'_>> {
        let start = self.snap(start) as usize;
        let (flat, rope) = match &self.0 {
            Form::Flat(flat) => (flat.text.get(start..), None),
            Form::Rope(rope) => (None, Some(rope.byte_slice(start..))),
        };
        // A rope counts an empty line behind the last break.
        let in_rope = rope.into_iter().flat_map(|rope| rope.lines()).map(Cow::from);
        flat.into_iter().flat_map(lines).chain(in_rope.filter(|line: &Line<'_>| !line.is_empty()))
    }

    /// How many UTF-16 units and how many characters stand in `range`, whose ends are character starts.
    pub(crate) fn counts(&self, range: Range<u32>) -> (u32, u32) {
        let (start, end) = (range.start as usize, range.end as usize);
        match &self.0 {
            Form::Flat(flat) => {
                let text = flat.text.get(start..end).unwrap_or_default();
                let characters = text.chars().count();
                // Those of four bytes are pairs in UTF-16.
                let pairs = text.bytes().filter(|byte| *byte >= 0xf0).count();
                ((characters + pairs) as u32, characters as u32)
            }
            Form::Rope(rope) => {
                let (from, to) = (rope.byte_to_char(start), rope.byte_to_char(end));
                let units = rope.char_to_utf16_cu(to) - rope.char_to_utf16_cu(from);
                (units as u32, (to - from) as u32)
            }
        }
    }

    /// How far `count` UTF-16 units (or else characters) reach from `range`'s start, not beyond its end.
    /// A pair of which only a half is counted is left out.
    pub(crate) fn reach(&self, range: Range<u32>, count: u32, utf16: bool) -> u32 {
        let (start, end, count) = (range.start as usize, range.end as usize, count as usize);
        let reached = match &self.0 {
            Form::Flat(flat) => {
                let mut left = count;
                let text = flat.text.get(start..end).unwrap_or_default();
                let fits = |c: &char| {
                    let units = if utf16 { c.len_utf16() } else { 1 };
                    let fits = units <= left;
                    left = left.saturating_sub(units);
                    fits
                };
                start + text.chars().take_while(fits).map(char::len_utf8).sum::<usize>()
            }
            Form::Rope(rope) => {
                let (first, last) = (rope.byte_to_char(start), rope.byte_to_char(end));
                let reached = if utf16 {
                    let unit = rope.char_to_utf16_cu(first).saturating_add(count);
                    rope.utf16_cu_to_char(unit.min(rope.char_to_utf16_cu(last)))
                } else {
                    first.saturating_add(count).min(last)
                };
                rope.char_to_byte(reached)
            }
        };
        reached as u32
    }

    /// Puts `new` in the place of `range` and returns the range as it was taken: inside the text,
    /// in order, at character starts.
    pub(crate) fn replace(&mut self, range: &Range<u32>, new: &str) -> Range<u32> {
        let start = self.snap(range.start.min(range.end));
        let end = self.snap(range.start.max(range.end));
        if let Form::Flat(flat) = &self.0 {
            self.0 = Form::Rope(Rope::from_str(&flat.text));
        }
        if let Form::Rope(rope) = &mut self.0 {
            let (from, to) = (rope.byte_to_char(start as usize), rope.byte_to_char(end as usize));
            rope.remove(from..to);
            rope.insert(from, new);
        }
        start..end
    }
}

impl PartialEq<str> for Text {
    fn eq(&self, other: &str) -> bool {
        match &self.0 {
            Form::Flat(flat) => *flat.text == *other,
            Form::Rope(rope) => *rope == *other,
        }
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Form::Flat(flat) => f.write_str(&flat.text),
            Form::Rope(rope) => rope.chunks().try_for_each(|chunk| f.write_str(chunk)),
        }
    }
}
