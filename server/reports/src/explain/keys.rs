//! Every key of the format, with the path that leads to it.

use model::{Field, Kind, ValueShape, entry_shape};

/// A key at its place.
#[derive(Clone, Debug)]
pub(super) struct Key {
    /// The section, and the keys that lead to it, itself last; names that a job chooses are left out.
    pub(super) path: Vec<&'static str>,
    /// What the format says of it.
    pub(super) field: Field,
}

impl Key {
    /// `points.driven-by.schedule`.
    pub(super) fn dotted(&self) -> String {
        self.path.join(".")
    }

    /// Whether it is what somebody asks for, by its own name or as much of its path as tells it.
    pub(super) fn is(&self, asked: &[&str]) -> bool {
        self.path.ends_with(asked)
    }
}

/// Every key of every section, in the order of the format's tables; those below a key come after it.
pub(super) fn keys() -> Vec<Key> {
    let mut keys = Vec::new();
    for kind in Kind::ALL {
        below(&mut vec![kind.section()], entry_shape(kind), &mut keys);
    }
    keys
}

fn below(path: &mut Vec<&'static str>, shape: ValueShape, keys: &mut Vec<Key>) {
    match shape {
        ValueShape::Fields(fields) => {
            for field in fields {
                path.push(field.key);
                // Of two forms of a value, both may have a key.
                if !keys.iter().any(|known| known.path == *path) {
                    keys.push(Key { path: path.clone(), field: *field });
                    below(path, field.shape, keys);
                }
                path.pop();
            }
        }
        ValueShape::Named(shape) | ValueShape::List(shape) => below(path, *shape, keys),
        ValueShape::Either(shapes) => shapes.iter().for_each(|shape| below(path, *shape, keys)),
        _ => {}
    }
}

/// The keys that a value may have, if it may have any.
pub(super) fn fields(shape: ValueShape) -> Vec<Field> {
    match shape {
        ValueShape::Fields(fields) => fields.to_vec(),
        ValueShape::Named(shape) | ValueShape::List(shape) => fields(*shape),
        ValueShape::Either(shapes) => {
            let mut all: Vec<Field> = Vec::new();
            for field in shapes.iter().flat_map(|shape| fields(*shape)) {
                if all.iter().all(|known| known.key != field.key) {
                    all.push(field);
                }
            }
            all
        }
        _ => Vec::new(),
    }
}
