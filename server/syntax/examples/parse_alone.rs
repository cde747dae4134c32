//! Times the YAML parser alone over every YAML file below a folder, on as many threads as there are
//! processors: `cargo run --release --example parse_alone FOLDER`. Prints milliseconds and bytes, once the
//! files are in memory; nothing of this crate is used, since the review is held against it.

// A measurement has to read files; the crate itself never does.
#![allow(clippy::disallowed_methods)]

use granit_parser::Parser;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::{env, fs, hint::black_box, io, path::Path, process::ExitCode, thread, time::Instant};

fn main() -> ExitCode {
    let Some(folder) = env::args_os().nth(1) else {
        eprintln!("Name a folder.");
        return ExitCode::from(2);
    };
    let mut texts = Vec::new();
    if let Err(error) = gather(Path::new(&folder), &mut texts) {
        eprintln!("{}: {error}", Path::new(&folder).display());
        return ExitCode::from(2);
    }
    // One file is one piece of work; a job of one file keeps one processor busy.
    let next = AtomicUsize::new(0);
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let start = Instant::now();
    thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some(text) = texts.get(next.fetch_add(1, Ordering::Relaxed)) {
                    black_box(Parser::new_from_str(text).count());
                }
            });
        }
    });
    let bytes: usize = texts.iter().map(String::len).sum();
    println!("{:.3} {bytes}", start.elapsed().as_secs_f64() * 1e3);
    ExitCode::SUCCESS
}

fn gather(folder: &Path, texts: &mut Vec<String>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            gather(&path, texts)?;
        } else if path.extension().is_some_and(|end| end == "yaml" || end == "yml") {
            texts.push(fs::read_to_string(path)?);
        }
    }
    Ok(())
}
