//! Where reports go: to a file, or to whoever reads standard output.

use crate::staged::{Staged, why};
use anstream::{AutoStream, ColorChoice};
use std::fs::File;
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::Path;
use std::process::ExitCode;

/// Takes the pieces of a text, each of whole lines.
pub(crate) type Put<'p> = &'p mut dyn FnMut(&str) -> io::Result<()>;

/// Columns of the window that standard output goes to: as the terminal says, or else `COLUMNS`.
pub(crate) fn width() -> usize {
    let terminal = terminal_size::terminal_size_of(io::stdout()).map(|(columns, _)| usize::from(columns.0));
    let told = || std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    terminal.or_else(told).filter(|columns| *columns > 0).unwrap_or(reports::Form::WIDTH)
}

/// Writes a text that is made piece by piece, to a file or to standard output. `make` is given whether its text
/// may have colours.
pub(crate) fn pieces(
    out: Option<&Path>,
    make: impl FnOnce(bool, Put<'_>) -> io::Result<()>,
) -> Result<ExitCode, String> {
    if let Some(file) = out {
        return written(file, make)
            .map(|()| ExitCode::SUCCESS)
            .map_err(|e| format!("{}: {}", file.display(), why(&e)));
    }
    let stdout = io::stdout();
    let written = if AutoStream::choice(&stdout) == ColorChoice::Never {
        let mut to = stdout.lock();
        make(false, &mut |piece| to.write_all(piece.as_bytes())).and_then(|()| to.flush())
    } else {
        let mut to = anstream::stdout().lock();
        make(true, &mut |piece| to.write_all(piece.as_bytes())).and_then(|()| to.flush())
    };
    printed(written)
}

/// Writes a text to a file: all of it, or the file stays what it was. What is no file, like a pipe, takes it as it
/// comes.
fn written(file: &Path, make: impl FnOnce(bool, Put<'_>) -> io::Result<()>) -> io::Result<()> {
    if file.metadata().is_ok_and(|meta| !meta.is_file()) {
        let mut to = File::create(file)?;
        return make(false, &mut |piece| to.write_all(piece.as_bytes()));
    }
    let mut staged = Staged::new(file)?;
    let mut to = BufWriter::new(staged.file());
    make(false, &mut |piece| to.write_all(piece.as_bytes()))?;
    to.flush()?;
    drop(to);
    staged.finish()?;
    staged.put()
}

/// Writes a text to a file, without its colours, or prints it.
pub(crate) fn deliver(text: &str, out: Option<&Path>) -> Result<ExitCode, String> {
    if out.is_none() {
        return show(text);
    }
    pieces(out, |_, put| put(text))
}

/// Prints a text that has no colours.
pub(crate) fn show(text: &str) -> Result<ExitCode, String> {
    let mut out = io::stdout().lock();
    printed(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// A reader that has gone away is no fault.
fn printed(written: io::Result<()>) -> Result<ExitCode, String> {
    match written {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(e.to_string()),
        _ => Ok(ExitCode::SUCCESS),
    }
}
