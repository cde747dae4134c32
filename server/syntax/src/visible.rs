//! Characters that no reader sees, made visible.

use std::borrow::Cow;
use std::fmt::Write;

/// Whether a character does something instead of standing there: it controls a terminal (C0, DEL, C1),
/// breaks a line, turns the direction of the text behind it (Unicode Technical Report 36, 2.3), or marks an
/// order of bytes.
pub fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{2028}' | '\u{2029}' | '\u{feff}'
            | '\u{61c}' | '\u{200e}' | '\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2066}'..='\u{206f}')
}

/// A text on one line, fit for a terminal: what [`is_unseen`] as `\u{1b}`, all else as it is.
pub fn visible(text: &str) -> Cow<'_, str> {
    // Nearly all texts are plain, and are looked at byte by byte.
    if text.bytes().all(|b| matches!(b, b' '..=b'~')) || !text.contains(is_unseen) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if is_unseen(c) {
            let _ = write!(out, "{}", c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_seen_is_spelt_out() {
        assert_eq!(visible("70 °F – é 😀"), "70 °F – é 😀");
        assert_eq!(
            visible("a\u{1b}[2J\u{9b}b\nc\u{202e}\u{2028}\u{7f}\t"),
            "a\\u{1b}[2J\\u{9b}b\\u{a}c\\u{202e}\\u{2028}\\u{7f}\\u{9}"
        );
    }

    /// The Unicode Character Database's own classes: general category Cc, and `Bidi_Control`.
    #[test]
    fn nothing_that_acts_is_left() {
        let bidi = [
            '\u{61c}', '\u{200e}', '\u{200f}', '\u{202a}', '\u{202b}', '\u{202c}', '\u{202d}', '\u{202e}',
            '\u{2066}', '\u{2067}', '\u{2068}', '\u{2069}',
        ];
        for c in ('\0'..='\u{1f}').chain('\u{7f}'..='\u{9f}').chain(bidi) {
            assert!(visible(&c.to_string()).chars().all(|c| c.is_ascii_graphic()), "{c:?}");
        }
    }
}
