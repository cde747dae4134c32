//! The nodes of a part, as small as its text allows: a job has millions of them.

use crate::node::{Kind, NOT_COOKED, Node, Style};

/// The nodes of a part in preorder.
#[derive(Debug, PartialEq)]
pub(crate) enum Nodes {
    /// Those of a text under 64 KiB, as nearly every entry is.
    Narrow(Box<[Narrow]>),
    /// Boxed twice, so that the rare form makes no part larger.
    Wide(Box<Box<[Node]>>),
}

/// A [`Node`] in 8 bytes.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Narrow {
    start: u16,
    length: u16,
    size: u16,
    /// From the lowest bit: two of the kind, two of the style, and the number of the cooked value.
    rest: u16,
}

const KINDS: [Kind; 4] = [Kind::Scalar, Kind::Map, Kind::List, Kind::Null];
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
            kind: KINDS.get(usize::from(self.rest & 3)).copied().unwrap_or(Kind::Null),
            style: STYLES.get(usize::from(self.rest >> 2 & 3)).copied().unwrap_or(Style::Plain),
        }
    }
}

impl Nodes {
    pub(crate) fn of(nodes: Vec<Node>) -> Nodes {
        let mut narrow = Vec::with_capacity(nodes.len());
        narrow.extend(nodes.iter().map_while(Narrow::of));
        if narrow.len() == nodes.len() {
            Nodes::Narrow(narrow.into())
        } else {
            Nodes::Wide(Box::new(nodes.into()))
        }
    }

    pub(crate) fn len(&self) -> usize {
        match self {
            Nodes::Narrow(nodes) => nodes.len(),
            Nodes::Wide(nodes) => nodes.len(),
        }
    }

    pub(crate) fn get(&self, at: usize) -> Option<Node> {
        match self {
            Nodes::Narrow(nodes) => nodes.get(at).map(|node| node.wide()),
            Nodes::Wide(nodes) => nodes.get(at).copied(),
        }
    }

    pub(crate) fn iter(&self) -> impl DoubleEndedIterator<Item = Node> + ExactSizeIterator {
        (0..self.len()).map(|at| self.get(at).unwrap_or_else(|| Node::nothing(0)))
    }
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
                    assert_eq!(matches!(nodes, Nodes::Narrow(_)), fits, "{node:?}");
                }
            }
        }
        assert_eq!((size_of::<Narrow>(), size_of::<Nodes>()), (8, 16));
    }
}
