//! How much may be worked out for one unit.

use logic::Bounds;

/// The bounds of all that is proven of one unit. Steps are those of its functions, or of one kind of question.
#[derive(Clone, Copy, Debug)]
pub struct UnitBounds(pub Bounds);

impl Default for UnitBounds {
    fn default() -> Self {
        UnitBounds(Bounds { steps: 1 << 20, ..Bounds::DEFAULT })
    }
}
