//! Cuts a file into chunks by the indentation of its lines.
//!
//! Every byte behind the byte-order mark lies in exactly one chunk. The scan only runs forward: what
//! follows a chunk depends on the text behind it and on the [`SplitState`] it leaves, so a scan may begin
//! at any chunk.

use std::{collections::VecDeque, ops::Range, sync::Arc};

use crate::line::{Line, bare_word, document_mark, heading, indent, indicator};

/// What a chunk of lines is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) enum ChunkShape {
    /// A section's line with nothing behind its colon.
    Header(HeaderForm),
    /// A section's line and all of its content, where that begins behind the colon.
    Whole(HeaderForm),
    /// An item of a section. Where it stands unlike the section's first item: how that one stands.
    Entry(Option<Items>),
    /// A file written as one flow map or list.
    Root,
    /// `---`; `first` when nothing was written before it.
    DocumentStart { first: bool },
    /// `...`
    DocumentEnd,
    /// A line that starts with `%`.
    Directive,
    /// Text outside any section.
    Stray,
    /// Only comments and blank lines.
    Empty,
}

/// How a section's name is written.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) enum HeaderForm {
    Well,
    /// White space stands before it.
    Indented,
    /// Its colon is missing.
    Bare,
}

/// How the items of a section stand.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) struct Items {
    pub(crate) indent: u32,
    pub(crate) list: bool,
}

/// What is open where a chunk ends.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum SplitState {
    /// No section. `fresh` while a document may still begin.
    Top { fresh: bool },
    /// A section, and how its first item stands.
    Section { name: Arc<str>, items: Option<Items> },
}

impl SplitState {
    pub(crate) const START: SplitState = SplitState::Top { fresh: true };
}

#[derive(Clone, Debug)]
pub(crate) struct Chunk {
    pub(crate) range: Range<u32>,
    pub(crate) shape: ChunkShape,
    pub(crate) after: SplitState,
}

impl Chunk {
    /// Whether it opens a section or stands outside any.
    pub(crate) fn is_outside(&self) -> bool {
        !matches!(self.shape, ChunkShape::Entry(_))
    }

    /// The section the chunk opens or stands in; empty outside any.
    pub(crate) fn section(&self) -> Arc<str> {
        let inside =
            matches!(self.shape, ChunkShape::Header(_) | ChunkShape::Whole(_) | ChunkShape::Entry(_));
        match &self.after {
            SplitState::Section { name, .. } if inside => name.clone(),
            _ => "".into(),
        }
    }
}

/// The chunks of the lines that start at `start`, where `place` is open.
pub(crate) fn split<'a, I>(lines: I, start: u32, place: SplitState) -> Splitter<'a, I>
where
    I: Iterator<Item = Line<'a>>,
{
    Splitter { lines, ahead: VecDeque::new(), at: start, place, open: None, pending: None }
}

pub(crate) struct Splitter<'a, I> {
    lines: I,
    /// Lines read while looking ahead.
    ahead: VecDeque<Line<'a>>,
    at: u32,
    place: SplitState,
    open: Option<OpenChunk>,
    /// Where lines began that belong to whatever follows.
    pending: Option<u32>,
}

struct OpenChunk {
    start: u32,
    shape: ChunkShape,
    floor: Floor,
}

/// Which lines go on with the open chunk.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Floor {
    None,
    /// Those indented deeper.
    Deeper(u32),
    /// Those, and list items right below the key, which may stand no deeper than it.
    Below(u32),
    /// All, up to a document's mark or a section's line.
    Document,
}

impl<'a, I: Iterator<Item = Line<'a>>> Iterator for Splitter<'a, I> {
    type Item = Chunk;

    fn next(&mut self) -> Option<Chunk> {
        loop {
            let Some(line) = self.ahead.pop_front().or_else(|| self.lines.next()) else {
                return self.finish();
            };
            let start = self.at;
            self.at += line.len() as u32;
            let (indent, body) = indent(&line);
            if body.is_empty() {
                if self.open.is_none() {
                    self.pending.get_or_insert(start);
                }
            } else if self.goes_on(indent, body) {
                self.pending = None;
            } else if body.starts_with('#') {
                self.pending.get_or_insert(start);
            } else {
                let boundary = self.pending.take().unwrap_or(start);
                let after = self.place.clone();
                let opened = self.begin(boundary, indent, body);
                if let Some(done) = self.open.replace(opened) {
                    return Some(done.close(boundary, after));
                }
            }
        }
    }
}

impl<'a, I: Iterator<Item = Line<'a>>> Splitter<'a, I> {
    fn finish(&mut self) -> Option<Chunk> {
        let pending = self.pending.take();
        let empty = |start| OpenChunk { start, shape: ChunkShape::Empty, floor: Floor::None };
        let open = self.open.take().or(pending.map(empty))?;
        Some(open.close(self.at, self.place.clone()))
    }

    fn goes_on(&self, indent: u32, body: &str) -> bool {
        let Some(open) = &self.open else { return false };
        let closes = body.starts_with(['}', ']']);
        let explicit_value = matches!(open.shape, ChunkShape::Entry(_)) && indicator(body, ':');
        match open.floor {
            _ if closes || explicit_value => true,
            Floor::None => false,
            Floor::Deeper(floor) => indent > floor,
            Floor::Below(floor) => indent > floor || indent == floor && indicator(body, '-'),
            Floor::Document => {
                let plain = body.starts_with(|c: char| c.is_ascii_alphabetic());
                indent > 0 || !(document_mark(body) || plain && heading(body).is_some())
            }
        }
    }

    fn begin(&mut self, start: u32, indent: u32, body: &str) -> OpenChunk {
        if indent == 0 && document_mark(body) {
            return self.document(start, body);
        }
        if indent == 0 && body.starts_with('%') {
            return OpenChunk { start, shape: ChunkShape::Directive, floor: Floor::None };
        }
        let list = indicator(body, '-');
        if let SplitState::Section { items, .. } = &mut self.place
            && (indent > 0 || list)
        {
            let here = Items { indent, list };
            let first = *items.get_or_insert(here);
            let shape = ChunkShape::Entry((first != here).then_some(first));
            let bare = heading(body).is_some_and(|(_, rest)| rest.is_empty() || rest.starts_with('#'));
            let floor =
                if first == here && bare { Floor::Below(indent) } else { Floor::Deeper(first.indent) };
            return OpenChunk { start, shape, floor };
        }
        self.top(start, indent, body)
    }

    fn document(&mut self, start: u32, body: &str) -> OpenChunk {
        let first = self.place == SplitState::START;
        self.place = SplitState::Top { fresh: false };
        let rest = body.get(3..).unwrap_or_default().trim_start();
        let (shape, floor) = if body.starts_with("...") {
            (ChunkShape::DocumentEnd, Floor::None)
        } else if rest.starts_with(['{', '[']) {
            (ChunkShape::Root, Floor::Document)
        } else if rest.is_empty() || rest.starts_with('#') {
            (ChunkShape::DocumentStart { first }, Floor::None)
        } else {
            (ChunkShape::Stray, Floor::Deeper(0))
        };
        OpenChunk { start, shape, floor }
    }

    /// A line that is no item of a section.
    fn top(&mut self, start: u32, indent: u32, body: &str) -> OpenChunk {
        let at_top = matches!(self.place, SplitState::Top { .. });
        if at_top {
            self.place = SplitState::Top { fresh: false };
            if body.starts_with(['{', '[']) {
                return OpenChunk { start, shape: ChunkShape::Root, floor: Floor::Document };
            }
        }
        let well = if indent == 0 { HeaderForm::Well } else { HeaderForm::Indented };
        if let Some((name, rest)) = heading(body) {
            let section: Arc<str> = name.into();
            self.place = SplitState::Section { name: section.clone(), items: None };
            return if rest.is_empty() || rest.starts_with('#') {
                OpenChunk { start, shape: ChunkShape::Header(well), floor: Floor::None }
            } else {
                OpenChunk { start, shape: ChunkShape::Whole(well), floor: Floor::Deeper(indent) }
            };
        }
        if let Some(word) = bare_word(body)
            && indent == 0
            && self.indented_ahead()
        {
            let section: Arc<str> = word.into();
            self.place = SplitState::Section { name: section.clone(), items: None };
            return OpenChunk { start, shape: ChunkShape::Header(HeaderForm::Bare), floor: Floor::None };
        }
        let floor = if at_top { Floor::Deeper(0) } else { Floor::None };
        OpenChunk { start, shape: ChunkShape::Stray, floor }
    }

    /// Whether the next line that says something is indented.
    fn indented_ahead(&mut self) -> bool {
        let mut seen = 0;
        loop {
            if seen == self.ahead.len() {
                let Some(line) = self.lines.next() else {
                    return false;
                };
                self.ahead.push_back(line);
            }
            let Some(line) = self.ahead.get(seen) else {
                return false;
            };
            let (indent, body) = indent(line);
            if !body.is_empty() && !body.starts_with('#') {
                return indent > 0;
            }
            seen += 1;
        }
    }
}

impl OpenChunk {
    fn close(self, end: u32, after: SplitState) -> Chunk {
        Chunk { range: self.start..end, shape: self.shape, after }
    }
}
