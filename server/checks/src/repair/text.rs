//! Edits of an entry's text that keep its comments, its quotes and its line endings.

use super::PartEdit;
use model::{Entry, EntryId};
use syntax::{Kind, NodeId, Part};

/// An entry whose text may be edited.
#[derive(Clone, Copy)]
pub(crate) struct Target<'e> {
    id: EntryId,
    part: &'e Part,
}

impl<'e> Target<'e> {
    pub(crate) fn new(id: EntryId, entry: &'e Entry) -> Target<'e> {
        Target { id, part: &entry.part }
    }

    /// Writes a plain value in place of a scalar, or where one is missing.
    pub(crate) fn value(self, node: NodeId, value: &str) -> Option<PartEdit> {
        let quote = match self.source(node).chars().next() {
            Some(quote @ ('"' | '\'')) => Some(quote),
            _ => None,
        };
        self.yaml(node, &scalar(value, quote))
    }

    /// Writes YAML that fits on a line in place of a node that does not span comments.
    pub(crate) fn yaml(self, node: NodeId, yaml: &str) -> Option<PartEdit> {
        let span = self.part.span(node);
        let lines = self.source(node).contains(['\n', '\r']);
        if lines && (!self.is_flow(node) || self.holds_comment(span.start, span.end)) {
            return None;
        }
        let glued = span.is_empty() && self.before(span.start).ends_with(':');
        Some(self.edit(span.start, span.end, if glued { format!(" {yaml}") } else { yaml.to_owned() }))
    }

    /// Replaces bytes of the entry.
    pub(crate) fn edit(self, from: u32, to: u32, new: impl Into<String>) -> PartEdit {
        PartEdit { entry: self.id, range: from..to, new: new.into() }
    }

    /// Adds a pair behind the last one of a map; `value` is YAML that fits on a line.
    pub(crate) fn pair(self, map: NodeId, key: &str, value: &str) -> Option<PartEdit> {
        let pair = format!("{}: {value}", scalar(key, None));
        match self.part.kind(map) {
            Kind::Null => self.yaml(map, &format!("{{{pair}}}")),
            Kind::Map => {
                let Some((_, last)) = self.part.pairs(map).last() else {
                    return self.yaml(map, &format!("{{{pair}}}"));
                };
                self.behind(map, last, &pair)
            }
            Kind::Scalar | Kind::List => None,
        }
    }

    /// Adds an item behind another of the same list; `item` is YAML that fits on a line.
    pub(crate) fn item(self, list: NodeId, last: NodeId, item: &str) -> Option<PartEdit> {
        self.behind(list, last, item)
    }

    /// Puts text behind the last child of a map or list: on the same line in a flow one, on a line of
    /// its own in a block.
    fn behind(self, parent: NodeId, last: NodeId, text: &str) -> Option<PartEdit> {
        let end = self.part.span(last).end;
        if self.is_flow(parent) {
            return Some(self.edit(end, end, format!(", {text}")));
        }
        let first = self.part.pairs(parent).next().map(|(key, _)| key);
        let indent = match first {
            Some(key) => self.lead(key)?.replace('-', " "),
            None => self.lead(self.part.items(parent).next()?)?.to_owned(),
        };
        let line_end = end + self.after(end).find(['\n', '\r']).map_or(self.after(end).len(), |i| i) as u32;
        Some(self.edit(line_end, line_end, format!("{}{indent}{text}", self.line_break())))
    }

    /// Takes a pair out of its map; with it the map's own key if nothing else stands in the map.
    pub(crate) fn without_pair(self, map: NodeId, key: NodeId) -> Option<PartEdit> {
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
    pub(crate) fn without_item(self, list: NodeId, item: NodeId) -> Option<PartEdit> {
        let items: Vec<NodeId> = self.part.items(list).collect();
        let at = items.iter().position(|i| *i == item)?;
        if items.len() == 1 {
            return self.without_parent(list);
        }
        let spans: Vec<(u32, u32)> =
            items.iter().map(|i| (self.part.span(*i).start, self.part.span(*i).end)).collect();
        self.without(list, &spans, at)
    }

    fn without_parent(self, node: NodeId) -> Option<PartEdit> {
        let map = self.part.parent(node)?;
        let (key, _) = self.part.pairs(map).find(|(_, value)| *value == node)?;
        self.without_pair(map, key)
    }

    /// Takes one of several children out.
    fn without(self, parent: NodeId, spans: &[(u32, u32)], at: usize) -> Option<PartEdit> {
        let (start, end) = *spans.get(at)?;
        let (from, to) = if !self.is_flow(parent) {
            self.lines(start, end)?
        } else if let Some((next, _)) = spans.get(at + 1) {
            (start, *next)
        } else {
            (spans.get(at.checked_sub(1)?)?.1, end)
        };
        (!self.holds_comment(from, to)).then(|| self.edit(from, to, ""))
    }

    /// The whole lines from `start` to `end`, if nothing else stands on them.
    fn lines(self, start: u32, end: u32) -> Option<(u32, u32)> {
        let before = self.before(start);
        let line = before.rfind(['\n', '\r']).map_or(0, |i| i + 1);
        let lead = before.get(line..)?;
        if !lead.chars().all(|c| matches!(c, ' ' | '\t' | '-')) {
            return None;
        }
        let rest = self.after(end);
        let stop = rest.find(['\n', '\r'])?;
        let tail = rest.get(stop..)?;
        let line_break = if tail.starts_with("\r\n") { 2 } else { 1 };
        rest.get(..stop)?.trim().is_empty().then_some((line as u32, end + stop as u32 + line_break))
    }

    /// Takes a comment out, with its line if it has one of its own.
    pub(crate) fn without_comment(self, number: usize) -> Option<PartEdit> {
        let comment = self.part.comments().get(number)?;
        let (start, end) = (comment.range.start, comment.range.end);
        let (from, to) = match self.lines(start, end) {
            Some(lines) if comment.own_line => lines,
            _ => (self.before(start).trim_end_matches([' ', '\t']).len() as u32, end),
        };
        Some(self.edit(from, to, ""))
    }

    /// Takes the whole entry out, if no comment goes with it.
    pub(crate) fn without_entry(self) -> Option<PartEdit> {
        let text = self.part.text();
        let own_lines = self.before(self.part.span(self.part.key_node()).start).trim().is_empty()
            && text.ends_with(['\n', '\r']);
        let end = text.len() as u32;
        (own_lines && self.part.comments().is_empty()).then(|| self.edit(0, end, ""))
    }

    /// Whether a map or list is written in brackets.
    fn is_flow(self, node: NodeId) -> bool {
        self.source(node).starts_with(['{', '['])
    }

    /// What stands before a node on its line, if that is white space and the dashes of lists alone.
    fn lead(self, node: NodeId) -> Option<&'e str> {
        let before = self.before(self.part.span(node).start);
        let line = before.rfind(['\n', '\r']).map_or(before, |i| before.get(i + 1..).unwrap_or_default());
        line.chars().all(|c| matches!(c, ' ' | '-')).then_some(line)
    }

    fn line_break(self) -> &'static str {
        if self.part.text().contains("\r\n") { "\r\n" } else { "\n" }
    }

    fn holds_comment(self, from: u32, to: u32) -> bool {
        self.part.comments().iter().any(|c| c.range.start < to && from < c.range.end)
    }

    /// A node's text as written, if that is on one line.
    pub(crate) fn one_line(self, node: NodeId) -> Option<&'e str> {
        Some(self.source(node)).filter(|text| !text.contains(['\n', '\r']))
    }

    /// A node's text as written.
    fn source(self, node: NodeId) -> &'e str {
        let span = self.part.span(node);
        self.part.text().get(span.start as usize..span.end as usize).unwrap_or_default()
    }

    fn before(self, at: u32) -> &'e str {
        self.part.text().get(..at as usize).unwrap_or_default()
    }

    fn after(self, at: u32) -> &'e str {
        self.part.text().get(at as usize..).unwrap_or_default()
    }
}

/// A text as a scalar, in quotes where it would be read as something else, or not at all.
pub fn as_scalar(text: &str) -> String {
    scalar(text, None)
}

/// A text as a scalar, in quotes where it needs them, or in those it had.
pub(crate) fn scalar(text: &str, quote: Option<char>) -> String {
    match quote.or_else(|| needs_quotes(text).then_some('"')) {
        Some('\'') => format!("'{}'", text.replace('\'', "''")),
        Some(_) => format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"")),
        None => text.to_owned(),
    }
}

/// Whether a text would be read as something else, or not at all, in brackets or out of them.
fn needs_quotes(text: &str) -> bool {
    let special = |c: char| "-?:,[]{}#&*!|>'\"%@`".contains(c);
    let number =
        text.starts_with('-') && text.get(1..).is_some_and(|t| t.starts_with(|c: char| c.is_ascii_digit()));
    text.is_empty()
        || text.trim() != text
        || text.starts_with(special) && !number
        || text.contains([',', '[', ']', '{', '}', '\n'])
        || text.contains(": ")
        || text.ends_with(':')
        || text.contains(" #")
        || matches!(text, "~" | "null" | "Null" | "NULL")
}
