//! What may be written at a place, by the tables that lowering reads by.

use super::cursor::Scalar;
use crate::methods::subject::{behind, item_shape};
use model::{Kind, Name, ValueShape};
use syntax::{NodeId, NodeKind, Part};

/// What a scalar stands for in its entry.
#[derive(Debug)]
pub(super) struct Slot {
    pub(super) kind: Kind,
    /// The keys above it, from the entry down; the field of `site:` among them.
    pub(super) keys: Vec<Name>,
    pub(super) role: Role,
}

/// Whether a key or a value belongs somewhere.
#[derive(Debug)]
pub(super) enum Role {
    /// The entry's own name.
    Own,
    /// A key of a mapping of this shape, which has these others.
    Key(ValueShape, Vec<Name>),
    /// A value of this shape.
    Value(ValueShape),
}

impl Slot {
    /// The place of a scalar; nothing where the tables have none.
    pub(super) fn of(scalar: &Scalar) -> Option<Slot> {
        let (part, node) = (&*scalar.part, scalar.node);
        let kind = Kind::of_section(part.section())?;
        if node == part.key_node() && node != part.value() {
            return Some(Slot { kind, keys: Vec::new(), role: Role::Own });
        }
        let steps = steps(part, node)?;
        let is_key = |map: NodeId| part.pairs(map).any(|(key, _)| key == node);
        let holder = part.parent(node).filter(|map| is_key(*map));
        let mut shape = model::entry_shape(kind);
        let mut keys = Vec::new();
        for step in steps {
            match step {
                Some(key) => {
                    (_, shape) = behind(shape, &key)?;
                    keys.push(key);
                }
                None => shape = item_shape(shape),
            }
        }
        let role = match holder {
            Some(map) => Role::Key(shape, others(part, map, node)),
            None => Role::Value(shape),
        };
        Some(Slot { kind, keys, role })
    }

    /// Whether it lies in what drives a point.
    pub(super) fn is_driver(&self) -> bool {
        self.kind == Kind::Point && matches!(self.keys.as_slice(), [key] if key == "driven-by")
    }
}

/// The way from the entry's value down to what a node is a key or value of: keys, and nothing for an
/// item of a list.
fn steps(part: &Part, node: NodeId) -> Option<Vec<Option<Name>>> {
    let mut steps = Vec::new();
    let mut inner = node;
    while let Some(outer) = part.parent(inner) {
        if part.kind(outer) == NodeKind::List {
            steps.push(None);
        } else if let Some((key, _)) = part.pairs(outer).find(|(_, value)| *value == inner) {
            steps.push(Some(Name::new(part.scalar(key)?)));
        } else if inner != node {
            // Below a key that is no scalar.
            return None;
        }
        inner = outer;
    }
    // Each field of `site:` is an entry of its own.
    if Kind::of_section(part.section()) == Some(Kind::Site) {
        steps.push(Some(Name::new(part.key()?)));
    }
    steps.reverse();
    Some(steps)
}

fn others(part: &Part, map: NodeId, node: NodeId) -> Vec<Name> {
    let others = part.pairs(map).filter(|(key, _)| *key != node);
    others.filter_map(|(key, _)| part.scalar(key).map(Name::new)).collect()
}
