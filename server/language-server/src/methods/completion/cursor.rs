//! The entry around the cursor, read as if a word stood there.
//!
//! What is half typed is seldom YAML. With a word in the cursor's place it mostly is, and the reader
//! mends the rest, so that places are told by the same trees as everywhere else.

use std::ops::Range;
use std::sync::Arc;
use syntax::{File, NodeId, Part, PartRole};

/// The word put in: nobody's name.
const WORD: &str = "drycall-cursor";

/// A cursor in a file.
#[derive(Debug)]
pub(super) struct Cursor {
    /// The bytes of the file that are typed over: the word at the cursor, or nothing.
    pub(super) word: Range<u32>,
    /// What stands of that word before the cursor.
    pub(super) typed: String,
    /// What stands before the word on its line.
    pub(super) line: String,
    /// Whether a colon stands behind the word.
    pub(super) colon: bool,
    /// What items of a list stand around the word, where it has no dash.
    pub(super) items: Items,
    /// What it is in.
    pub(super) at: At,
}

/// Items of a list as far in as a word alone on its line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Items {
    None,
    /// One below, which may be of another list.
    Below,
    /// Those of the list that the word belongs to.
    Around,
}

/// What a cursor is in.
#[derive(Debug)]
pub(super) enum At {
    /// The very left of a line, where a section may begin.
    Margin,
    /// A comment, with what stands in it before the word.
    Comment(String),
    /// A scalar of an entry.
    Scalar(Scalar),
}

/// The scalar that the word stands in.
#[derive(Debug)]
pub(super) struct Scalar {
    /// The entry with the word in it.
    pub(super) part: Arc<Part>,
    pub(super) node: NodeId,
    /// What stands in it before the word.
    pub(super) before: String,
    /// Whether it is nothing but the word.
    pub(super) whole: bool,
    /// Whether it is read as a key for want of anything else on its line.
    pub(super) guessed: bool,
}

impl Cursor {
    /// The cursor at a byte of a file; nothing where the place cannot be read.
    pub(super) fn find(file: &File, offset: u32) -> Option<Cursor> {
        let around = Window::of(file, offset);
        let (before, after) = around.text.split_at_checked(around.cursor)?;
        let typed = before.rsplit(ends_word).next().unwrap_or_default();
        let rest = after.split(ends_word).next().unwrap_or_default();
        let (before, after) = (before.strip_suffix(typed)?, after.strip_prefix(rest)?);
        let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
        let colon = after.trim_start_matches([' ', '\t']).starts_with(':');
        // A word alone on its line is a key, or is about to be.
        let guessed = !colon && line.split_whitespace().all(|mark| mark == "-");
        let alone = guessed && line.trim_start().is_empty();
        let items = if alone { items(before, line, after) } else { Items::None };
        let at = if line.is_empty() {
            At::Margin
        } else {
            let before =
                [around.header.as_str(), before, if items == Items::Around { "- " } else { "" }].concat();
            let text = [before.as_str(), WORD, if guessed { ":" } else { "" }, after].concat();
            seek(&File::new(&text), before.len() as u32, guessed)?
        };
        let offset = offset.min(file.text().len());
        let word = offset - typed.len() as u32..offset + rest.len() as u32;
        Some(Cursor { word, typed: typed.to_owned(), line: line.to_owned(), colon, items, at })
    }
}

/// The items around a line that is blank but for a word. It is one of theirs if there are some above and
/// below, or above and what the list belongs to is further out. A list may stand as far in as its key, so
/// below its last item another key may follow.
fn items(before: &str, line: &str, after: &str) -> Items {
    let column = line.len();
    let indent = |line: &str| line.len() - line.trim_start_matches(' ').len();
    let is_item = |line: &str| line.trim_start() == "-" || line.trim_start().starts_with("- ");
    let counts = |line: &&str| !line.trim_start().is_empty() && !line.trim_start().starts_with('#');
    let mut above = before.lines().rev().skip(1).filter(counts).filter(|line| indent(line) <= column);
    let below = after.lines().skip(1).find(counts);
    let below = below.is_some_and(|line| indent(line) == column && is_item(line));
    let nearest = above.next().filter(|line| indent(line) == column);
    let around = match nearest {
        Some(nearest) if is_item(nearest) && !below => {
            let key = above.find(|line| indent(line) < column || !is_item(line));
            key.is_none_or(|key| indent(key) < column)
        }
        nearest => below && nearest.is_some(),
    };
    match (around, below) {
        (true, _) => Items::Around,
        (false, true) => Items::Below,
        (false, false) => Items::None,
    }
}

/// What no word goes on over: what YAML and logic are written with.
fn ends_word(c: char) -> bool {
    c.is_whitespace() || matches!(c, '{' | '}' | '[' | ']' | '(' | ')' | ',' | ':' | '"' | '\'' | '#')
}

/// The entries around a cursor, cut out of their file.
struct Window {
    /// The line that opens their section, where it is not among them.
    header: String,
    text: String,
    /// The byte of `text` at which the cursor stands.
    cursor: usize,
}

impl Window {
    fn of(file: &File, offset: u32) -> Window {
        let pieces = file.pieces();
        let is_entry = |i: usize| pieces.get(i).is_some_and(|p| p.part.role() == PartRole::Entry);
        // Blank lines belong to what follows them, and what is typed there to what comes before.
        let (mut from, mut to) = match file.piece_at(offset) {
            Some(here) => (here.saturating_sub(1), here + 1),
            None => (0, pieces.len()),
        };
        let mut head = from;
        while is_entry(head) && head > 0 {
            head -= 1;
        }
        let header = pieces.get(head).map(|p| &p.part).filter(|part| part.role() == PartRole::Header);
        let opened_in_line = header.is_some_and(|part| part.text().contains(['{', '[']));
        if opened_in_line {
            from = head;
            while is_entry(to) {
                to += 1;
            }
        }
        let header = header.filter(|_| head < from).map(|part| format!("{}:\n", part.section()));
        let start = pieces.get(from).map_or(0, |piece| piece.start);
        let end = pieces.get(to).map_or(file.text().len(), |piece| piece.start);
        Window {
            header: header.unwrap_or_default(),
            text: file.text().slice(start..end),
            cursor: offset.min(end).saturating_sub(start) as usize,
        }
    }
}

/// What the word at a byte of a file is in.
fn seek(file: &File, offset: u32, guessed: bool) -> Option<At> {
    let piece = file.pieces().get(file.piece_at(offset)?)?;
    let (part, at) = (&piece.part, offset - piece.start);
    for comment in part.comments() {
        if comment.range.contains(&at) {
            return Some(At::Comment(part.text().get(comment.range.start as usize..at as usize)?.to_owned()));
        }
    }
    if part.role() != PartRole::Entry {
        return None;
    }
    let holds = |node: &NodeId| part.scalar(*node).is_some_and(|value| value.contains(WORD));
    let node = (0..part.nodes()).map(NodeId).find(holds)?;
    let (before, after) = part.scalar(node)?.split_once(WORD)?;
    let whole = before.is_empty() && after.is_empty();
    Some(At::Scalar(Scalar { part: part.clone(), node, before: before.to_owned(), whole, guessed }))
}
