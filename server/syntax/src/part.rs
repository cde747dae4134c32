//! One entry of a file, parsed alone and immutable.

use std::{ops::Range, sync::Arc};

use crate::{
    anchors::Marked,
    node::{Comment, Fault, NOT_COOKED, Node, NodeKind, Style, value_of},
    nodes::Nodes,
    slice::Slice,
    tree::Tree,
};

/// A node of a [`Part`]: its index in preorder. White space and comments do not change it.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct NodeId(pub u32);

/// What a [`Part`] stands for in its file.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum PartRole {
    /// An item of a section.
    Entry,
    /// A section's own line.
    Header,
    /// Something outside any section.
    Stray,
}

/// One entry of a section, a section's own line, or something outside any section.
///
/// The nodes are an arena in preorder: the key's scalar first where there is one, then the value.
#[derive(Debug, PartialEq)]
pub struct Part {
    pub(crate) role: PartRole,
    pub(crate) keyed: bool,
    pub(crate) broken: bool,
    /// Whether it holds an alias.
    pub(crate) aliases: bool,
    pub(crate) section: Arc<str>,
    pub(crate) text: Slice,
    pub(crate) nodes: Nodes,
    pub(crate) rest: Option<Box<Rest>>,
}

/// What most parts do not have.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Rest {
    pub(crate) cooked: Vec<Arc<str>>,
    pub(crate) comments: Vec<Comment>,
    pub(crate) faults: Vec<Fault>,
    pub(crate) marked: Vec<Arc<Marked>>,
}

impl Part {
    /// What it stands for in its file.
    pub fn role(&self) -> PartRole {
        self.role
    }

    /// The section it stands in or opens; empty outside any section.
    pub fn section(&self) -> &str {
        &self.section
    }

    /// The entry's name. None for an item of a list, for a value where an entry should be, and for
    /// all that is no entry.
    pub fn key(&self) -> Option<&str> {
        if self.role == PartRole::Entry && self.keyed { self.scalar(self.key_node()) } else { None }
    }

    /// The name's scalar (of a header, the section's name); the value itself where there is no name.
    pub fn key_node(&self) -> NodeId {
        NodeId(0)
    }

    /// The entry's value; a [`NodeKind::Null`] node where nothing is written.
    pub fn value(&self) -> NodeId {
        if self.keyed { NodeId(self.node(NodeId(0)).size) } else { NodeId(0) }
    }

    /// Its bytes, with the comment lines above it.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether some of it could not be read, so that what follows from its silence is no finding.
    pub fn broken(&self) -> bool {
        self.broken
    }

    /// What the node is.
    pub fn kind(&self, n: NodeId) -> NodeKind {
        self.node(n).kind
    }

    /// A scalar's value, quotes and escapes undone. None for a map, a list and nothing.
    pub fn scalar(&self, n: NodeId) -> Option<&str> {
        self.value_of(&self.node(n))
    }

    /// Whether the scalar is written plainly and its value is the source as it stands, so that
    /// offsets in one are offsets in the other.
    pub fn is_plain(&self, n: NodeId) -> bool {
        let node = self.node(n);
        node.kind == NodeKind::Scalar && node.style == Style::Plain && node.cooked == NOT_COOKED
    }

    /// A map's keys and values in order; empty for all else.
    pub fn pairs(&self, n: NodeId) -> impl Iterator<Item = (NodeId, NodeId)> {
        let mut children = self.children(n, NodeKind::Map);
        std::iter::from_fn(move || Some((children.next()?, children.next()?)))
    }

    /// A list's items in order; empty for all else.
    pub fn items(&self, n: NodeId) -> impl Iterator<Item = NodeId> {
        self.children(n, NodeKind::List)
    }

    /// The number behind the last node below `n`: in preorder all that a node holds is one run of numbers.
    pub fn end_of(&self, n: NodeId) -> NodeId {
        NodeId(n.0.saturating_add(self.node(n).size))
    }

    /// The map or list the node stands in; None for the entry's name and its value.
    pub fn parent(&self, n: NodeId) -> Option<NodeId> {
        match self.nodes.around(n.0) {
            Some(around) => around.parent.map(NodeId),
            None => (0..n.0).rev().map(NodeId).find(|m| m.0 + self.node(*m).size > n.0),
        }
    }

    /// The key of the pair that the node is the key or the value of; None outside any map.
    pub fn key_of(&self, n: NodeId) -> Option<NodeId> {
        if let Some(around) = self.nodes.around(n.0) {
            return around.key.map(NodeId);
        }
        let pair = self.pairs(self.parent(n)?).find(|(key, value)| [*key, *value].contains(&n));
        pair.map(|(key, _)| key)
    }

    /// Its bytes relative to the part. A block map or list runs from its first to its last child, a
    /// flow one from bracket to bracket; nothing has an empty span where a value would stand.
    pub fn span(&self, n: NodeId) -> Range<u32> {
        let node = self.node(n);
        node.start..node.end
    }

    /// The innermost node whose span holds `offset`, its end included.
    pub fn node_at(&self, offset: u32) -> Option<NodeId> {
        let holds = |node: &Node| node.start <= offset && offset <= node.end;
        self.nodes.iter().rposition(|node| holds(&node)).map(|n| NodeId(n as u32))
    }

    /// The number of nodes: [`NodeId`]s run from 0 up to it.
    pub fn nodes(&self) -> u32 {
        self.nodes.len() as u32
    }

    /// Its comments in order.
    pub fn comments(&self) -> &[Comment] {
        &self.rest().comments
    }

    /// What could not be read, in order.
    pub fn faults(&self) -> &[Fault] {
        &self.rest().faults
    }

    pub(crate) fn rest(&self) -> &Rest {
        const NONE: &Rest =
            &Rest { cooked: Vec::new(), comments: Vec::new(), faults: Vec::new(), marked: Vec::new() };
        self.rest.as_deref().unwrap_or(NONE)
    }

    /// A node; for an id of another part, nothing at the end of the text.
    fn node(&self, n: NodeId) -> Node {
        let nothing = || Node::nothing(self.text.len() as u32);
        self.nodes.get(n.0 as usize).unwrap_or_else(nothing)
    }

    fn value_of(&self, node: &Node) -> Option<&str> {
        value_of(node, &self.text, &self.rest().cooked)
    }

    fn children(&self, n: NodeId, kind: NodeKind) -> impl Iterator<Item = NodeId> {
        let node = self.node(n);
        let end = if node.kind == kind { n.0.saturating_add(node.size) } else { 0 };
        let mut next = n.0.saturating_add(1);
        std::iter::from_fn(move || {
            let child = (next < end).then_some(NodeId(next))?;
            next += self.node(child).size;
            Some(child)
        })
    }
}

/// A part of `tree`, whose nodes are a key and a value, or a value alone; what is missing is nothing.
pub(crate) fn part(
    role: PartRole,
    keyed: bool,
    section: &Arc<str>,
    text: &Slice,
    mut tree: Tree,
    broken: bool,
) -> Part {
    let end = tree.nodes.last().map_or_else(|| first_word(text).start, |node| node.end);
    let size = |at: usize| tree.nodes.get(at).map_or(1, |node| node.size as usize);
    let wanted = if keyed { size(0) + 1 } else { 1 };
    while tree.nodes.len() < wanted {
        tree.nodes.push(Node::nothing(end));
    }
    let rest =
        Rest { cooked: tree.cooked, comments: tree.comments, faults: tree.faults, marked: tree.marked };
    let rest = (rest != Rest::default()).then(|| Box::new(rest));
    let (nodes, aliases) = (Nodes::of(tree.nodes), tree.aliases);
    Part { role, keyed, broken, aliases, section: section.clone(), text: text.clone(), nodes, rest }
}

/// Where the first line that is no comment is written.
pub(crate) fn first_word(text: &str) -> Range<u32> {
    let mut start = 0;
    for line in text.split_inclusive(['\n', '\r']) {
        let body = line.trim();
        if !body.is_empty() && !body.starts_with('#') {
            let at = start + line.len() - line.trim_start().len();
            return at as u32..(at + body.len()) as u32;
        }
        start += line.len();
    }
    0..0
}

/// Whether two parts say the same: role, section, name, kinds of nodes, values and faults' words are
/// equal. Where they stand in the text does not matter.
pub fn alike(a: &Part, b: &Part) -> bool {
    let same_node =
        |(x, y): (Node, Node)| x.kind == y.kind && x.size == y.size && a.value_of(&x) == b.value_of(&y);
    a.role == b.role
        && a.keyed == b.keyed
        && a.broken == b.broken
        && a.section == b.section
        && a.nodes.len() == b.nodes.len()
        && a.faults().len() == b.faults().len()
        && a.nodes.iter().zip(b.nodes.iter()).all(same_node)
        && a.faults().iter().zip(b.faults()).all(|(x, y)| x.message == y.message)
}
