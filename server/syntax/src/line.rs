//! What a line looks like, judged by itself.

use std::borrow::Cow;

/// A line with its break.
pub(crate) type Line<'a> = Cow<'a, str>;

/// The lines of `text`, each with its break.
pub(crate) fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let mut rest = text;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let end = match memchr::memchr2(b'\n', b'\r', rest.as_bytes()) {
            None => rest.len(),
            Some(at) if rest.get(at..).is_some_and(|rest| rest.starts_with("\r\n")) => at + 2,
            Some(at) => at + 1,
        };
        let (line, tail) = rest.split_at(end);
        rest = tail;
        Some(Cow::Borrowed(line))
    })
}

/// A line's indentation and what is written on it.
pub(crate) fn indent(line: &str) -> (u32, &str) {
    let body = line.trim_start_matches([' ', '\t']);
    let blank = line.get(..line.len() - body.len()).unwrap_or_default();
    (width(blank), body.trim_end_matches([' ', '\t', '\n', '\r']))
}

/// How wide white space looks. YAML allows no tab here; where one stands all the same, the line was
/// most likely lined up with a tab stop every eight columns.
pub(crate) fn width(blank: &str) -> u32 {
    width_at(blank, TAB_STOP)
}

/// The tab stop of terminals.
pub(crate) const TAB_STOP: u32 = 8;

/// The same with a tab stop of an editor's own.
pub(crate) fn width_at(blank: &str, stop: u32) -> u32 {
    blank.chars().fold(0, |width, c| if c == '\t' { (width / stop + 1) * stop } else { width + 1 })
}

/// Whether `body` starts with `mark` as a token of its own.
pub(crate) fn indicator(body: &str, mark: char) -> bool {
    body.strip_prefix(mark).is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']))
}

pub(crate) fn document_mark(body: &str) -> bool {
    let rest = body.strip_prefix("---").or_else(|| body.strip_prefix("..."));
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']))
}

/// A line's key and what follows its colon.
pub(crate) fn heading(body: &str) -> Option<(&str, &str)> {
    let first = body.chars().next()?;
    if matches!(first, '"' | '\'') {
        let (name, rest) = quoted(body, first)?;
        return Some((name, rest.trim_start().strip_prefix(':')?.trim_start()));
    }
    if "?:,[]{}#&*!|>%@`".contains(first) || indicator(body, '-') {
        return None;
    }
    for (at, _) in body.match_indices(':') {
        let (name, rest) = (body.get(..at)?, body.get(at + 1..)?);
        if rest.is_empty() || rest.starts_with([' ', '\t', '{', '[', '"', '\'']) {
            let name = name.trim_end();
            let commented = name.contains(" #") || name.contains("\t#");
            return (!name.is_empty() && !commented).then(|| (name, rest.trim_start()));
        }
    }
    None
}

/// What stands in the quotes at the start of `body`, and what follows them.
fn quoted(body: &str, quote: char) -> Option<(&str, &str)> {
    let mut escaped = false;
    for (at, c) in body.char_indices().skip(1) {
        if escaped {
            escaped = false;
        } else if c == '\\' && quote == '"' {
            escaped = true;
        } else if c == quote {
            return Some((body.get(1..at)?, body.get(at + 1..)?));
        }
    }
    None
}

/// A line of a single word: most likely a section's name whose colon is missing.
pub(crate) fn bare_word(body: &str) -> Option<&str> {
    let word = body.split_once(" #").map_or(body, |(word, _)| word).trim_end();
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_');
    (word.starts_with(char::is_alphabetic) && word.chars().all(fits)).then_some(word)
}
