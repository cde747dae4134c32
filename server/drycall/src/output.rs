//! Where reports go: to a file, or to whoever reads standard output.

use anstream::adapter::StripBytes;
use anstream::{AutoStream, ColorChoice};
use std::fs::File;
use std::io::{self, ErrorKind, Write};
use std::path::Path;
use std::process::ExitCode;

/// Takes the pieces of a text.
pub(crate) type Put<'p> = &'p mut dyn FnMut(&str) -> io::Result<()>;

/// Writes a text that is made piece by piece, to a file or to standard output. `make` is told whether its text
/// may have colours.
pub(crate) fn pieces(
    out: Option<&Path>,
    make: impl FnOnce(bool, Put<'_>) -> io::Result<()>,
) -> Result<ExitCode, String> {
    if let Some(file) = out {
        let written = File::create(file).and_then(|to| {
            let mut to = Plain::new(to);
            make(false, &mut |piece| to.put(piece))
        });
        return written.map(|()| ExitCode::SUCCESS).map_err(|e| format!("{}: {e}", file.display()));
    }
    let stdout = io::stdout();
    let written = if AutoStream::choice(&stdout) == ColorChoice::Never {
        let mut to = Plain::new(stdout.lock());
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
    strip: StripBytes,
    /// Whether any were met.
    met: bool,
}

impl<W: Write> Plain<W> {
    fn new(out: W) -> Self {
        Plain { out, strip: StripBytes::new(), met: false }
    }

    fn put(&mut self, piece: &str) -> io::Result<()> {
        let control = |b: &u8| b.is_ascii_control() && *b != b'\n';
        self.met |= piece.as_bytes().chunks(256).any(|part| part.iter().filter(|b| control(b)).count() > 0);
        if !self.met {
            return self.out.write_all(piece.as_bytes());
        }
        self.strip.strip_next(piece.as_bytes()).try_for_each(|part| self.out.write_all(part))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::Plain;

    fn plain(pieces: &[&str]) -> String {
        let mut plain = Plain::new(Vec::new());
        pieces.iter().for_each(|piece| plain.put(piece).unwrap());
        String::from_utf8(plain.out).unwrap()
    }

    #[test]
    fn codes_are_taken_out_wherever_pieces_end() {
        let whole = "70 °F\n\u{1b}[1mbold\u{1b}[0m\tand\u{7}\r\nplain \u{1b}]8;;x\u{1b}\\link\n";
        let expected = anstream::adapter::strip_str(whole).to_string();
        assert_eq!(plain(&[whole]), expected);
        for (at, _) in whole.char_indices() {
            let (first, last) = whole.split_at(at);
            assert_eq!(plain(&[first, last]), expected, "cut at {at}");
        }
        assert_eq!(plain(&["a\n", "b\n"]), "a\nb\n");
    }
}
