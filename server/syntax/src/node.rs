//! What reading leaves of a text: nodes, comments, and what could not be read.

use std::{ops::Range, sync::Arc};

/// What a node is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum NodeKind {
    /// A value written on its own.
    Scalar,
    /// Keys and values.
    Map,
    /// Items in order.
    List,
    /// Nothing written (`a:`), or plain `~` or `null`.
    Null,
}

/// A comment, from its `#` to the end of its line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Comment {
    /// Bytes relative to the part.
    pub range: Range<u32>,
    /// Whether nothing but white space stands before it on its line.
    pub own_line: bool,
}

/// Why something was not read.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FaultKind {
    /// It is no YAML, or none that can stand here.
    Broken,
    /// It passes a limit: the length of a file, the depth of nesting, what aliases stand for.
    TooLarge,
}

/// YAML that cannot be read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fault {
    /// Why it was not read.
    pub kind: FaultKind,
    /// Bytes relative to the part.
    pub range: Range<u32>,
    /// What, why and what to do, in plain words.
    pub message: String,
}

/// How a scalar is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Style {
    Plain,
    Quoted,
    Block,
}

pub(crate) const NOT_COOKED: u32 = u32::MAX;

/// `size` counts the node and all below it, so a subtree moves without being rewritten.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Node {
    pub(crate) start: u32,
    pub(crate) end: u32,
    pub(crate) size: u32,
    /// Index of the cooked value, where it differs from the source.
    pub(crate) cooked: u32,
    pub(crate) kind: NodeKind,
    pub(crate) style: Style,
}

impl Node {
    /// Nothing, standing at `at`.
    pub(crate) fn nothing(at: u32) -> Node {
        Node { start: at, end: at, size: 1, cooked: NOT_COOKED, kind: NodeKind::Null, style: Style::Plain }
    }
}

/// A scalar's value: as cooked, or the source without its quotes.
pub(crate) fn value_of<'t>(node: &Node, text: &'t str, cooked: &'t [Arc<str>]) -> Option<&'t str> {
    if node.kind != NodeKind::Scalar {
        return None;
    }
    if let Some(cooked) = cooked.get(node.cooked as usize) {
        return Some(cooked);
    }
    let quote = usize::from(node.style == Style::Quoted);
    let (start, end) = (node.start as usize + quote, (node.end as usize).saturating_sub(quote));
    Some(text.get(start..end).unwrap_or_default())
}
