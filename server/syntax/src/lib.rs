//! Text, positions and an error-tolerant, spanned YAML tree, read entry by entry.
//!
//! A file is read as *entries*: the items of each top-level section. Each is parsed alone into an
//! immutable [`Part`], so that a broken entry loses nothing else and an edit reads one entry again.
//! This crate knows no section's name and reports nothing but YAML that cannot be read.

mod alias;
mod anchors;
mod brackets;
mod cut;
mod diagnose;
mod edit;
mod file;
mod flat;
mod keys;
mod line;
mod mend;
mod node;
mod nodes;
mod part;
mod position;
mod read;
mod run;
mod slice;
mod split;
mod structure;
mod text;
mod tree;
mod visible;
pub mod write;

pub use file::{File, LONGEST, Piece, PieceChange};
pub use node::{Comment, Fault, FaultKind, NodeKind};
pub use part::{NodeId, Part, PartRole, alike};
pub use position::{Encoding, Position};
pub use text::{Edit, Text};
pub use visible::{is_unseen, visible};
