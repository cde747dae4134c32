//! What entries have in common with others: what the index is asked for.

use crate::bacnet::Object;
use crate::kind::Kind;
use crate::names::Name;

/// Something that entries of different files have in common. Whoever reads a key of the index
/// depends on every entry that contributes to it.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Key {
    /// Entries that declare this name.
    Define(Kind, Name),
    /// Entries that use this name.
    Refer(Kind, Name),
    /// All entries of a kind.
    All(Kind),
    /// Points that take this object of this device.
    Object(Name, Object),
    /// Devices with this instance.
    DeviceInstance(u64),
    /// Points with this text.
    Text(Name),
    /// Entries that name this file of the job (a calendar, weather), and the file itself.
    Import(Name),
    /// Entries that could not be read in full and whose text has this word; as a key where the flag is set.
    Unread(Name, bool),
}
