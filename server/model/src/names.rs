//! Names, and facts that remember where they were written.

use smol_str::SmolStr;
use syntax::NodeId;

/// A name as written: of a point, a zone, an option. Short ones (23 bytes) are stored in place.
pub type Name = SmolStr;

/// A fact and the node of its entry that states it. Node numbers survive edits of white space and
/// comments, so that two readings of the same facts compare equal.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Written<T> {
    /// What is stated.
    pub value: T,
    /// Where in the entry.
    pub at: NodeId,
}

impl<T> Written<T> {
    /// `value`, stated at `at`.
    pub fn new(value: T, at: NodeId) -> Self {
        Written { value, at }
    }

    /// The same place, another form of the value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Written<U> {
        Written { value: f(self.value), at: self.at }
    }
}

/// A reason for or place of a finding inside a scalar: byte offsets into its written text.
pub type Within = std::ops::Range<u32>;

/// A place in an entry, free of byte offsets wherever the entry could be read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Spot {
    Node(NodeId),
    /// A part of a plain scalar's text.
    Within(NodeId, Within),
    /// A comment, by its number in the entry.
    Comment(usize),
    /// Bytes of the entry: only for what could not be read.
    Bytes(Within),
}

impl Spot {
    /// The node it lies in, if it lies in one.
    pub fn node(&self) -> Option<NodeId> {
        match self {
            Spot::Node(node) | Spot::Within(node, _) => Some(*node),
            Spot::Comment(_) | Spot::Bytes(_) => None,
        }
    }

    /// Its bytes in the text of `part`.
    pub fn span(&self, part: &syntax::Part) -> Within {
        match self {
            Spot::Node(node) => part.span(*node),
            Spot::Within(node, within) => {
                let span = part.span(*node);
                (span.start + within.start).min(span.end)..(span.start + within.end).min(span.end)
            }
            Spot::Comment(n) => part.comments().get(*n).map_or(0..0, |c| c.range.clone()),
            Spot::Bytes(bytes) => bytes.clone(),
        }
    }
}

impl From<NodeId> for Spot {
    fn from(node: NodeId) -> Self {
        Spot::Node(node)
    }
}
