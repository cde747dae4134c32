//! The command line: arguments in, reports and an exit status out.
//!
//! Exit status: 0 nothing at or above the level, 1 findings, 2 could not do what was asked.

#![allow(clippy::disallowed_methods)]

mod arguments;
mod commands;
mod diff;
mod job;
mod output;
mod repair;
mod start;

use clap::Parser;
use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_env_filter(tracing_subscriber::EnvFilter::from_env("DRYCALL_LOG"))
        .init();
    match commands::run(arguments::Arguments::parse().command) {
        Ok(code) => code,
        Err(message) => {
            // Names of the job and of files stand in it.
            eprintln!("drycall: {}", syntax::visible(&message));
            ExitCode::from(2)
        }
    }
}
