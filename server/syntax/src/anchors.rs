//! What anchors mark: `&name`.

use std::{collections::HashMap, sync::Arc};

use crate::node::Node;

/// So many nodes of a file may be marked or copied: a few lines of aliases could stand for billions.
const MOST_COPIED: usize = 1_000_000;

/// Nodes with their values.
type Nodes = Vec<(Node, Option<Arc<str>>)>;

/// A node marked with an anchor, and all below it, apart from its text.
#[derive(Debug, PartialEq)]
pub(crate) struct Marked {
    pub(crate) name: Box<str>,
    /// Empty where there were too many to keep.
    pub(crate) nodes: Nodes,
}

/// What earlier entries of a document marked.
#[derive(Debug)]
pub(crate) struct Marks {
    pub(crate) by_name: HashMap<Box<str>, Arc<Marked>>,
    /// How many nodes may still be marked or copied.
    left: usize,
}

impl Marks {
    pub(crate) fn new() -> Marks {
        Marks { by_name: HashMap::new(), left: MOST_COPIED }
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

    pub(crate) fn spend(&mut self, nodes: usize) -> bool {
        let enough = nodes <= self.left;
        if enough {
            self.left -= nodes;
        }
        enough
    }
}

/// The anchors of the text being read, by the parser's number.
#[derive(Debug, Default)]
pub(crate) struct Anchors {
    names: HashMap<usize, Box<str>>,
    pub(crate) nodes: HashMap<usize, Nodes>,
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
