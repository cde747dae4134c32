//! What a unit's inputs come from in the end.

use model::{Call, Name};

/// Something that is on or off by itself, as far as the unit is concerned.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Atom {
    /// A call of a zone's thermostat.
    Call { zone: Name, call: Call },
    /// A schedule: on while it is occupied.
    Schedule(Name),
    /// A free contact, by the point that carries it.
    Contact(Name),
    /// A point an operator may leave on or off.
    Operator(Name),
    /// Something that could not be read or found; it may be on or off.
    Unknown(Name),
}
