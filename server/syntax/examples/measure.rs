//! Times reading and editing a file: `cargo run --release --example measure FILE`.

// A measurement has to read a file; the crate itself never does.
#![allow(clippy::disallowed_methods)]

use std::{env, fs, hint::black_box, process::ExitCode, time::Instant};

use granit_parser::Parser;
use syntax::{Edit, File};

fn main() -> ExitCode {
    let Some(path) = env::args().nth(1) else {
        eprintln!("Name a YAML file to read.");
        return ExitCode::from(2);
    };
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) => {
            eprintln!("{path} cannot be read: {error}");
            return ExitCode::from(2);
        }
    };
    let start = Instant::now();
    let events = Parser::new_from_str(&text).count();
    println!("the parser alone: {:?}, {events} events, {} bytes", start.elapsed(), text.len());

    let before = resident();
    let start = Instant::now();
    let mut file = File::new(&text);
    println!("reading: {:?}, {} parts, {} lines", start.elapsed(), file.pieces().len(), file.text().lines());
    let grown = resident().saturating_sub(before);
    println!("memory: {:.1} times the text", grown as f64 / text.len().max(1) as f64);

    let middle = text.len() / 2;
    let at = text.get(middle..).and_then(|rest| rest.find(": ")).map_or(middle, |at| middle + at + 2) as u32;
    let mut times: Vec<_> = (0..1000_u32)
        .map(|n| {
            let (range, new) = if n % 2 == 0 { (at..at, "x") } else { (at..at + 1, "") };
            let edit = Edit { range, new: new.into() };
            let start = Instant::now();
            black_box(file.edit(&edit));
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    let time = |share: usize| times.get(times.len() * share / 100).copied().unwrap_or_default();
    println!("an edit in the middle: median {:?}, 99 of 100 under {:?}", time(50), time(99));
    println!(
        "memory after 1,000 edits: {:.1} times the text",
        resident().saturating_sub(before) as f64 / text.len().max(1) as f64
    );
    ExitCode::SUCCESS
}

/// Bytes of memory in use, where the system tells (Linux, pages of 4 KiB); else 0.
fn resident() -> usize {
    let pages = fs::read_to_string("/proc/self/statm").unwrap_or_default();
    pages.split(' ').nth(1).and_then(|pages| pages.parse::<usize>().ok()).unwrap_or(0) * 4096
}
