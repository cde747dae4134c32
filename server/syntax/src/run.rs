//! Reads neighbouring entries at once: to set up a parser takes a quarter of the time that an entry takes.

use crate::{
    anchors::Marks,
    node::{Comment, NOT_COOKED, Node, NodeKind},
    split::{Chunk, ChunkShape},
    tree::{Tree, build},
};

/// So many entries are read at once. Where one of them is out of the ordinary, all are read again.
const MOST: usize = 32;

/// Whether a chunk is an entry that may be read together with those of `run`, which stand before it.
pub(crate) fn joins(run: &[Chunk], chunk: &Chunk) -> bool {
    let entry = |chunk: &Chunk| chunk.shape == ChunkShape::Entry(None);
    run.last().is_none_or(|last| entry(last) && entry(chunk) && run.len() < MOST)
}

/// The trees of the entries in `chunks`, whose lines make up `text`: the same as of each read alone.
///
/// Nothing where they may not be the same: where something cannot be read, lies in two of them, or is marked for
/// others to use.
pub(crate) fn trees(text: &str, chunks: &[Chunk]) -> Option<Vec<Tree>> {
    let (whole, trouble) = build(text, &mut Marks::unknown(text));
    if trouble.is_some() || !whole.faults.is_empty() || !whole.marked.is_empty() {
        return None;
    }
    let start = chunks.first()?.range.start;
    let mut left = whole.nodes.as_slice();
    let mut cooked = whole.cooked.into_iter();
    let mut comments = whole.comments.into_iter().peekable();
    let (mut trees, mut before) = (Vec::with_capacity(chunks.len()), 0);
    for chunk in chunks {
        let (from, to) = (chunk.range.start - start, chunk.range.end - start);
        let size = |at: usize| left.get(at).map(|node| node.size as usize);
        let first = size(0)?;
        let (own, rest) = left.split_at_checked(match whole.outer? {
            NodeKind::Map => first + size(first)?,
            _ => first,
        })?;
        left = rest;
        let mut values = 0;
        let mut nodes = Vec::with_capacity(own.len());
        for node in own {
            if node.start < from || to < node.end {
                return None;
            }
            let mut node = Node { start: node.start - from, end: node.end - from, ..*node };
            if node.cooked != NOT_COOKED {
                node.cooked = node.cooked.checked_sub(before)?;
                values += 1;
            }
            nodes.push(node);
        }
        before += values;
        let mut tree = Tree { nodes, outer: whole.outer, ..Tree::default() };
        tree.cooked.extend(cooked.by_ref().take(values as usize));
        while let Some(comment) = comments.next_if(|comment| comment.range.end <= to) {
            let range = comment.range.start.checked_sub(from)?..comment.range.end - from;
            tree.comments.push(Comment { range, ..comment });
        }
        trees.push(tree);
    }
    (left.is_empty() && comments.next().is_none()).then_some(trees)
}
