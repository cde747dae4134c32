//! JSON written straight into a buffer: for answers so long that building a tree of values would
//! take longer than all else.

use tower_lsp_server::ls_types as lsp;

/// Writes a string.
pub(crate) fn string(text: &str, out: &mut Vec<u8>) {
    // Without an early end the loop is done many bytes at a time; next to no text needs escapes.
    let plain = text.bytes().filter(|b| matches!(b, 0..0x20 | b'"' | b'\\')).count() == 0;
    if plain {
        out.push(b'"');
        out.extend_from_slice(text.as_bytes());
        out.push(b'"');
    } else {
        // A string, written to memory: nothing can go wrong.
        let _ = serde_json::to_writer(out, text);
    }
}

/// Writes a number.
pub(crate) fn number(number: u32, out: &mut Vec<u8>) {
    let (mut digits, mut rest) = ([b'0'; 10], number);
    let mut first = digits.len();
    for (i, digit) in digits.iter_mut().enumerate().rev() {
        *digit += (rest % 10) as u8;
        rest /= 10;
        first = i;
        if rest == 0 {
            break;
        }
    }
    out.extend_from_slice(digits.get(first..).unwrap_or_default());
}

/// Writes a range.
pub(crate) fn range(range: &lsp::Range, out: &mut Vec<u8>) {
    out.extend_from_slice(b"{\"start\":");
    position(range.start, out);
    out.extend_from_slice(b",\"end\":");
    position(range.end, out);
    out.push(b'}');
}

fn position(at: lsp::Position, out: &mut Vec<u8>) {
    out.extend_from_slice(b"{\"line\":");
    number(at.line, out);
    out.extend_from_slice(b",\"character\":");
    number(at.character, out);
    out.push(b'}');
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_written_is_what_the_library_writes(text: String, ends: [u32; 4], small in 0u32..200) {
            let [a, b, c, _] = ends;
            let whole = lsp::Range::new(lsp::Position::new(a, small), lsp::Position::new(b, c));
            let mut out = Vec::new();
            string(&text, &mut out);
            prop_assert_eq!(&out, &serde_json::to_vec(&text).unwrap());
            out.clear();
            range(&whole, &mut out);
            prop_assert_eq!(out, serde_json::to_vec(&whole).unwrap());
        }
    }

    #[test]
    fn numbers_of_every_length() {
        for wanted in [0, 9, 10, 99, 100, 1_234_567_890, u32::MAX] {
            let mut out = Vec::new();
            number(wanted, &mut out);
            assert_eq!(String::from_utf8(out).unwrap(), wanted.to_string());
        }
    }
}
