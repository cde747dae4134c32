//! The heart: what follows from a unit's wiring, settings and schedules.

pub(crate) mod circuit;
pub(crate) mod constraint;
pub(crate) mod course;
pub(crate) mod followed;
pub(crate) mod question;
pub(crate) mod recall;
pub(crate) mod rules;
pub(crate) mod setting;
pub(crate) mod shape;
pub(crate) mod solved;
pub(crate) mod why;
