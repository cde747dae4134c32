//! `textDocument/semanticTokens`: what each word of a file is.

mod sort;

use super::places::words;
use super::subject::{behind, item_shape};
use crate::context::Context;
use crate::shared::{JobState, SentTokens};
use model::{EntryId, FileId, Item, Kind, Name, UnitType, ValueShape, View, entry_shape};
use sort::{DECLARATION, LIBRARY, Sort};
use std::ops::Range;
use std::sync::atomic::{AtomicU64, Ordering};
use syntax::{Encoding, NodeId, NodeKind, Part, PartRole};
use tower_lsp_server::ls_types as lsp;

pub(crate) use sort::legend;

/// Numbers of answers, so that a client can say which it holds.
static NEXT: AtomicU64 = AtomicU64::new(1);

/// The tokens of the whole document.
pub(super) fn full(context: &Context) -> Option<lsp::SemanticTokens> {
    let data = tokens(&context.snapshot, context.file, None, context.client.abilities.encoding)?;
    let result_id = keep(context, &data);
    Some(lsp::SemanticTokens { result_id, data })
}

/// What changed since the client was given tokens; all of them where that is not known any more.
pub(super) fn delta(context: &Context, previous: &str) -> Option<lsp::SemanticTokensFullDeltaResult> {
    let known = {
        let mut sent = context.snapshot.tokens.lock();
        sent.remove(&context.file).filter(|sent| sent.id.to_string() == previous)
    };
    let Some(known) = known else {
        return full(context).map(lsp::SemanticTokensFullDeltaResult::Tokens);
    };
    let data = tokens(&context.snapshot, context.file, None, context.client.abilities.encoding)?;
    let edits = difference(&known.tokens, &data);
    let result_id = keep(context, &data);
    let delta = lsp::SemanticTokensDelta { result_id, edits };
    Some(lsp::SemanticTokensFullDeltaResult::TokensDelta(delta))
}

/// The tokens of the entries that a range touches.
pub(super) fn range(context: &Context, range: lsp::Range) -> Option<lsp::SemanticTokens> {
    let text = context.snapshot.workspace.job().file(context.file)?.file().text();
    let encoding = context.client.abilities.encoding;
    let span = crate::convert::span(text, range, encoding);
    let data = tokens(&context.snapshot, context.file, Some(span), encoding)?;
    Some(lsp::SemanticTokens { result_id: None, data })
}

/// Keeps what a client is given, if it can take changes of it, and numbers it.
fn keep(context: &Context, data: &[lsp::SemanticToken]) -> Option<String> {
    if !context.client.abilities.token_changes {
        return None;
    }
    let id = NEXT.fetch_add(1, Ordering::Relaxed);
    context.snapshot.tokens.lock().insert(context.file, SentTokens { id, tokens: data.to_vec() });
    Some(id.to_string())
}

/// One edit from `old` to `new`, in numbers rather than tokens; none where nothing changed.
fn difference(old: &[lsp::SemanticToken], new: &[lsp::SemanticToken]) -> Vec<lsp::SemanticTokensEdit> {
    let front = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let most = old.len().min(new.len()) - front;
    let back = old.iter().rev().zip(new.iter().rev()).take(most).take_while(|(a, b)| a == b).count();
    let changed = new.get(front..new.len() - back).unwrap_or_default();
    let gone = old.len() - back - front;
    if gone == 0 && changed.is_empty() {
        return Vec::new();
    }
    vec![lsp::SemanticTokensEdit {
        start: front as u32 * 5,
        delete_count: gone as u32 * 5,
        data: Some(changed.to_vec()),
    }]
}

/// The tokens of a file, or of those of its entries that bytes of it touch.
fn tokens(
    state: &JobState,
    file: FileId,
    within: Option<Range<u32>>,
    encoding: Encoding,
) -> Option<Vec<lsp::SemanticToken>> {
    let job = state.workspace.job();
    let read = job.file(file)?;
    let pieces = read.file().pieces();
    let first = within.as_ref().map_or(0, |span| read.file().piece_at(span.start).unwrap_or(0));
    let end = within.map_or(u32::MAX, |span| span.end);
    let from = pieces.get(first).map_or(0, |piece| piece.start);
    let begins = read.file().text().position(from, encoding);
    let mut pen =
        Pen { line: begins.line, column: begins.character, last: (0, 0), encoding, tokens: Vec::new() };
    let view = View::new(job);
    let mut at = from;
    for (piece, id) in pieces.iter().zip(read.entries()).skip(first) {
        if piece.start > end {
            break;
        }
        // Entries that come out of one alias share its text.
        if piece.start < at {
            continue;
        }
        pen.entry(piece.part.text(), &of_entry(&view, *id));
        at = piece.start + piece.part.text().len() as u32;
    }
    Some(pen.tokens)
}

/// Writes tokens as the protocol has them, each by its distance from the one before.
struct Pen {
    line: u32,
    column: u32,
    last: (u32, u32),
    encoding: Encoding,
    tokens: Vec<lsp::SemanticToken>,
}

impl Pen {
    fn entry(&mut self, text: &str, marks: &[Mark]) {
        let mut at = 0;
        for mark in marks {
            let range = mark.at.start as usize..mark.at.end as usize;
            // One that overlaps the last comes out of an alias.
            let (Some(before), Some(word)) = (text.get(at..range.start), text.get(range)) else { continue };
            if word.is_empty() || word.contains(['\n', '\r']) {
                continue;
            }
            self.pass(before);
            let length = crate::entry_ranges::units(word, self.encoding);
            let line = self.line - self.last.0;
            self.tokens.push(lsp::SemanticToken {
                delta_line: line,
                delta_start: if line == 0 { self.column - self.last.1 } else { self.column },
                length,
                token_type: mark.sort as u32,
                token_modifiers_bitset: mark.modifiers,
            });
            self.last = (self.line, self.column);
            self.column += length;
            at = mark.at.end as usize;
        }
        self.pass(text.get(at..).unwrap_or_default());
    }

    /// Goes on behind a text.
    fn pass(&mut self, text: &str) {
        let bytes = text.as_bytes();
        let mut start = 0;
        for i in memchr::memchr2_iter(b'\n', b'\r', bytes) {
            if bytes.get(i..i + 2) != Some(b"\r\n") {
                (self.line, self.column, start) = (self.line + 1, 0, i + 1);
            }
        }
        self.column += crate::entry_ranges::units(text.get(start..).unwrap_or_default(), self.encoding);
    }
}

/// A word of an entry.
struct Mark {
    at: Range<u32>,
    sort: Sort,
    modifiers: u32,
}

/// The words of an entry, in order.
fn of_entry(view: &View<'_>, id: EntryId) -> Vec<Mark> {
    let Some(entry) = view.entry(id) else { return Vec::new() };
    let part = &*entry.part;
    let item = &entry.facts.item;
    let mut marker = Marker { view, part, item, marks: Vec::new() };
    let kind = Kind::of_section(part.section());
    match (part.role(), kind) {
        (PartRole::Header, Some(_)) => marker.mark(part.key_node(), Sort::Keyword, 0),
        (PartRole::Entry, Some(kind)) => {
            let shape = entry_shape(kind);
            if let Some(key) = part.key() {
                let inner =
                    if kind == Kind::Site { behind(shape, key).map(|(_, inner)| inner) } else { Some(shape) };
                let (sort, modifiers) =
                    if kind == Kind::Site { (Sort::Property, 0) } else { (Sort::of(kind), DECLARATION) };
                marker.mark(part.key_node(), sort, modifiers);
                marker.node(part.value(), inner.unwrap_or(ValueShape::Text), "");
            } else {
                marker.node(part.value(), shape, "");
            }
        }
        _ => {}
    }
    let mut marks = marker.marks;
    marks.sort_by_key(|mark| mark.at.start);
    marks
}

struct Marker<'a, 'j> {
    view: &'a View<'j>,
    part: &'j Part,
    item: &'j Item,
    marks: Vec<Mark>,
}

impl Marker<'_, '_> {
    fn mark(&mut self, node: NodeId, sort: Sort, modifiers: u32) {
        self.marks.push(Mark { at: self.part.span(node), sort, modifiers });
    }

    /// A node of this shape, which stands behind `key`.
    fn node(&mut self, node: NodeId, shape: ValueShape, key: &str) {
        let part = self.part;
        match part.kind(node) {
            NodeKind::Map => {
                for (name, value) in part.pairs(node) {
                    let Some(text) = part.scalar(name) else { continue };
                    match behind(shape, text) {
                        Some((Some(field), inner)) => {
                            self.mark(name, Sort::Property, 0);
                            self.node(value, inner, field.key);
                        }
                        Some((None, inner)) => {
                            let declared =
                                if matches!(self.item, Item::UnitType(_)) { DECLARATION } else { 0 };
                            self.mark(name, Sort::listed(key), declared);
                            self.node(value, inner, key);
                        }
                        // A window with its value, or a key that is none.
                        None => self.node(value, ValueShape::Text, key),
                    }
                }
            }
            NodeKind::List => part.items(node).for_each(|item| self.node(item, item_shape(shape), key)),
            NodeKind::Scalar => self.scalar(node, shape, key),
            NodeKind::Null => {}
        }
    }

    fn scalar(&mut self, node: NodeId, shape: ValueShape, key: &str) {
        let text = self.part.scalar(node).unwrap_or_default();
        match shape {
            ValueShape::Text => self.mark(node, Sort::String, 0),
            ValueShape::Number
            | ValueShape::Whole(..)
            | ValueShape::Quantity(_)
            | ValueShape::Range
            | ValueShape::Date
            | ValueShape::DayPlan => self.mark(node, Sort::Number, 0),
            ValueShape::NameOf(kind) => {
                let library = kind == Kind::UnitType
                    && self
                        .view
                        .find::<UnitType>(&Name::new(text))
                        .is_some_and(|t| self.view.built_in(t.entry));
                self.mark(node, Sort::of(kind), if library { LIBRARY } else { 0 });
            }
            ValueShape::LocalName if key == "tied-to" => self.mark(node, Sort::Parameter, 0),
            ValueShape::LocalName
            | ValueShape::Word(_)
            | ValueShape::Object
            | ValueShape::EngineeringUnits => {
                self.mark(node, Sort::EnumMember, 0);
            }
            ValueShape::Logic => self.logic(node),
            ValueShape::Either(shapes) => {
                let fits = |shape: &&ValueShape| match shape {
                    ValueShape::Word(known) => known.contains(&text),
                    ValueShape::Date => text.starts_with(|c: char| c.is_ascii_digit()),
                    _ => false,
                };
                let fitting = shapes.iter().find(fits).or_else(|| {
                    shapes.iter().find(|s| {
                        !matches!(s, ValueShape::Word(_) | ValueShape::Fields(_) | ValueShape::List(_))
                    })
                });
                if let Some(shape) = fitting {
                    self.scalar(node, *shape, key);
                }
            }
            ValueShape::Fields(_) | ValueShape::Named(_) | ValueShape::List(_) => {}
        }
    }

    /// The words of a logic text, as they are written.
    fn logic(&mut self, node: NodeId) {
        let span = self.part.span(node);
        let source = self.part.text().get(span.start as usize..span.end as usize).unwrap_or_default();
        let inner = source.trim_matches(['"', '\'']);
        let by = span.start + (source.len() - source.trim_start_matches(['"', '\'']).len()) as u32;
        let found: Vec<Range<usize>> =
            words(inner).skip(usize::from(source.starts_with(['|', '>']))).collect();
        let word = |i: usize| found.get(i).and_then(|at| inner.get(at.clone()));
        for (i, at) in found.iter().enumerate() {
            let sort = match word(i).unwrap_or_default() {
                "and" | "or" | "not" | "is" => Sort::Keyword,
                _ if i > 0 && word(i - 1) == Some("is") => Sort::EnumMember,
                _ if word(i + 1) == Some("is") => Sort::Enum,
                name => self.name_in_logic(name),
            };
            let at = by + at.start as u32..by + at.end as u32;
            self.marks.push(Mark { at, sort, modifiers: 0 });
        }
    }

    fn name_in_logic(&self, name: &str) -> Sort {
        let Item::UnitType(unit_type) = self.item else { return Sort::Variable };
        if unit_type.input(name).is_some() {
            Sort::Parameter
        } else if unit_type.output(name).is_some() {
            Sort::Function
        } else {
            Sort::Macro
        }
    }
}

/// All tokens of a file, for tests: what is written, what it is, and whether it is marked further.
#[cfg(test)]
fn spelled(job: &model::Job, file: FileId) -> Vec<(String, Sort, u32)> {
    let view = View::new(job);
    let entries = job.file(file).map_or(&[][..], model::JobFile::entries);
    let of = |id: &EntryId| {
        let text = job.entry(*id).map_or("", |entry| entry.part.text());
        let spell = |mark: Mark| {
            let at = mark.at.start as usize..mark.at.end as usize;
            (text.get(at).unwrap_or_default().to_owned(), mark.sort, mark.modifiers)
        };
        of_entry(&view, *id).into_iter().map(spell).collect::<Vec<_>>()
    };
    entries.iter().flat_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Job, Prepared, Touched};
    use syntax::File;

    #[test]
    fn each_word_is_what_it_is() {
        let text = "\
points:
  A: {object: binary-output 3, description: é, range: 0..100, driven-by: {logic: \"B and not A\"}}
units:
  U: {type: heat-pump-with-hot-gas-reheat, options: {o: c}, inputs: {cool-1: A, heat-1: {tied-to: cool-1}}}
unit-types:
  t: {options: {o: {choices: [c, d]}}, inputs: {i: {}}, terms: {m: i or o is c}, outputs: {f: {when: m}}}
schedules:
  s: {week: {mon: 08:00-12:00}, exceptions: [{on: 2027-01-01, hours: none}, {on: k, also: all-day}]}
stray: {a: b}
";
        let mut job = Job::new();
        let file = job.open("a.yaml".to_owned(), Prepared::new(File::new(text)), &mut Touched::default());
        let found: Vec<String> = spelled(&job, file)
            .into_iter()
            .map(|(word, sort, more)| format!("{word}:{sort:?}{}", if more == 0 { "" } else { "!" }))
            .collect();
        let wanted = "points:Keyword A:Variable! object:Property binary-output 3:EnumMember description:Property \
            é:String range:Property 0..100:Number driven-by:Property logic:Property B:Variable and:Keyword \
            not:Keyword A:Variable units:Keyword U:Type! type:Property \
            heat-pump-with-hot-gas-reheat:Class! options:Property o:Enum c:EnumMember inputs:Property \
            cool-1:Parameter A:Variable heat-1:Parameter tied-to:Property cool-1:Parameter \
            unit-types:Keyword t:Class! options:Property o:Enum! choices:Property c:EnumMember d:EnumMember \
            inputs:Property i:Parameter! terms:Property m:Macro! i:Parameter or:Keyword o:Enum is:Keyword \
            c:EnumMember outputs:Property f:Function! when:Property m:Macro schedules:Keyword s:Event! \
            week:Property mon:Enum 08:00-12:00:Number exceptions:Property on:Property 2027-01-01:Number \
            hours:Property none:Number on:Property k:Event also:Property all-day:Number";
        assert_eq!(found.join(" "), wanted);
    }

    #[test]
    fn a_change_is_one_edit() {
        let token = |n: u32| lsp::SemanticToken {
            delta_line: n,
            delta_start: 0,
            length: 1,
            token_type: 0,
            token_modifiers_bitset: 0,
        };
        let list = |numbers: &[u32]| numbers.iter().map(|n| token(*n)).collect::<Vec<_>>();
        for (old, new) in [
            (&[1, 2, 3][..], &[1, 2, 3][..]),
            (&[1, 2, 3], &[1, 3]),
            (&[1, 1], &[1, 1, 1]),
            (&[], &[4]),
            (&[4], &[]),
            (&[1, 2, 3], &[1, 9, 8, 3]),
        ] {
            let (old, new) = (list(old), list(new));
            let mut got = old.clone();
            for edit in difference(&old, &new) {
                let (start, gone) = (edit.start as usize / 5, edit.delete_count as usize / 5);
                got.splice(start..start + gone, edit.data.unwrap_or_default());
            }
            assert_eq!(got, new);
        }
    }
}
