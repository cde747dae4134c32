//! The command line: arguments in, reports and an exit status out.
//!
//! Exit status: 0 nothing at or above the level, 1 findings, 2 could not do what was asked, or not all of the job
//! could be read.

#![allow(clippy::disallowed_methods)]

mod arguments;
mod commands;
mod diff;
mod job;
mod output;
mod repair;
mod staged;
mod start;

use arguments::Arguments;
use clap::Parser;
use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    // `error` to `trace`; what is none is the default, since nothing can be logged about it yet.
    let level = std::env::var("DRYCALL_LOG").ok().and_then(|level| level.parse().ok());
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_max_level(level.unwrap_or(tracing::level_filters::LevelFilter::ERROR))
        .init();
    let arguments = Arguments::try_parse().unwrap_or_else(|error| {
        if let Some(renamed) = arguments::renamed(&error) {
            eprintln!("drycall: {renamed}");
            std::process::exit(2);
        }
        error.exit()
    });
    match commands::run(arguments.command) {
        Ok(code) => code,
        Err(message) => {
            // Names of the job and of files stand in it.
            eprintln!("drycall: {}", syntax::visible(&message));
            ExitCode::from(2)
        }
    }
}
