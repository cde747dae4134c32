//! Writing YAML: a value as a scalar, and edits of an entry that keep its comments, its quotes and its
//! line endings.
//!
//! What cannot be written without losing a comment, or without moving lines that nobody asked to move, is
//! not written: the answer is `None`.

mod scalar;

use crate::{Edit, NodeId, NodeKind, Part};

pub use scalar::{scalar, scalar_in};

/// Makes edits of one part. Their ranges are bytes of the part.
#[derive(Clone, Copy)]
pub struct Writer<'p> {
    part: &'p Part,
}

impl<'p> Writer<'p> {
    /// A writer for this part.
    pub fn new(part: &'p Part) -> Writer<'p> {
        Writer { part }
    }

    /// Writes a plain value in place of a scalar, or where one is missing, in the quotes that stand there.
    pub fn value(self, node: NodeId, value: &str) -> Option<Edit> {
        let quote = self.source(node).chars().next().filter(|quote| matches!(quote, '"' | '\''));
        self.yaml(node, &scalar_in(value, quote))
    }

    /// Writes YAML that fits on a line in place of a node that does not span comments.
    pub fn yaml(self, node: NodeId, yaml: &str) -> Option<Edit> {
        let span = self.part.span(node);
        let lines = self.source(node).contains(['\n', '\r']);
        if lines && (!self.is_flow(node) || self.holds_comment(span.start, span.end)) {
            return None;
        }
        if span.is_empty() {
            let at = self.place_of_nothing(span.start);
            return Some(edit(at, at, format!(" {yaml}")));
        }
        Some(edit(span.start, span.end, yaml.to_owned()))
    }

    /// Where a value is written that is missing: behind its colon or dash, and before the comments behind it.
    fn place_of_nothing(self, at: u32) -> u32 {
        let at = self.before(at).trim_end().len() as u32;
        let comment = self.part.comments().iter().find(|c| c.range.start < at && at <= c.range.end);
        comment.map_or(at, |comment| self.place_of_nothing(comment.range.start))
    }

    /// Adds a pair behind the last one of a map, or where nothing is written; `value` is YAML that fits on
    /// a line.
    pub fn pair(self, map: NodeId, key: &str, value: &str) -> Option<Edit> {
        let pair = format!("{}: {value}", scalar(key));
        match self.part.kind(map) {
            NodeKind::Null => self.yaml(map, &format!("{{{pair}}}")),
            NodeKind::Map => {
                let Some((_, last)) = self.part.pairs(map).last() else {
                    return self.yaml(map, &format!("{{{pair}}}"));
                };
                self.behind(map, last, &pair)
            }
            NodeKind::Scalar | NodeKind::List => None,
        }
    }

    /// Adds an item behind another of the same list; `item` is YAML that fits on a line.
    pub fn item(self, list: NodeId, last: NodeId, item: &str) -> Option<Edit> {
        self.behind(list, last, item)
    }

    /// Puts text behind the last child of a map or list: on the same line in a flow one, on a line of
    /// its own in a block.
    fn behind(self, parent: NodeId, last: NodeId, text: &str) -> Option<Edit> {
        let end = self.part.span(last).end;
        if self.is_flow(parent) {
            return Some(edit(end, end, format!(", {text}")));
        }
        let first = self.part.pairs(parent).next().map(|(key, _)| key);
        let indent = match first {
            Some(key) => self.lead(key)?.replace('-', " "),
            None => self.inner_lead(self.part.items(parent).next()?)?,
        };
        let line_end = end + self.after(end).find(['\n', '\r']).map_or(self.after(end).len(), |i| i) as u32;
        Some(edit(line_end, line_end, format!("{}{indent}{text}", self.line_break())))
    }

    /// What a further item of a block list begins with, where this one stands: its own dash, and blanks in
    /// place of the dashes of lists around it.
    fn inner_lead(self, item: NodeId) -> Option<String> {
        let lead = self.lead(item)?;
        let (dash, _) = lead.rmatch_indices('-').nth(self.lists_from_here(item))?;
        Some(format!("{}- ", lead.get(..dash)?.replace('-', " ")))
    }

    /// How many block lists begin with a node, itself among them: so many dashes before it are theirs.
    fn lists_from_here(self, node: NodeId) -> usize {
        let first = self.part.items(node).next().filter(|_| !self.is_flow(node));
        first.map_or(0, |first| 1 + self.lists_from_here(first))
    }

    /// Takes a pair out of its map; with it the map's own key if nothing else stands in the map.
    pub fn without_pair(self, map: NodeId, key: NodeId) -> Option<Edit> {
        let pairs: Vec<(NodeId, NodeId)> = self.part.pairs(map).collect();
        let at = pairs.iter().position(|(k, _)| *k == key)?;
        if pairs.len() == 1 {
            return self.without_parent(map);
        }
        let spans: Vec<(u32, u32)> =
            pairs.iter().map(|(k, v)| (self.part.span(*k).start, self.part.span(*v).end)).collect();
        self.without(map, &spans, at)
    }

    /// Takes an item out of its list; with it the list's own key if it is the only one.
    pub fn without_item(self, list: NodeId, item: NodeId) -> Option<Edit> {
        let items: Vec<NodeId> = self.part.items(list).collect();
        let at = items.iter().position(|i| *i == item)?;
        if items.len() == 1 {
            return self.without_parent(list);
        }
        let spans: Vec<(u32, u32)> =
            items.iter().map(|i| (self.part.span(*i).start, self.part.span(*i).end)).collect();
        self.without(list, &spans, at)
    }

    fn without_parent(self, node: NodeId) -> Option<Edit> {
        let map = self.part.parent(node)?;
        let (key, _) = self.part.pairs(map).find(|(_, value)| *value == node)?;
        self.without_pair(map, key)
    }

    /// Takes one of several children out.
    fn without(self, parent: NodeId, spans: &[(u32, u32)], at: usize) -> Option<Edit> {
        let (start, end) = *spans.get(at)?;
        let next = spans.get(at + 1).map(|(next, _)| *next);
        let (from, to) = if !self.is_flow(parent) {
            let dashes = self.line_before(start).matches('-').count();
            match self.part.items(parent).nth(at) {
                Some(item) if dashes == 1 + self.lists_from_here(item) => self.lines(start, end)?,
                // A list around it has its dash on the same line, or it has none of its own there.
                Some(_) => return None,
                None if dashes == 0 => self.lines(start, end)?,
                // The first pair of a map leaves the dash before it to the next.
                None => (start, next?),
            }
        } else if let Some(next) = next {
            (start, next)
        } else {
            (spans.get(at.checked_sub(1)?)?.1, end)
        };
        (!self.holds_comment(from, to)).then(|| edit(from, to, String::new()))
    }

    /// The whole lines from `start` to `end`, if nothing else stands on them.
    fn lines(self, start: u32, end: u32) -> Option<(u32, u32)> {
        let lead = self.line_before(start);
        if !lead.chars().all(|c| matches!(c, ' ' | '\t' | '-')) {
            return None;
        }
        let rest = self.after(end);
        let stop = rest.find(['\n', '\r'])?;
        let tail = rest.get(stop..)?;
        let line_break = if tail.starts_with("\r\n") { 2 } else { 1 };
        let from = start.saturating_sub(lead.len() as u32);
        rest.get(..stop)?.trim().is_empty().then_some((from, end + stop as u32 + line_break))
    }

    /// Takes a comment out, with its line if it has one of its own.
    pub fn without_comment(self, number: usize) -> Option<Edit> {
        let comment = self.part.comments().get(number)?;
        let (start, end) = (comment.range.start, comment.range.end);
        let (from, to) = match self.lines(start, end) {
            Some(lines) if comment.own_line => lines,
            _ => (self.before(start).trim_end_matches([' ', '\t']).len() as u32, end),
        };
        Some(edit(from, to, String::new()))
    }

    /// Takes the whole entry out, if no comment goes with it.
    pub fn without_entry(self) -> Option<Edit> {
        let text = self.part.text();
        let own_lines = self.before(self.part.span(self.part.key_node()).start).trim().is_empty()
            && text.ends_with(['\n', '\r']);
        let end = text.len() as u32;
        (own_lines && self.part.comments().is_empty()).then(|| edit(0, end, String::new()))
    }

    /// A node's text as written, if that is on one line.
    pub fn one_line(self, node: NodeId) -> Option<&'p str> {
        Some(self.source(node)).filter(|text| !text.contains(['\n', '\r']))
    }

    /// Whether a map or list is written in brackets. One in a block begins where its first child does, and
    /// that may be a bracket of the child's.
    fn is_flow(self, node: NodeId) -> bool {
        let start = self.part.span(node).start;
        let mut children = self.part.items(node).chain(self.part.pairs(node).map(|(key, _)| key));
        let first = children.next().map(|child| self.part.span(child).start);
        self.source(node).starts_with(['{', '[']) && first != Some(start)
    }

    /// What stands before a node on its line, if that is white space and the dashes of lists alone.
    fn lead(self, node: NodeId) -> Option<&'p str> {
        let line = self.line_before(self.part.span(node).start);
        line.chars().all(|c| matches!(c, ' ' | '-')).then_some(line)
    }

    /// What stands before a byte on its line.
    fn line_before(self, at: u32) -> &'p str {
        let before = self.before(at);
        before.rfind(['\n', '\r']).map_or(before, |i| before.get(i + 1..).unwrap_or_default())
    }

    fn line_break(self) -> &'static str {
        let text = self.part.text();
        match text.find(['\n', '\r']).and_then(|at| text.get(at..)) {
            Some(end) if end.starts_with("\r\n") => "\r\n",
            Some(end) if end.starts_with('\r') => "\r",
            _ => "\n",
        }
    }

    fn holds_comment(self, from: u32, to: u32) -> bool {
        self.part.comments().iter().any(|c| c.range.start < to && from < c.range.end)
    }

    /// A node's text as written.
    fn source(self, node: NodeId) -> &'p str {
        let span = self.part.span(node);
        self.part.text().get(span.start as usize..span.end as usize).unwrap_or_default()
    }

    fn before(self, at: u32) -> &'p str {
        self.part.text().get(..at as usize).unwrap_or_default()
    }

    fn after(self, at: u32) -> &'p str {
        self.part.text().get(at as usize..).unwrap_or_default()
    }
}

fn edit(from: u32, to: u32, new: String) -> Edit {
    Edit { range: from..to, new }
}
