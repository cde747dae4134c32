//! Edits: only what an edit touched is split and read again.

use std::{collections::HashMap, ops::Range, sync::Arc};

use crate::{
    Edit, File, Part, Piece, PieceChange,
    file::{LONGEST, ReadChunk},
    slice::Slice,
    split::{Chunk, ChunkShape, SplitState, split},
};

/// A chunk's border depends on the first line that says something behind it, a bare word's meaning on
/// the one after that: so many chunks before the edit are split again.
const BACK: usize = 3;

impl File {
    /// Applies `edit` and reads again what it touched. A range outside the text is cut to it, one that
    /// begins or ends inside a character moved to the character's start. Parts the edit leaves as they
    /// were stay the same `Arc`.
    pub fn edit(&mut self, edit: &Edit) -> PieceChange {
        let before = self.text.len();
        let taken = self.text.replace(&edit.range, &edit.new);
        let length = self.text.len();
        // A mark alone, which takes three bytes, is no text.
        if self.rows.is_empty() || self.cut_short || length > LONGEST || length <= 3 {
            return self.read_whole();
        }
        let edited = Edited { taken, grown: i64::from(length) - i64::from(before) };
        let (old, new) = self.resplit(&edited);
        if self.too_much_outside(&old, &new) {
            return self.read_whole();
        }
        self.replace(old, &new, &edited)
    }

    fn read_whole(&mut self) -> PieceChange {
        let removed = 0..self.pieces.len();
        *self = File::with(&self.text.to_string(), self.surely);
        PieceChange { removed, added: self.pieces.len() }
    }

    /// The rows that no longer stand, and the chunks that stand in their place.
    fn resplit(&self, edited: &Edited) -> (Range<usize>, Vec<Chunk>) {
        let taken = &edited.taken;
        let touched = self.rows.partition_point(|row| row.chunk.range.end < taken.start);
        let from = touched.saturating_sub(BACK);
        let place = self.place_before(from);
        let mark = if self.text.cow(0..4).starts_with('\u{feff}') { 3 } else { 0 };
        let start =
            if from == 0 { mark } else { self.rows.get(from).map_or(mark, |row| row.chunk.range.start) };
        let lines = self.text.lines_from(start);
        let mut new: Vec<Chunk> = Vec::new();
        for chunk in split(lines, start, place.clone()) {
            let open = new.last().map_or(&place, |chunk| &chunk.after);
            if let Some(same) = self.row_at(edited, chunk.range.start)
                && same > from
                && self.place_before(same) == *open
            {
                return (from..same, new);
            }
            new.push(chunk);
        }
        (from..self.rows.len(), new)
    }

    fn place_before(&self, row: usize) -> SplitState {
        let before = row.checked_sub(1).and_then(|row| self.rows.get(row));
        before.map_or(SplitState::START, |row| row.chunk.after.clone())
    }

    /// The row that started at what is now `start`, if that lies behind the edit.
    fn row_at(&self, edited: &Edited, start: u32) -> Option<usize> {
        let was = u32::try_from(i64::from(start) - edited.grown).ok()?;
        let row = self.rows.partition_point(|row| row.chunk.range.start < was);
        let found = self.rows.get(row)?;
        (was >= edited.taken.end && found.chunk.range.start == was).then_some(row)
    }

    /// Puts what `new` holds in the place of the rows `old`, and keeps what is the same.
    fn replace(&mut self, old: Range<usize>, new: &[Chunk], edited: &Edited) -> PieceChange {
        let texts: Vec<String> = new.iter().map(|chunk| self.text.slice(chunk.range.clone())).collect();
        let new: Vec<(&Chunk, &str)> = new.iter().zip(texts.iter().map(String::as_str)).collect();
        let (front, back) = self.same(old.clone(), &new);
        let gone = old.start + front..old.end - back;
        let new = new.get(front..new.len() - back).unwrap_or_default();
        let pieces = self.pieces_before(gone.start)..self.pieces_before(gone.end);
        let before = self.pieces.len();

        let mut kept = self.kept(gone.clone(), pieces.start);
        let (mut rows, mut read) = (Vec::with_capacity(new.len()), Vec::with_capacity(new.len()));
        for (chunk, text) in new.iter().copied() {
            let same = kept.get_mut(&(chunk.shape, chunk.section(), text)).and_then(Vec::pop);
            rows.push(match same {
                Some(part) => {
                    read.push(Piece { start: chunk.range.start, part });
                    ReadChunk { chunk: chunk.clone(), pieces: 1, again: false }
                }
                None => ReadChunk::read(chunk.clone(), &Slice::from(text), &mut read),
            });
        }
        let old_rows = self.rows.get(gone.clone()).unwrap_or_default();
        let old_pieces = self.pieces.get(pieces.clone()).unwrap_or_default();
        let related = rows.iter().chain(old_rows).any(ReadChunk::relates)
            || read.iter().chain(old_pieces).any(Piece::relates);

        let mut changed = gone.start..gone.start + rows.len();
        for row in self.rows.iter_mut().skip(gone.end) {
            row.chunk.range = edited.moved(row.chunk.range.start)..edited.moved(row.chunk.range.end);
        }
        for piece in self.pieces.iter_mut().skip(pieces.end) {
            piece.start = edited.moved(piece.start);
        }
        self.rows.splice(gone, rows);
        self.pieces.splice(pieces, read);
        if related && let Some(more) = self.relate() {
            changed = changed.start.min(more.start)..changed.end.max(more.end);
        }
        let start = self.pieces_before(changed.start);
        let later = self.pieces.len() - self.pieces_before(changed.end);
        PieceChange { removed: start..before - later, added: self.pieces.len() - later - start }
    }

    /// How many rows of `old` at its front, and then at its back, hold what `new` does there.
    fn same(&self, old: Range<usize>, new: &[(&Chunk, &str)]) -> (usize, usize) {
        let most = old.len().min(new.len());
        let mut at = self.pieces_before(old.start);
        let mut front = 0;
        while front < most && self.holds(old.start + front, at, new.get(front)) {
            // Only a byte-order mark put in or taken away moves lines before the first edited one.
            let start = self.rows.get(old.start + front).map(|row| row.chunk.range.start);
            if start != new.get(front).map(|(chunk, _)| chunk.range.start) {
                break;
            }
            at += self.rows.get(old.start + front).map_or(0, |row| row.pieces as usize);
            front += 1;
        }
        let mut at = self.pieces_before(old.end);
        let mut back = 0;
        while back < most - front {
            let row = old.end - back - 1;
            at -= self.rows.get(row).map_or(0, |row| row.pieces as usize);
            if !self.holds(row, at, new.get(new.len() - back - 1)) {
                break;
            }
            back += 1;
        }
        (front, back)
    }

    /// Whether a row, whose pieces start at index `at`, holds what `new` does.
    fn holds(&self, row: usize, at: usize, new: Option<&(&Chunk, &str)>) -> bool {
        let (Some(row), Some((chunk, text))) = (self.rows.get(row), new) else {
            return false;
        };
        let range = &row.chunk.range;
        let length = (range.end - range.start) as usize;
        let stands = |piece: &Piece| {
            let start = piece.start.saturating_sub(range.start) as usize;
            text.get(start..).is_some_and(|text| text.starts_with(piece.part.text()))
        };
        row.chunk.shape == chunk.shape
            && row.chunk.after == chunk.after
            && length == text.len()
            && self.pieces.iter().skip(at).take(row.pieces as usize).all(stands)
    }

    /// The parts of `rows` that their text alone accounts for.
    fn kept(&self, rows: Range<usize>, mut at: usize) -> Kept<'_> {
        let mut kept = Kept::new();
        for row in self.rows.get(rows).unwrap_or_default() {
            if let Some(Piece { part, .. }) = self.pieces.get(at)
                && row.pieces == 1
                && !row.again
                && !part.aliases
            {
                kept.entry((row.chunk.shape, row.chunk.section(), part.text()))
                    .or_default()
                    .push(part.clone());
            }
            at += row.pieces as usize;
        }
        kept
    }

    fn pieces_before(&self, row: usize) -> usize {
        self.rows.iter().take(row).map(|row| row.pieces as usize).sum()
    }
}

/// Parts by all that they were read from.
type Kept<'t> = HashMap<(ChunkShape, Arc<str>, &'t str), Vec<Arc<Part>>>;

/// The bytes an edit took away, as they stood before, and by how much the text grew.
struct Edited {
    taken: Range<u32>,
    grown: i64,
}

impl Edited {
    fn moved(&self, at: u32) -> u32 {
        u32::try_from(i64::from(at) + self.grown).unwrap_or_default()
    }
}

impl ReadChunk {
    /// Whether how other rows are read depends on it by its place alone.
    fn relates(&self) -> bool {
        !matches!(self.chunk.shape, ChunkShape::Entry(_) | ChunkShape::Stray | ChunkShape::Empty)
    }
}

impl Piece {
    /// Whether it holds aliases or anchors.
    fn relates(&self) -> bool {
        self.part.aliases || !self.part.rest().marked.is_empty()
    }
}
