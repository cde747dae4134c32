//! Where reports go: to a file, or to whoever reads standard output.

use anstream::{AutoStream, ColorChoice};
use std::fs::File;
use std::io::{self, ErrorKind, Write};
use std::path::Path;
use std::process::ExitCode;

/// Takes the pieces of a text, each of whole lines.
pub(crate) type Put<'p> = &'p mut dyn FnMut(&str) -> io::Result<()>;

/// Writes a text that is made piece by piece, to a file or to standard output. `make` is told whether its text
/// may have colours.
pub(crate) fn pieces(
    out: Option<&Path>,
    make: impl FnOnce(bool, Put<'_>) -> io::Result<()>,
) -> Result<ExitCode, String> {
    if let Some(file) = out {
        let written = File::create(file).and_then(|to| {
            let mut to = Plain { out: to };
            make(false, &mut |piece| to.put(piece))
        });
        return written.map(|()| ExitCode::SUCCESS).map_err(|e| format!("{}: {e}", file.display()));
    }
    let stdout = io::stdout();
    let written = if AutoStream::choice(&stdout) == ColorChoice::Never {
        let mut to = Plain { out: stdout.lock() };
        make(false, &mut |piece| to.put(piece)).and_then(|()| to.out.flush())
    } else {
        let mut to = anstream::stdout().lock();
        make(true, &mut |piece| to.write_all(piece.as_bytes())).and_then(|()| to.flush())
    };
    printed(written)
}

/// Writes a text to a file, without its colours, or prints it.
pub(crate) fn deliver(text: &str, out: Option<&Path>) -> Result<ExitCode, String> {
    if out.is_none() {
        return show(text);
    }
    pieces(out, |_, put| put(text))
}

/// Prints a text.
pub(crate) fn show(text: &str) -> Result<ExitCode, String> {
    let mut out = anstream::stdout().lock();
    printed(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// A reader that has gone away is no fault.
fn printed(written: io::Result<()>) -> Result<ExitCode, String> {
    match written {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(e.to_string()),
        _ => Ok(ExitCode::SUCCESS),
    }
}

/// Takes escape codes out of a text, which a job's own names may hold. Nearly all texts have none, and are not
/// looked through letter by letter.
struct Plain<W> {
    out: W,
}

impl<W: Write> Plain<W> {
    /// Writes whole lines. What a name opens and never closes ends with its line, and takes no other with it.
    fn put(&mut self, lines: &str) -> io::Result<()> {
        let control = |b: &u8| b.is_ascii_control() && *b != b'\n';
        if !lines.as_bytes().chunks(256).any(|part| part.iter().filter(|b| control(b)).count() > 0) {
            return self.out.write_all(lines.as_bytes());
        }
        for line in lines.split_inclusive('\n') {
            let text = line.strip_suffix('\n').unwrap_or(line);
            self.out.write_all(anstream::adapter::strip_str(text).to_string().as_bytes())?;
            self.out.write_all(line.get(text.len()..).unwrap_or("").as_bytes())?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::Plain;

    #[test]
    fn codes_are_taken_out_line_by_line() {
        let mut plain = Plain { out: Vec::new() };
        plain.put("70 °F\n").unwrap();
        plain.put("\u{1b}[1mbold\u{1b}[0m\tand\u{7}\nplain\nopen \u{1b}]0;left\nlast\n").unwrap();
        assert_eq!(String::from_utf8(plain.out).unwrap(), "70 °F\nbold\tand\nplain\nopen \nlast\n");
    }
}
