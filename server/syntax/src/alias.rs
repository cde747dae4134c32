//! Anchors, aliases and merge keys: `&name`, `*name`, `<<: *name`.
//!
//! What an alias stands for is copied to where it stands; the copies take the alias's own span.

use std::{collections::HashSet, ops::Range, sync::Arc};

use crate::{
    anchors::{Detached, MOST_TOLD, spend},
    node::{FaultKind, Node, NodeKind, Style},
    tree::Builder,
};

impl Builder<'_, '_> {
    /// Keeps the complete node `at` under the anchor `id`, unless something below it was not read.
    pub(crate) fn mark(&mut self, id: usize, at: usize) {
        let size = self.tree.nodes.get(at).map_or(0, |node| node.size as usize);
        let nodes = self.tree.nodes.get(at..at + size).unwrap_or_default();
        let whole = self.not_whole.is_none_or(|node| node < at);
        let kept = (whole && spend(&mut self.marks.to_mark, size)).then(|| {
            let shared = |node: &Node| self.tree.cooked.get(node.cooked as usize).cloned();
            Arc::new(Detached::of(nodes, |node| self.value(node), shared))
        });
        self.anchors.nodes.insert(id, kept);
    }

    /// Puts in what the alias at `range` stands for; `id` is None if nothing in this text is so marked.
    pub(crate) fn alias(&mut self, id: Option<usize>, range: &Range<u32>) {
        self.tree.aliases = true;
        let name = self.slice(range).trim_start_matches('*').to_owned();
        let nodes = match id {
            Some(id) => self.anchors.nodes.get(&id).cloned(),
            None => self.marks.by_name.get(name.as_str()).map(|marked| marked.nodes.clone()),
        };
        let Some(nodes) = nodes else {
            let message = if id.is_some() {
                format!(
                    "`*{name}` is inside what `&{name}` marks, so it would never end. Write the value itself."
                )
            } else {
                format!(
                    "Nothing above is marked `&{name}`, so `*{name}` has no value. Write the value itself, in quotes if the `*` belongs to it."
                )
            };
            self.lose(FaultKind::Broken, range, message);
            return self.nothing(range);
        };
        let Some(nodes) = nodes.filter(|nodes| spend(&mut self.marks.to_copy, nodes.len())) else {
            self.too_much(&name, range);
            return self.nothing(range);
        };
        let copies = nodes.at(range.start, range.end, &mut self.tree.cooked);
        self.graft(copies.into_iter(), range.end);
    }

    /// The alias at `range` is not read. The first of a text is reported, and how many there are besides.
    fn too_much(&mut self, name: &str, range: &Range<u32>) {
        self.tree.lost = true;
        self.not_whole = Some(self.tree.nodes.len());
        if let Some((_, more)) = &mut self.too_much {
            *more += 1;
            return;
        }
        if self.marks.told == MOST_TOLD {
            return;
        }
        self.marks.told += 1;
        self.too_much = Some((self.tree.faults.len(), 0));
        let last = self.marks.told == MOST_TOLD;
        let below = if last { " Further ones in this file are not listed." } else { "" };
        let message =
            format!("`*{name}` repeats more text than can be read here. Write out what is needed.{below}");
        self.fault(FaultKind::TooLarge, range, message);
    }

    /// Says how many more aliases stand for too much.
    pub(crate) fn count_too_much(&mut self) {
        if let Some((fault, more)) = self.too_much.filter(|(_, more)| *more > 0)
            && let Some(fault) = self.tree.faults.get_mut(fault)
        {
            fault.message += &format!(" The same goes for {more} more below.");
        }
    }

    /// Replaces the `<<` keys of the map at `map` by the pairs of their values. The map's own keys win,
    /// then those merged first. Source: YAML "Merge Key Language-Independent Type", draft 2005-01-18.
    pub(crate) fn merge(&mut self, map: usize) {
        let below = self.tree.nodes.split_off(map + 1);
        let (mut own, mut merged, mut names) = (Vec::new(), Vec::new(), HashSet::new());
        for (key, value) in pairs(&below) {
            let Some(node) = key.first() else { continue };
            if self.value(node) == Some("<<") && node.style == Style::Plain {
                merged.push(value);
                continue;
            }
            names.extend(self.value(node).map(str::to_owned));
            own.extend_from_slice(key);
            own.extend_from_slice(value);
        }
        for value in merged {
            let maps = match value.first() {
                Some(node) if node.kind == NodeKind::List => {
                    children(value.get(1..).unwrap_or_default()).collect()
                }
                _ => vec![value],
            };
            for one in maps {
                let Some(node) = one.first() else { continue };
                if node.kind != NodeKind::Map {
                    let message = "`<<` brings in the keys of a mapping, but this is something else. Write `<<: *name`, with `&name` at a mapping.";
                    self.lose(FaultKind::Broken, &(node.start..node.end), message.into());
                    continue;
                }
                for (key, value) in pairs(one.get(1..).unwrap_or_default()) {
                    let name = key.first().and_then(|node| self.value(node)).map(str::to_owned);
                    if name.is_none_or(|name| names.insert(name)) {
                        own.extend_from_slice(key);
                        own.extend_from_slice(value);
                    }
                }
            }
        }
        self.tree.nodes.extend(own);
    }
}

/// The subtrees that stand side by side in `nodes`.
fn children(mut nodes: &[Node]) -> impl Iterator<Item = &[Node]> {
    std::iter::from_fn(move || {
        let size = nodes.first()?.size.max(1) as usize;
        let (child, rest) = nodes.split_at_checked(size)?;
        nodes = rest;
        Some(child)
    })
}

fn pairs(nodes: &[Node]) -> impl Iterator<Item = (&[Node], &[Node])> {
    let mut children = children(nodes);
    std::iter::from_fn(move || Some((children.next()?, children.next()?)))
}
