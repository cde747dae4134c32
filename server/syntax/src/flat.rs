//! A text that was never edited: one run of bytes.

use std::sync::{Arc, OnceLock};

/// A line longer than this is looked at by halves, which a rope does: counting the characters before
/// each of many places in it would take the square of its length.
const LONG_LINE: usize = 1 << 16;

#[derive(Debug)]
pub(crate) struct Flat {
    pub(crate) text: Arc<str>,
    /// Where each line starts, found when it is first asked for.
    starts: OnceLock<Box<[u32]>>,
}

impl Flat {
    /// None for a text with a very long line.
    pub(crate) fn new(text: &Arc<str>) -> Option<Flat> {
        let flat = Flat { text: text.clone(), starts: OnceLock::new() };
        (!has_long_line(text.as_bytes())).then_some(flat)
    }

    pub(crate) fn starts(&self) -> &[u32] {
        self.starts.get_or_init(|| {
            let bytes = self.text.as_bytes();
            let ends = memchr::memchr2_iter(b'\n', b'\r', bytes)
                .filter(|at| bytes.get(*at) == Some(&b'\n') || bytes.get(at + 1) != Some(&b'\n'));
            std::iter::once(0).chain(ends.map(|at| at as u32 + 1)).collect()
        })
    }
}

/// Looks only for the last break of each stretch as long as a line may be.
fn has_long_line(bytes: &[u8]) -> bool {
    let mut rest = bytes;
    while let Some(stretch) = rest.get(..LONG_LINE) {
        let Some(at) = memchr::memrchr2(b'\n', b'\r', stretch) else {
            return true;
        };
        rest = rest.get(at + 1..).unwrap_or_default();
    }
    false
}
