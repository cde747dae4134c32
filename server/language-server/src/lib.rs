//! The language server: the Language Server Protocol 3.17 over standard input and output.
//!
//! The wire (`server`) does nothing but put events into one queue, in the order they arrive. The
//! owner (`owner`, `jobs`) takes them one by one; questions (`methods`) and diagnostics
//! (`diagnose`) read the job as it stands at their turn, on threads of their own.

mod abilities;
mod convert;
mod diagnose;
mod document;
mod jobs;
mod methods;
mod mouth;
mod outlet;
mod owner;
mod parent;
mod place;
mod progress;
mod render;
mod server;
mod shared;
mod slow;
mod uri;

pub use server::{serve, serve_on};
