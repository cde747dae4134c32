//! The language server: the Language Server Protocol 3.17 over standard input and output.
//!
//! The wire (`serve`, `server`) does nothing but put events into one queue, in the order they arrive. The
//! owner (`owner`, `jobs`) takes them one by one; questions (`methods`) and diagnostics
//! (`diagnose`) read the job as it stands at their turn, on threads of their own.

mod abilities;
mod answered;
mod capabilities;
mod claims;
mod convert;
mod diagnose;
mod document;
mod jobs;
mod json;
mod methods;
mod mouth;
mod outlet;
mod owner;
mod parent;
mod place;
mod progress;
mod render;
mod serve;
mod server;
mod settings;
mod shared;
mod slow;
mod uri;
mod watch;

pub use serve::{serve, serve_on};
