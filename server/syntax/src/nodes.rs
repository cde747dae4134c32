//! The nodes of a part, as small as its text allows: a job has millions of them.

use std::sync::OnceLock;

use crate::node::{NOT_COOKED, Node, NodeKind, Style};

/// The nodes of a part in preorder.
#[derive(Debug, PartialEq)]
pub(crate) enum Nodes {
    /// A few of a short text, as nearly every entry has.
    Few(Box<[Narrow]>),
    /// All others, boxed twice, so that the rare form makes no part larger.
    Many(Box<Many>),
}

/// Many nodes, and what stands around each, worked out when it is first asked for.
#[derive(Debug)]
pub(crate) struct Many {
    nodes: Form,
    around: OnceLock<AllAround>,
}

#[derive(Debug, PartialEq)]
enum Form {
    /// Those of a text under 64 KiB.
    Narrow(Box<[Narrow]>),
    Wide(Box<[Node]>),
}

/// What stands around a node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Around {
    /// The map or list it stands in.
    pub(crate) parent: Option<u32>,
    /// The key of the pair that it is the key or the value of.
    pub(crate) key: Option<u32>,
}

/// The same of all nodes, parent and key, in as little room as their number allows; the highest number is none.
#[derive(Debug)]
enum AllAround {
    Narrow(Box<[[u16; 2]]>),
    Wide(Box<[[u32; 2]]>),
}

impl AllAround {
    fn of(around: impl Iterator<Item = Around>, nodes: usize) -> AllAround {
        match u16::try_from(nodes) {
            Ok(_) => {
                let short = |at: Option<u32>| at.and_then(|at| at.try_into().ok()).unwrap_or(u16::MAX);
                AllAround::Narrow(around.map(|a| [a.parent, a.key].map(short)).collect())
            }
            Err(_) => {
                AllAround::Wide(around.map(|a| [a.parent, a.key].map(|at| at.unwrap_or(u32::MAX))).collect())
            }
        }
    }

    fn get(&self, at: usize) -> Option<Around> {
        let [parent, key] = match self {
            AllAround::Narrow(all) => all.get(at)?.map(|at| (at != u16::MAX).then_some(at.into())),
            AllAround::Wide(all) => all.get(at)?.map(|at| (at != u32::MAX).then_some(at)),
        };
        Some(Around { parent, key })
    }
}

/// What was asked for says nothing about the nodes.
impl PartialEq for Many {
    fn eq(&self, other: &Many) -> bool {
        self.nodes == other.nodes
    }
}

/// So many nodes are searched one by one.
const FEW: usize = 256;

/// A [`Node`] in 8 bytes.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Narrow {
    start: u16,
    length: u16,
    size: u16,
    /// From the lowest bit: two of the kind, two of the style, and the number of the cooked value.
    rest: u16,
}

const KINDS: [NodeKind; 4] = [NodeKind::Scalar, NodeKind::Map, NodeKind::List, NodeKind::Null];
const STYLES: [Style; 3] = [Style::Plain, Style::Quoted, Style::Block];
const FLAGS: u32 = 4;
/// The number that stands for no cooked value.
const NONE: u16 = u16::MAX >> FLAGS;

impl Narrow {
    /// None where a number does not fit.
    fn of(node: &Node) -> Option<Narrow> {
        let cooked = match node.cooked {
            NOT_COOKED => NONE,
            cooked => u16::try_from(cooked).ok().filter(|cooked| *cooked < NONE)?,
        };
        Some(Narrow {
            start: node.start.try_into().ok()?,
            length: node.end.checked_sub(node.start)?.try_into().ok()?,
            size: node.size.try_into().ok()?,
            rest: cooked << FLAGS | (node.style as u16) << 2 | node.kind as u16,
        })
    }

    fn wide(self) -> Node {
        let cooked = self.rest >> FLAGS;
        Node {
            start: self.start.into(),
            end: u32::from(self.start) + u32::from(self.length),
            size: self.size.into(),
            cooked: if cooked == NONE { NOT_COOKED } else { cooked.into() },
            kind: KINDS.get(usize::from(self.rest & 3)).copied().unwrap_or(NodeKind::Null),
            style: STYLES.get(usize::from(self.rest >> 2 & 3)).copied().unwrap_or(Style::Plain),
        }
    }
}

impl Nodes {
    pub(crate) fn of(nodes: Vec<Node>) -> Nodes {
        let mut narrow = Vec::with_capacity(nodes.len());
        narrow.extend(nodes.iter().map_while(Narrow::of));
        let nodes = match narrow.len() == nodes.len() {
            true if nodes.len() <= FEW => return Nodes::Few(narrow.into()),
            true => Form::Narrow(narrow.into()),
            false => Form::Wide(nodes.into()),
        };
        Nodes::Many(Box::new(Many { nodes, around: OnceLock::new() }))
    }

    /// What stands around one of many nodes.
    pub(crate) fn around(&self, at: u32) -> Option<Around> {
        let Nodes::Many(many) = self else { return None };
        many.around.get_or_init(|| all_around(self)).get(at as usize)
    }

    pub(crate) fn len(&self) -> usize {
        match self {
            Nodes::Few(nodes) => nodes.len(),
            Nodes::Many(many) => match &many.nodes {
                Form::Narrow(nodes) => nodes.len(),
                Form::Wide(nodes) => nodes.len(),
            },
        }
    }

    pub(crate) fn get(&self, at: usize) -> Option<Node> {
        match self {
            Nodes::Few(nodes) => nodes.get(at).map(|node| node.wide()),
            Nodes::Many(many) => match &many.nodes {
                Form::Narrow(nodes) => nodes.get(at).map(|node| node.wide()),
                Form::Wide(nodes) => nodes.get(at).copied(),
            },
        }
    }

    pub(crate) fn iter(&self) -> impl DoubleEndedIterator<Item = Node> + ExactSizeIterator {
        (0..self.len()).map(|at| self.get(at).unwrap_or_else(|| Node::nothing(0)))
    }
}

fn all_around(nodes: &Nodes) -> AllAround {
    struct Open {
        at: u32,
        end: u32,
        is_map: bool,
        /// The last key, while its value is still to come.
        key: Option<u32>,
    }
    let mut open: Vec<Open> = Vec::new();
    let around = (0..).zip(nodes.iter()).map(|(at, node): (u32, Node)| {
        while open.last().is_some_and(|open| open.end <= at) {
            open.pop();
        }
        let mut around = Around { parent: None, key: None };
        if let Some(open) = open.last_mut() {
            around.parent = Some(open.at);
            if open.is_map {
                around.key = open.key.or(Some(at));
                open.key = if open.key.is_some() { None } else { Some(at) };
            }
        }
        if node.size > 1 {
            open.push(Open {
                at,
                end: at.saturating_add(node.size),
                is_map: node.kind == NodeKind::Map,
                key: None,
            });
        }
        around
    });
    AllAround::of(around, nodes.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_node_comes_back_as_it_was() {
        for kind in KINDS {
            for style in STYLES {
                for (start, end, size, cooked) in [
                    (0, 0, 1, NOT_COOKED),
                    (65_535, 131_070, 65_535, 4_094),
                    (65_536, 65_536, 1, NOT_COOKED),
                    (0, 65_536, 1, NOT_COOKED),
                    (1, 2, 65_536, 0),
                    (1, 2, 3, 4_095),
                ] {
                    let node = Node { start, end, size, cooked, kind, style };
                    let nodes = Nodes::of(vec![node, node]);
                    assert_eq!((nodes.len(), nodes.get(1), nodes.get(2)), (2, Some(node), None));
                    let fits = start < 65_536 && end - start < 65_536 && size < 65_536 && cooked != 4_095;
                    assert_eq!(matches!(nodes, Nodes::Few(_)), fits, "{node:?}");
                }
            }
        }
        assert_eq!((size_of::<Narrow>(), size_of::<Nodes>()), (8, 16));
    }
}
