//! The keys of every section, in one table each: what lowering accepts, the schema publishes,
//! completion offers and hover explains.

use crate::kind::Kind;

/// One key of a mapping.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// The key as written.
    pub key: &'static str,
    /// Whether the mapping is incomplete without it.
    pub needed: bool,
    /// What stands behind the key.
    pub shape: ValueShape,
    /// What it means, in a sentence.
    pub text: &'static str,
}

/// What may stand at a place.
#[derive(Debug, Clone, Copy)]
pub enum ValueShape {
    /// Free text.
    Text,
    /// A number without unit.
    Number,
    /// A whole number of this range.
    Whole(u64, u64),
    /// A number with a unit of measure; the text is an example.
    Quantity(&'static str),
    /// `LOW..HIGH` with an optional unit.
    Range,
    /// An ISO date.
    Date,
    /// The name of a thing of this kind.
    NameOf(Kind),
    /// A name of the place's own: an option, an input.
    LocalName,
    /// One of these words.
    Word(&'static [&'static str]),
    /// Logic in words.
    Logic,
    /// A BACnet object type and instance.
    Object,
    /// A BACnet engineering unit.
    EngineeringUnits,
    /// Windows of a day: `08:00-17:30`, a list, `all-day`, `none`, or windows with values.
    DayPlan,
    /// A mapping with these keys.
    Fields(&'static [Field]),
    /// A mapping whose keys are names.
    Named(&'static ValueShape),
    List(&'static ValueShape),
    /// Any of these.
    Either(&'static [ValueShape]),
}

/// A key that must be written.
pub(crate) const fn needed(key: &'static str, shape: ValueShape, text: &'static str) -> Field {
    Field { key, needed: true, shape, text }
}

/// A key that may be left out.
pub(crate) const fn free(key: &'static str, shape: ValueShape, text: &'static str) -> Field {
    Field { key, needed: false, shape, text }
}
