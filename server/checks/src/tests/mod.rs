//! Tests of many checks at once, and what all tests of checks use.

mod bounds;
pub(crate) mod fixture;
mod hostile;
mod requirements;
mod style;
