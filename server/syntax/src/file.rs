//! A file: its text and the parts it falls into.

use std::{collections::HashSet, ops::Range, sync::Arc};

use crate::{
    Part, PartRole, Text,
    anchors::{Marks, SURELY_COPIED},
    line::lines,
    node::{Fault, FaultKind},
    nodes::Nodes,
    part::Rest,
    read::{self, ReadContext, read},
    run,
    slice::Slice,
    split::{Chunk, ChunkShape, SplitState, split},
    tree::Tree,
};

/// Bytes of the longest file that is read.
pub const LONGEST: u32 = 64 << 20;

/// Behind so many lines that open a section, or stand outside any, the rest of a file is not read: it is no file
/// of a job, and each such line costs as much as an entry.
const MOST_OUTSIDE: usize = 10_000;

/// The files of a job share so many nodes that aliases may stand for, however short the files are: ten thousand
/// files of a line could stand for gigabytes.
const MOST_SURELY_COPIED: usize = 200_000;

/// A file's text and the parts it falls into.
///
/// The texts of the parts follow each other without gaps or overlaps and make up the file, but for a
/// byte-order mark at its start. Only entries that come out of one alias share its text.
#[derive(Clone, Debug)]
pub struct File {
    pub(crate) text: Text,
    /// None where the file was not read.
    pub(crate) rows: Vec<ReadChunk>,
    pub(crate) pieces: Vec<Piece>,
    /// Whether reading stopped before its end.
    pub(crate) cut_short: bool,
    /// Its aliases may stand for so many nodes, however short it is.
    pub(crate) surely: usize,
}

/// A part and where it stands.
#[derive(Clone, Debug)]
pub struct Piece {
    /// The byte of the file at which the part's text starts.
    pub start: u32,
    pub part: Arc<Part>,
}

/// What an edit did to a file's pieces: those of `removed` gave way to `added` new ones.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PieceChange {
    /// Indices before the edit.
    pub removed: Range<usize>,
    /// How many stand there now, from `removed.start` on.
    pub added: usize,
}

/// A chunk and how many pieces it was read into.
#[derive(Clone, Debug)]
pub(crate) struct ReadChunk {
    pub(crate) chunk: Chunk,
    pub(crate) pieces: u32,
    /// Whether its section was opened before in the file.
    pub(crate) again: bool,
}

impl File {
    /// Reads `text`.
    pub fn new(text: &str) -> File {
        File::among(text, 1)
    }

    /// Reads `text`, one of so many files of a job, which share what aliases may stand for.
    pub fn among(text: &str, files: usize) -> File {
        File::with(text, (MOST_SURELY_COPIED / files.max(1)).min(SURELY_COPIED))
    }

    /// Reads `text`, whose aliases may stand for `surely` nodes however short it is.
    pub(crate) fn with(text: &str, surely: usize) -> File {
        let whole: Arc<str> = text.into();
        let (rows, pieces) = (Vec::new(), Vec::new());
        let mut file = File { text: Text::of(&whole), rows, pieces, cut_short: false, surely };
        if file.text.len() > LONGEST {
            file.pieces.push(Piece { start: 0, part: Arc::new(too_long()) });
            return file;
        }
        let body = text.strip_prefix('\u{feff}').unwrap_or(text);
        let start = (text.len() - body.len()) as u32;
        if body.is_empty() {
            file.pieces.push(Piece { start, part: Arc::new(blank()) });
            return file;
        }
        let (mut run, mut outside) = (Vec::new(), 0);
        for chunk in split(lines(body), start, SplitState::START) {
            outside += usize::from(chunk.is_outside());
            if outside > MOST_OUTSIDE {
                file.add(&whole, &mut run);
                file.cut_short_at(&whole, chunk.range.start);
                break;
            }
            let uses = uses_alone(whole.get(chunk.range.start as usize..chunk.range.end as usize));
            if uses || !run::joins(&run, &chunk) {
                file.add(&whole, &mut run);
            }
            if uses {
                file.add_unread(chunk);
            } else {
                run.push(chunk);
            }
        }
        file.add(&whole, &mut run);
        file.rows.shrink_to_fit();
        file.pieces.shrink_to_fit();
        file.relate();
        file
    }

    /// Reads the chunks of a run, and adds them behind those before.
    fn add(&mut self, whole: &Arc<str>, run: &mut Vec<Chunk>) {
        let text = match run.as_slice() {
            [first, .., last] => whole.get(first.range.start as usize..last.range.end as usize),
            _ => None,
        };
        let mut trees = text.and_then(|text| run::trees(text, run)).into_iter().flatten();
        for chunk in run.drain(..) {
            let source = Slice::new(whole, chunk.range.clone());
            self.rows.push(match trees.next() {
                Some(tree) => ReadChunk::of_tree(chunk, &source, tree, &mut self.pieces),
                None => ReadChunk::read(chunk, &source, &mut self.pieces),
            });
        }
    }

    /// Adds a chunk that can be read only when all above it is.
    fn add_unread(&mut self, chunk: Chunk) {
        let start = chunk.range.start;
        self.rows.push(ReadChunk { chunk, pieces: 1, again: false });
        self.pieces.push(Piece { start, part: Arc::new(Part { aliases: true, ..blank() }) });
    }

    /// Leaves the rest of the text unread.
    fn cut_short_at(&mut self, whole: &Arc<str>, start: u32) {
        let text = Slice::new(whole, start..whole.len() as u32);
        let lines = lines(&text).count();
        let message = format!(
            "The last {lines} lines are not read: more than {MOST_OUTSIDE} lines above start a section or are outside any. Check that this file is part of a job."
        );
        let first = lines_end(&text);
        let part = Part { text, ..not_read(FaultKind::TooLarge, message, 0..first) };
        self.pieces.push(Piece { start, part: Arc::new(part) });
        self.cut_short = true;
    }

    /// Whether it would be cut short if `chunks` stood in the place of the rows `old`.
    pub(crate) fn too_much_outside(&self, old: &Range<usize>, chunks: &[Chunk]) -> bool {
        let others = |(index, row): (usize, &ReadChunk)| !old.contains(&index) && row.chunk.is_outside();
        let new = chunks.iter().filter(|chunk| chunk.is_outside()).count();
        new > 0 && new + self.rows.iter().enumerate().filter(|row| others(*row)).count() > MOST_OUTSIDE
    }

    /// A file that could not be read: it holds no text, and one fault that says why.
    pub fn unreadable(why: &str) -> File {
        let mut file = File::new("");
        file.pieces = vec![Piece {
            start: 0,
            part: Arc::new(not_read(FaultKind::Broken, format!("This file cannot be read: {why}."), 0..0)),
        }];
        file
    }

    /// The file's text.
    pub fn text(&self) -> &Text {
        &self.text
    }

    /// Its parts in the order they stand.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The piece in whose text `offset` stands; at a border, the later one.
    pub fn piece_at(&self, offset: u32) -> Option<usize> {
        let after = self.pieces.partition_point(|piece| piece.start <= offset);
        after.checked_sub(1)
    }

    /// Reads again what depends on other chunks: aliases, and a section's second opening. Returns the
    /// first to the last row that changed.
    pub(crate) fn relate(&mut self) -> Option<Range<usize>> {
        let mut marks = Marks::of_file(self.text.len() as usize, self.surely);
        let mut opened: HashSet<Arc<str>> = HashSet::new();
        let mut changed: Option<Range<usize>> = None;
        let mut at = 0;
        for (index, row) in self.rows.iter_mut().enumerate() {
            let own = at..at + row.pieces as usize;
            let Some(first) = self.pieces.get(at) else {
                break;
            };
            if matches!(row.chunk.shape, ChunkShape::DocumentStart { .. } | ChunkShape::DocumentEnd) {
                marks.clear();
            }
            let opens = matches!(row.chunk.shape, ChunkShape::Header(_) | ChunkShape::Whole(_));
            let again = opens && !opened.insert(row.chunk.section());
            if first.part.aliases || again != row.again {
                row.again = again;
                let text = self.text.shared(row.chunk.range.clone());
                let mut new = Vec::new();
                row.pieces(&text, &mut marks, &mut new);
                let old = self.pieces.get(own.clone()).unwrap_or_default();
                if !new.iter().map(|piece| &piece.part).eq(old.iter().map(|piece| &piece.part)) {
                    row.pieces = new.len() as u32;
                    self.pieces.splice(own, new);
                    changed = Some(changed.map_or(index, |rows| rows.start)..index + 1);
                }
            }
            if let Some(first) = self.pieces.get(at) {
                marks.extend(&first.part.rest().marked);
            }
            at += row.pieces as usize;
        }
        changed
    }
}

impl ReadChunk {
    /// Reads `text`, the lines of `chunk`, apart from the rest of the file, and adds its pieces to `all`.
    pub(crate) fn read(chunk: Chunk, text: &Slice, all: &mut Vec<Piece>) -> ReadChunk {
        let mut row = ReadChunk { chunk, pieces: 0, again: false };
        let before = all.len();
        row.pieces(text, &mut Marks::unknown(text), all);
        row.pieces = (all.len() - before) as u32;
        row
    }

    /// The same for an entry that was read already.
    fn of_tree(chunk: Chunk, text: &Slice, tree: Tree, all: &mut Vec<Piece>) -> ReadChunk {
        let row = ReadChunk { chunk, pieces: 1, again: false };
        read::of_tree(&row.context(), text, tree, false, &mut row.piece(all));
        row
    }

    fn context(&self) -> ReadContext {
        ReadContext { shape: self.chunk.shape, section: self.chunk.section(), again: self.again }
    }

    fn piece<'a>(&self, all: &'a mut Vec<Piece>) -> impl FnMut(u32, Part) + use<'a> {
        let start = self.chunk.range.start;
        move |at, part| all.push(Piece { start: start + at, part: Arc::new(part) })
    }

    fn pieces(&self, text: &Slice, marks: &mut Marks, all: &mut Vec<Piece>) {
        read(&self.context(), text, marks, &mut self.piece(all));
    }
}

fn too_long() -> Part {
    not_read(
        FaultKind::TooLarge,
        format!("This file is longer than {} MiB and is not read. Split it up.", LONGEST >> 20),
        0..0,
    )
}

/// What stands for something that was not read.
fn not_read(kind: FaultKind, message: String, range: Range<u32>) -> Part {
    let rest = Rest { faults: vec![Fault { kind, range, message }], ..Rest::default() };
    Part { broken: true, rest: Some(Box::new(rest)), ..blank() }
}

/// What stands for a file in which nothing is written.
fn blank() -> Part {
    Part {
        role: PartRole::Stray,
        keyed: false,
        broken: false,
        aliases: false,
        section: "".into(),
        text: Slice::from(""),
        nodes: Nodes::of(Vec::new()),
        rest: None,
    }
}

/// Whether lines may hold aliases, and surely no anchor.
fn uses_alone(text: Option<&str>) -> bool {
    let has = |byte: u8| text.is_some_and(|text| memchr::memchr(byte, text.as_bytes()).is_some());
    has(b'*') && !has(b'&')
}

/// Where the first line ends.
fn lines_end(text: &str) -> u32 {
    text.find(['\n', '\r']).unwrap_or(text.len()) as u32
}
