//! What the file of a section says of its entries.

use super::reader::Reader;
use crate::fields::ValueShape;

/// The facts of one entry of a section.
pub(crate) trait Section: Sized {
    /// What an entry may hold.
    const ENTRY: ValueShape;

    /// Reads the facts of an entry; nothing where it is none of this section.
    fn lower(r: &mut Reader<'_>) -> Option<Self>;

    /// A few words on the entry, to stand beside its name in a list.
    fn brief(&self) -> Option<String> {
        None
    }
}
