//! Tests of many checks at once, and what all tests of checks use.

mod bounds;
pub(crate) mod example;
pub(crate) mod fixture;
mod hostile;
mod requirements;
