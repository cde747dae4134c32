//! Deviations: findings that are meant to stay, stated where they stand with their reason.

use crate::names::{Name, Spot};
use syntax::{Kind as Node, NodeId, Part};

/// `# deviation: CHECK, reason` in a comment.
#[derive(Clone, PartialEq, Debug)]
pub struct Deviation {
    /// The check whose findings it hides.
    pub check: Name,
    /// Why; empty if none is given, which a check reports.
    pub reason: String,
    /// Number of the comment in the entry.
    pub comment: usize,
    /// Nodes it covers: the item that begins on its line, or on the next if it has a line of its
    /// own, with all that the item holds. In preorder such an item is one run of node numbers.
    pub covers: std::ops::Range<u32>,
}

impl Deviation {
    /// Whether a finding of `check` at `spot` is one it hides.
    pub fn hides(&self, check: &str, spot: &Spot) -> bool {
        self.check == check && spot.node().is_some_and(|n| self.covers.contains(&n.0))
    }
}

pub(crate) fn deviations(part: &Part) -> Vec<Deviation> {
    let text = part.text();
    let mut found = Vec::new();
    for (comment, written) in part.comments().iter().enumerate() {
        let range = written.range.start as usize..written.range.end as usize;
        let words = text.get(range.clone()).unwrap_or("").trim_start_matches('#').trim_start();
        let Some(stated) = words.strip_prefix("deviation:") else { continue };
        let (check, reason) = stated.split_once(',').unwrap_or((stated, ""));
        let line = if written.own_line { next_content(text, range.end) } else { line_of(text, range.start) };
        found.push(Deviation {
            check: Name::new(check.trim()),
            reason: reason.trim().to_owned(),
            comment,
            covers: covered(part, line),
        });
    }
    found
}

fn line_of(text: &str, offset: usize) -> std::ops::Range<u32> {
    let before = text.get(..offset).unwrap_or("");
    let start = before.rfind(['\n', '\r']).map_or(0, |i| i + 1);
    let end = text.get(offset..).and_then(|t| t.find(['\n', '\r'])).map_or(text.len(), |i| offset + i);
    start as u32..end as u32
}

/// The next line that is neither blank nor a comment.
fn next_content(text: &str, after: usize) -> std::ops::Range<u32> {
    let mut offset = after;
    for line in text.get(after..).unwrap_or("").split_inclusive(['\n', '\r']) {
        let content = line.trim();
        if offset > after && !content.is_empty() && !content.starts_with('#') {
            return line_of(text, offset);
        }
        offset += line.len();
    }
    0..0
}

/// The outermost item that begins on a line: a key with its value, or an item of a list.
fn covered(part: &Part, line: std::ops::Range<u32>) -> std::ops::Range<u32> {
    for n in 0..part.nodes() {
        let node = NodeId(n);
        if !line.contains(&part.span(node).start) {
            continue;
        }
        if node == part.key_node() {
            return 0..part.nodes();
        }
        let parent = part.parent(node);
        let last = match parent.map(|p| part.kind(p)) {
            Some(Node::Map) => {
                let value = parent.and_then(|p| part.pairs(p).find(|(key, _)| *key == node));
                match value {
                    Some((_, value)) => value,
                    None => continue,
                }
            }
            Some(Node::List) => node,
            _ => continue,
        };
        return n..end_of(part, last);
    }
    0..0
}

/// The number behind the last node below `node`.
fn end_of(part: &Part, node: NodeId) -> u32 {
    (node.0 + 1..part.nodes())
        .find(|n| part.parent(NodeId(*n)).is_none_or(|parent| parent < node))
        .unwrap_or(part.nodes())
}
