//! Cuts a section, or a file, that was read at once into parts of its own.

use std::{collections::HashMap, ops::Range, sync::Arc};

use crate::{
    node::{Fault, FaultKind, Node, NodeKind, value_of},
    part::{Part, PartRole, first_word, part},
    slice::Slice,
    tree::Tree,
};

/// A part to be.
struct Cut {
    role: PartRole,
    keyed: bool,
    section: Arc<str>,
    /// Its nodes in the whole arena.
    nodes: Range<usize>,
    /// Where they are written.
    span: Range<u32>,
}

/// The parts of `tree`, which holds a section's name and value, or (where `section` is empty) a map of
/// sections, each with its start in `text`. Their texts follow each other without gaps, but that entries
/// which come from one alias share its text.
pub(crate) fn cut(section: &Arc<str>, text: &Slice, mut tree: Tree, broken: bool) -> Vec<(u32, Part)> {
    let mut cuts = Vec::new();
    if section.is_empty() {
        let map = tree.nodes.first().filter(|node| node.kind == NodeKind::Map).map(|_| 0);
        let keys: Vec<usize> =
            map.into_iter().flat_map(|map| children(&tree.nodes, map).step_by(2)).collect();
        for key in keys {
            let name =
                tree.nodes.get(key).and_then(|node| value_of(node, text, &tree.cooked)).unwrap_or_default();
            entries(&name.into(), &mut tree, key, &mut cuts);
        }
        if map.is_none() && !broken {
            tree.faults.push(Fault {
                kind: FaultKind::Broken,
                range: first_word(text),
                message:
                    "A file is made of sections, but this is a list. Put it under a section, like `points:`."
                        .into(),
            });
        }
    } else {
        entries(section, &mut tree, 0, &mut cuts);
    }
    if cuts.is_empty() {
        let (role, keyed) =
            if section.is_empty() { (PartRole::Stray, false) } else { (PartRole::Header, true) };
        tree.nodes.clear();
        return vec![(0, part(role, keyed, section, text, tree, broken))];
    }
    let texts = tile(text, &cuts);
    take(text, tree, cuts, &texts, broken)
}

/// Where the nodes directly below `node` stand in the arena.
fn children(nodes: &[Node], node: usize) -> impl Iterator<Item = usize> {
    let end = node + nodes.get(node).map_or(0, |node| node.size as usize);
    let mut next = node + 1;
    std::iter::from_fn(move || {
        let child = (next < end).then_some(next)?;
        next += nodes.get(child)?.size as usize;
        Some(child)
    })
}

/// The section whose name stands at `key`: its header and its entries.
fn entries(section: &Arc<str>, tree: &mut Tree, key: usize, cuts: &mut Vec<Cut>) {
    let size = |at: usize| tree.nodes.get(at).map_or(0, |node| node.size as usize);
    let value = key + size(key);
    let mut add = |role, keyed, nodes: Range<usize>| {
        let inside = tree.nodes.get(nodes.clone()).unwrap_or_default();
        let start = inside.iter().map(|node| node.start).min().unwrap_or_default();
        let end = inside.iter().map(|node| node.end).max().unwrap_or_default();
        if !nodes.is_empty() {
            cuts.push(Cut { role, keyed, section: section.clone(), nodes, span: start..end });
        }
    };
    add(PartRole::Header, true, key..value);
    match tree.nodes.get(value).map(|node| node.kind) {
        Some(NodeKind::Map) => {
            let places: Vec<usize> = children(&tree.nodes, value).collect();
            for pair in places.chunks_exact(2) {
                if let [name, held] = *pair {
                    add(PartRole::Entry, true, name..held + size(held));
                }
            }
        }
        Some(NodeKind::List) => {
            for item in children(&tree.nodes, value) {
                add(PartRole::Entry, false, item..item + size(item));
            }
        }
        Some(NodeKind::Scalar) => {
            add(PartRole::Entry, false, value..value + 1);
            if let Some(node) = tree.nodes.get(value) {
                let message = format!(
                    "`{section}` is a section, but this is a single value. Write each entry on its own indented line below."
                );
                tree.faults.push(Fault { kind: FaultKind::Broken, range: node.start..node.end, message });
            }
        }
        Some(NodeKind::Null) | None => {}
    }
}

/// The bytes each cut takes: from where the one before it ends, its last line included, to where the
/// next begins.
fn tile(text: &str, cuts: &[Cut]) -> Vec<Range<usize>> {
    let length = text.len();
    let mut starts: Vec<usize> = vec![0];
    for two in cuts.windows(2) {
        let [before, next] = two else { continue };
        let start = if next.span == before.span {
            starts.last().copied().unwrap_or_default()
        } else if next.span.start < before.span.end {
            // Merged in from elsewhere and out of order: no line is theirs alone.
            return vec![0..length; cuts.len()];
        } else {
            let gap = before.span.end as usize..next.span.start as usize;
            let line = text.get(gap.clone()).unwrap_or_default();
            let break_at = line
                .find(['\n', '\r'])
                .map(|at| at + if line.get(at..).is_some_and(|s| s.starts_with("\r\n")) { 2 } else { 1 });
            break_at.map_or(gap.end, |at| gap.start + at)
        };
        starts.push(start);
    }
    let mut end = length;
    let mut texts: Vec<Range<usize>> = Vec::with_capacity(starts.len());
    for (at, start) in starts.iter().enumerate().rev() {
        texts.push(*start..end);
        if at > 0 && starts.get(at - 1) != Some(start) {
            end = *start;
        }
    }
    texts.reverse();
    texts
}

/// Takes the cuts out of the tree.
fn take(text: &Slice, tree: Tree, cuts: Vec<Cut>, texts: &[Range<usize>], broken: bool) -> Vec<(u32, Part)> {
    let Tree { nodes, cooked, comments, faults, marked, aliases, .. } = tree;
    let (mut comments, mut faults) = (comments.into_iter().peekable(), faults);
    faults.sort_by_key(|fault| fault.range.start);
    let mut faults = faults.into_iter().peekable();
    let mut marked = Some(marked);
    let mut parts = Vec::with_capacity(cuts.len());
    let last = cuts.len() - 1;
    for (at, cut) in cuts.into_iter().enumerate() {
        let bytes = texts.get(at).cloned().unwrap_or_default();
        let (start, end) = (bytes.start as u32, bytes.end as u32);
        let inside = |range: &Range<u32>| range.start < end || at == last;
        let moved =
            |range: Range<u32>| range.start.clamp(start, end) - start..range.end.clamp(start, end) - start;
        let mut own = Tree {
            marked: marked.take().unwrap_or_default(),
            aliases: aliases && at == 0,
            ..Tree::default()
        };
        let mut numbers = HashMap::new();
        for node in nodes.get(cut.nodes).unwrap_or_default() {
            let mut node = Node { start: node.start - start, end: node.end - start, ..*node };
            if let Some(value) = cooked.get(node.cooked as usize) {
                // Copies of one node share its value.
                node.cooked = *numbers.entry(node.cooked).or_insert_with(|| {
                    own.cooked.push(value.clone());
                    own.cooked.len() as u32 - 1
                });
            }
            own.nodes.push(node);
        }
        while let Some(mut comment) = comments.next_if(|comment| inside(&comment.range)) {
            comment.range = moved(comment.range);
            own.comments.push(comment);
        }
        while let Some(mut fault) = faults.next_if(|fault| inside(&fault.range)) {
            fault.range = moved(fault.range);
            own.faults.push(fault);
        }
        let source = text.part(&bytes);
        // What was lost of one entry says nothing about the others.
        let broken = broken && (cut.role == PartRole::Header || !own.faults.is_empty());
        parts.push((start, part(cut.role, cut.keyed, &cut.section, &source, own, broken)));
    }
    parts
}
