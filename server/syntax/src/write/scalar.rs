//! A text as a scalar on one line.

use crate::is_unseen;
use std::fmt::Write;

/// A text as a scalar, in quotes where it would be read as something else, or not at all.
pub fn scalar(text: &str) -> String {
    scalar_in(text, None)
}

/// A text as a scalar, in these quotes where they can hold it, and else as [`scalar`] writes it.
pub fn scalar_in(text: &str, quote: Option<char>) -> String {
    if text.chars().any(needs_escape) {
        return escaped(text);
    }
    match quote.or_else(|| needs_quotes(text).then_some('"')) {
        Some('\'') => format!("'{}'", text.replace('\'', "''")),
        Some(_) => escaped(text),
        None => text.to_owned(),
    }
}

/// In double quotes, which alone can hold every text (YAML 1.2.2, 5.7).
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if needs_escape(c) => {
                let _ = match u32::from(c) {
                    short @ ..=0xff => write!(out, "\\x{short:02x}"),
                    middle @ ..=0xffff => write!(out, "\\u{middle:04x}"),
                    long => write!(out, "\\U{long:08x}"),
                };
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// What is not printable (YAML 1.2.2, 5.1), and what would show another text than the one that is read.
fn needs_escape(c: char) -> bool {
    is_unseen(c) || matches!(c, '\u{fffe}' | '\u{ffff}')
}

/// Whether a text would be read as something else, or not at all, in brackets or out of them.
fn needs_quotes(text: &str) -> bool {
    let special = |c: char| "-?:,[]{}#&*!|>'\"%@`".contains(c);
    let number =
        text.starts_with('-') && text.get(1..).is_some_and(|t| t.starts_with(|c: char| c.is_ascii_digit()));
    text.is_empty()
        || text.trim() != text
        || text.starts_with(special) && !number
        || text.contains([',', '[', ']', '{', '}'])
        || text
            .split(':')
            .skip(1)
            .any(|behind| !behind.starts_with(|c: char| c.is_alphanumeric() || c == '/'))
        || text.contains(" #")
        || matches!(text, "~" | "null" | "Null" | "NULL" | "<<" | "...")
}
