//! What anchors mark: `&name`.

use std::{collections::HashMap, sync::Arc};

use crate::{
    node::{NOT_COOKED, Node},
    nodes::Nodes,
};

/// Aliases of a file may stand for so many nodes, and one more for each byte of the file: a few lines of
/// aliases could stand for billions.
pub(crate) const SURELY_COPIED: usize = 10_000;

/// So many nodes for each byte of a text may be marked for others to copy: a node counts at every anchor that it
/// lies under.
const MARKED_EACH: usize = 1;

/// A node and all below it, apart from their text: where they stood says nothing, and values are told by number.
#[derive(Debug, PartialEq)]
pub(crate) struct Detached {
    nodes: Nodes,
    /// Each once, however many of the nodes have it.
    values: Box<[Arc<str>]>,
}

impl Detached {
    /// Takes the values of `nodes` with them; `shared` gives one that is kept already.
    pub(crate) fn of<'t>(
        nodes: &[Node],
        value: impl Fn(&Node) -> Option<&'t str>,
        shared: impl Fn(&Node) -> Option<Arc<str>>,
    ) -> Detached {
        let (mut values, mut numbers) = (Vec::new(), HashMap::new());
        let detached = nodes.iter().map(|node| {
            let cooked = value(node).map_or(NOT_COOKED, |text| {
                *numbers.entry(text).or_insert_with(|| {
                    values.push(shared(node).unwrap_or_else(|| text.into()));
                    values.len() as u32 - 1
                })
            });
            Node { start: 0, end: 0, cooked, ..*node }
        });
        let nodes = Nodes::of(detached.collect());
        Detached { nodes, values: values.into() }
    }

    pub(crate) fn len(&self) -> usize {
        self.nodes.len()
    }

    /// The nodes as they would stand at `start` to `end`, their values among those of a tree.
    pub(crate) fn at(&self, start: u32, end: u32, cooked: &mut Vec<Arc<str>>) -> Vec<Node> {
        let before = cooked.len() as u32;
        cooked.extend(self.values.iter().cloned());
        let number = |own: u32| if own == NOT_COOKED { own } else { before + own };
        self.nodes.iter().map(|node| Node { start, end, cooked: number(node.cooked), ..node }).collect()
    }
}

/// A node marked with an anchor, and all below it, apart from its text.
#[derive(Debug, PartialEq)]
pub(crate) struct Marked {
    pub(crate) name: Box<str>,
    /// Nothing where there were too many to keep, or not all were read.
    pub(crate) nodes: Option<Arc<Detached>>,
}

/// What earlier entries of a document marked.
#[derive(Debug)]
pub(crate) struct Marks {
    pub(crate) by_name: HashMap<Box<str>, Arc<Marked>>,
    /// How many nodes may still be marked.
    pub(crate) to_mark: usize,
    /// How many nodes may still be copied.
    pub(crate) to_copy: usize,
    /// How many entries have reported an alias that stands for more.
    pub(crate) told: usize,
}

/// So many entries of a file tell that an alias stands for too much; the last of them tells it for all below.
pub(crate) const MOST_TOLD: usize = 10;

impl Marks {
    /// For a text of which nothing is known yet: its aliases stand for nothing. What holds one is read again
    /// with the rest of its file.
    pub(crate) fn unknown(text: &str) -> Marks {
        Marks {
            by_name: HashMap::new(),
            to_mark: most_marked(text.len(), SURELY_COPIED),
            to_copy: 0,
            told: 0,
        }
    }

    /// For a file of `bytes`, whose aliases may stand for `surely` nodes however short it is.
    pub(crate) fn of_file(bytes: usize, surely: usize) -> Marks {
        Marks {
            by_name: HashMap::new(),
            to_mark: most_marked(bytes, surely),
            to_copy: surely + bytes,
            told: 0,
        }
    }

    /// Another document begins: anchors do not reach it.
    pub(crate) fn clear(&mut self) {
        self.by_name.clear();
    }

    pub(crate) fn extend(&mut self, marked: &[Arc<Marked>]) {
        for one in marked {
            self.by_name.insert(one.name.clone(), one.clone());
        }
    }
}

fn most_marked(bytes: usize, surely: usize) -> usize {
    surely + MARKED_EACH * bytes
}

/// Takes `nodes` off what is `left`, if there are as many.
pub(crate) fn spend(left: &mut usize, nodes: usize) -> bool {
    let rest = left.checked_sub(nodes);
    *left = rest.unwrap_or(*left);
    rest.is_some()
}

/// The anchors of the text being read, by the parser's number.
#[derive(Debug, Default)]
pub(crate) struct Anchors {
    names: HashMap<usize, Box<str>>,
    pub(crate) nodes: HashMap<usize, Option<Arc<Detached>>>,
}

impl Anchors {
    pub(crate) fn name(&mut self, id: usize, name: &str) {
        self.names.insert(id, name.into());
    }

    /// All that is marked, in the order of the text.
    pub(crate) fn named(mut self) -> Vec<Arc<Marked>> {
        let mut ids: Vec<usize> = self.nodes.keys().copied().collect();
        ids.sort_unstable();
        let mut marked = Vec::with_capacity(ids.len());
        for id in ids {
            if let (Some(name), Some(nodes)) = (self.names.remove(&id), self.nodes.remove(&id)) {
                marked.push(Arc::new(Marked { name, nodes }));
            }
        }
        marked
    }
}
