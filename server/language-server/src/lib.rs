//! The language server: the Language Server Protocol 3.17 over standard input and output.
//!
//! Messages are checked (`input`), and each becomes an event in one queue, in the order they arrive
//! (`methods`, `server`). The owner (`owner`, `jobs`) takes them one by one; requests and diagnostics
//! (`diagnose`) read the job as it stands at their turn, on threads of their own. What is sent goes through
//! one writer (`writer`).

mod abilities;
mod answered;
mod capabilities;
mod client_handle;
mod context;
mod convert;
mod diagnose;
mod diagnostic;
mod document;
mod input;
mod jobs;
mod latency;
mod library;
mod markdown;

mod entry_ranges;
mod methods;
mod owner;
mod ownership;
mod parent;
mod progress;
mod request;
mod serve;
mod server;
mod settings;
mod shared;
mod uri;
mod watch;
mod writer;

pub use serve::{serve, serve_on};
