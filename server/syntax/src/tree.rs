//! Builds an arena of nodes from the parser's events.

use std::{collections::HashSet, ops::Range, sync::Arc};

use granit_parser::{ErrorKind, Event, Parser, ScalarStyle, Span, StructureStyle, options};

use crate::{
    anchors::{Anchors, Marked, Marks},
    node::{Comment, Fault, FaultKind, NOT_COOKED, Node, NodeKind, Style, value_of},
};

/// Deeper nesting than this is a fault.
pub(crate) const DEEPEST: usize = 64;

/// Room for as many nodes is made beforehand as a text may well hold, up to this many.
const MANY: usize = 256;

/// What a text holds.
#[derive(Debug, Default)]
pub(crate) struct Tree {
    pub(crate) nodes: Vec<Node>,
    pub(crate) cooked: Vec<Arc<str>>,
    pub(crate) comments: Vec<Comment>,
    pub(crate) faults: Vec<Fault>,
    pub(crate) marked: Vec<Arc<Marked>>,
    /// Whether something written is not in the nodes.
    pub(crate) lost: bool,
    /// Whether an alias was met.
    pub(crate) aliases: bool,
    /// The outermost block map or list is no node: its first pair or item is read in its place.
    pub(crate) outer: Option<NodeKind>,
}

/// Why reading stopped, and at which byte.
#[derive(Debug)]
pub(crate) struct Trouble {
    pub(crate) at: usize,
    pub(crate) kind: TroubleKind,
}

#[derive(Debug)]
pub(crate) enum TroubleKind {
    Parser(ErrorKind),
    /// No space stands behind the colon of a key.
    GluedColon,
}

impl From<ErrorKind> for TroubleKind {
    fn from(kind: ErrorKind) -> TroubleKind {
        TroubleKind::Parser(kind)
    }
}

/// Reads `text` up to the first place that cannot be read. Aliases stand for what `marks` knows and
/// for what the text itself marks.
pub(crate) fn build(text: &str, marks: &mut Marks) -> (Tree, Option<Trouble>) {
    let options = options! {
        max_buffered_comment_events: usize::MAX,
        flow_nesting_limit: DEEPEST,
        block_nesting_limit: DEEPEST,
        emit_anchor_events: true,
        emit_unresolved_aliases: true,
    };
    let mut builder = Builder {
        text,
        tree: Tree { nodes: Vec::with_capacity(MANY.min(text.len() / 8)), ..Tree::default() },
        open: Vec::new(),
        end: 0,
        anchors: Anchors::default(),
        marks,
        too_much: None,
        not_whole: None,
        trouble: None,
    };
    for next in Parser::new_from_str_with_options(text, options) {
        match next {
            Ok((event, span)) => builder.take(event, span),
            Err(error) => {
                let at = error.marker().byte_offset().unwrap_or_default().min(text.len());
                builder.trouble = Some(Trouble { at, kind: error.kind().clone().into() });
            }
        }
        if builder.trouble.is_some() {
            break;
        }
    }
    let trouble = builder.trouble.take();
    (builder.finish(), trouble)
}

pub(crate) struct Builder<'t, 'm> {
    pub(crate) text: &'t str,
    pub(crate) tree: Tree,
    pub(crate) open: Vec<OpenNode>,
    /// Where the node before ended.
    end: u32,
    pub(crate) anchors: Anchors,
    pub(crate) marks: &'m mut Marks,
    /// The fault that tells of the first alias that stands for too much, and how many more there are.
    pub(crate) too_much: Option<(usize, usize)>,
    /// The last node that stands in the place of an alias that stands for too much.
    pub(crate) not_whole: Option<usize>,
    pub(crate) trouble: Option<Trouble>,
}

pub(crate) struct OpenNode {
    /// None for the outermost block map or list.
    pub(crate) node: Option<usize>,
    pub(crate) kind: NodeKind,
    pub(crate) flow: bool,
    pub(crate) anchor: usize,
    pub(crate) children: usize,
    /// Where the last key stands in the arena.
    pub(crate) key: usize,
    /// The names of its keys, once there are more than a few.
    pub(crate) names: HashSet<String>,
    pub(crate) merges: bool,
}

impl Builder<'_, '_> {
    fn take(&mut self, event: Event<'_>, span: Span) {
        let range = span.byte_range().unwrap_or_default();
        let range = range.start as u32..range.end.max(range.start) as u32;
        self.tag(&event, &span);
        match event {
            Event::Scalar(value, style, anchor, _) => {
                let node = self.scalar(&value, style, range);
                self.push(node);
                self.complete(anchor, self.tree.nodes.len() - 1);
            }
            Event::MappingStart(style, anchor, _) => self.start(NodeKind::Map, style, anchor, &range),
            Event::SequenceStart(style, anchor, _) => self.start(NodeKind::List, style, anchor, &range),
            Event::MappingEnd | Event::SequenceEnd => self.close(range.end),
            Event::Anchor(id, name) => self.anchors.name(id, &name),
            Event::Alias(id) => self.alias(Some(id), &range),
            Event::UnresolvedAlias(_) => self.alias(None, &range),
            Event::Comment(..) => self.comment(range),
            _ => {}
        }
    }

    pub(crate) fn slice(&self, range: &Range<u32>) -> &str {
        self.text.get(range.start as usize..range.end as usize).unwrap_or_default()
    }

    pub(crate) fn value(&self, node: &Node) -> Option<&str> {
        value_of(node, self.text, &self.tree.cooked)
    }

    pub(crate) fn fault(&mut self, kind: FaultKind, range: &Range<u32>, message: String) {
        let range = range.clone();
        self.tree.faults.push(Fault { kind, range, message });
    }

    /// What stands at `range` is not read.
    pub(crate) fn lose(&mut self, kind: FaultKind, range: &Range<u32>, message: String) {
        self.tree.lost = true;
        self.fault(kind, range, message);
    }

    /// Tags have no meaning here; most likely the `!` belongs to a text.
    fn tag(&mut self, event: &Event<'_>, span: &Span) {
        let own = event.tag().is_some_and(|tag| tag.handle() == "!");
        let Some(range) = span.tag_span().and_then(|tag| tag.byte_range()).filter(|_| own) else {
            return;
        };
        let range = range.start as u32..range.end as u32;
        let tag = self.slice(&range);
        let message = format!(
            "`{tag}` is an instruction to YAML, so this value is not read as written. Put the whole value in quotes."
        );
        self.lose(FaultKind::Broken, &range, message);
    }

    fn comment(&mut self, range: Range<u32>) {
        let before = self.slice(&(0..range.start));
        let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
        let own_line = line.trim_matches([' ', '\t', '\u{feff}']).is_empty();
        self.tree.comments.push(Comment { range, own_line });
    }

    fn scalar(&mut self, value: &str, style: ScalarStyle, range: Range<u32>) -> Node {
        let plain = style == ScalarStyle::Plain;
        if plain && range.is_empty() {
            return Node::nothing(self.stand(range.start));
        }
        if plain && matches!(value, "~" | "null" | "Null" | "NULL") {
            return Node { end: range.end, ..Node::nothing(range.start) };
        }
        let style = match style {
            ScalarStyle::Plain => Style::Plain,
            ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted => Style::Quoted,
            ScalarStyle::Literal | ScalarStyle::Folded => Style::Block,
        };
        let mut source = self.slice(&range);
        if style == Style::Block {
            // The parser's span runs on to the indentation of the next line.
            source = source.trim_end_matches([' ', '\t', '\n', '\r']);
        }
        let (start, end) = (range.start, range.start + source.len() as u32);
        let mut node = Node { start, end, size: 1, cooked: NOT_COOKED, kind: NodeKind::Scalar, style };
        if value_of(&node, self.text, &[]) != Some(value) {
            node.cooked = self.tree.cooked.len() as u32;
            self.tree.cooked.push(value.into());
        }
        node
    }

    /// Where a value would stand that is not written: behind the colon and a space.
    fn stand(&self, at: u32) -> u32 {
        let behind_key = self.open.last().is_some_and(OpenNode::wants_value);
        if !behind_key {
            return at;
        }
        let rest = self.slice(&(self.end..self.text.len() as u32));
        let value = rest.trim_start().strip_prefix(':').map(|value| value.strip_prefix(' ').unwrap_or(value));
        value.map_or(at, |value| (self.text.len() - value.len()) as u32)
    }

    fn start(&mut self, kind: NodeKind, style: StructureStyle, anchor: usize, range: &Range<u32>) {
        if self.open.len() >= DEEPEST {
            let kind = ErrorKind::RecursionLimitExceeded.into();
            self.trouble = Some(Trouble { at: range.start as usize, kind });
            return;
        }
        let flow = style == StructureStyle::Flow;
        let outer = !flow && self.open.is_empty();
        if outer {
            self.tree.outer = Some(kind);
        } else {
            self.push(Node { kind, ..Node::nothing(range.start) });
        }
        let node = (!outer).then(|| self.tree.nodes.len() - 1);
        let names = HashSet::new();
        self.open.push(OpenNode { node, kind, flow, anchor, children: 0, key: 0, names, merges: false });
    }

    fn push(&mut self, node: Node) {
        if let Some(parent) = self.open.last_mut()
            && parent.children % 2 == 0
        {
            parent.key = self.tree.nodes.len();
        }
        self.end = node.end;
        self.tree.nodes.push(node);
    }

    pub(crate) fn nothing(&mut self, range: &Range<u32>) {
        self.push(Node { end: range.end, ..Node::nothing(range.start) });
        self.complete(0, self.tree.nodes.len() - 1);
    }

    /// Copies of nodes: the first is the root of the others.
    pub(crate) fn graft(&mut self, nodes: impl Iterator<Item = Node>, end: u32) {
        let at = self.tree.nodes.len();
        for node in nodes {
            if self.tree.nodes.len() == at {
                self.push(node);
            } else {
                self.tree.nodes.push(node);
            }
        }
        self.end = end;
        self.complete(0, at);
    }

    fn close(&mut self, end: u32) {
        let Some(open) = self.open.pop() else { return };
        let Some(at) = open.node else { return };
        let below = self.tree.nodes.get(at + 1..).unwrap_or_default();
        let block = (below.first().map(|n| n.start), below.iter().map(|n| n.end).max());
        let (start, end) = if open.flow { (None, end) } else { (block.0, block.1.unwrap_or(end)) };
        if open.merges {
            self.merge(at);
        }
        let size = (self.tree.nodes.len() - at) as u32;
        if let Some(node) = self.tree.nodes.get_mut(at) {
            (node.start, node.end, node.size) = (start.unwrap_or(node.start), end, size);
        }
        self.end = end;
        self.complete(open.anchor, at);
    }

    /// The node `at` and all below it is read.
    fn complete(&mut self, anchor: usize, at: usize) {
        if anchor != 0 {
            self.mark(anchor, at);
        }
        let Some(open) = self.open.last_mut() else {
            return;
        };
        open.children += 1;
        if open.kind == NodeKind::Map && open.children % 2 == 0 {
            self.pair();
        }
    }

    /// Closes what is still open, where reading had to stop.
    fn finish(mut self) -> Tree {
        while let Some(open) = self.open.last() {
            if open.wants_value() {
                let end = self.end;
                self.nothing(&(end..end));
            }
            self.close(self.end);
        }
        self.count_too_much();
        self.tree.marked = self.anchors.named();
        self.tree
    }
}

impl OpenNode {
    fn wants_value(&self) -> bool {
        self.kind == NodeKind::Map && self.children % 2 == 1
    }
}
