//! Edits of a file as a unified diff.

use similar::{ChangeTag, TextDiff};
use std::fmt::Write;
use std::ops::Range;
use syntax::{Encoding, Text, visible};

/// Lines that are shown around what changes.
const AROUND: u32 = 3;

/// Bytes of a text, and what stands there afterwards.
type TextEdit<'e> = (&'e Range<u32>, &'e str);

/// Edits of a text, in order and apart, as a diff that `patch -p0` takes where `path` leads to the file.
pub(crate) fn unified(path: &str, text: &Text, edits: &[TextEdit<'_>]) -> String {
    let path = visible(path);
    let mut diff = format!("--- {path}\n+++ {path}\n");
    let line = |at: u32| text.position(at, Encoding::Utf8).line;
    let near = |a: &TextEdit<'_>, b: &TextEdit<'_>| line(b.0.start) <= line(a.0.end) + 2 * AROUND;
    let mut grown = 0;
    for hunk in edits.chunk_by(near) {
        let (Some((first, _)), Some((last, _))) = (hunk.first(), hunk.last()) else { continue };
        let from = line(first.start).saturating_sub(AROUND);
        let to = text.line_start((line(last.end) + 1 + AROUND).min(text.lines()));
        let start = text.line_start(from);
        let old = text.slice(start..to);
        let mut new = old.clone();
        for (range, with) in hunk.iter().rev() {
            let inside = (range.start - start) as usize..(range.end - start) as usize;
            if new.get(inside.clone()).is_some() {
                new.replace_range(inside, with);
            }
        }
        let (body, [before, after]) = body(&old, &new);
        let at = |line: i64, count: i64| if count == 0 { line } else { line + 1 };
        let from = i64::from(from);
        let (old_at, new_at) = (at(from, before), at(from + grown, after));
        let _ = write!(diff, "@@ -{old_at},{before} +{new_at},{after} @@\n{body}");
        grown += after - before;
    }
    diff
}

/// The lines of a hunk with their signs, and how many there are before and after.
fn body(old: &str, new: &str) -> (String, [i64; 2]) {
    let (mut text, mut counts) = (String::new(), [0, 0]);
    for change in TextDiff::from_lines(old, new).iter_all_changes() {
        let (sign, before, after) = match change.tag() {
            ChangeTag::Equal => (' ', 1, 1),
            ChangeTag::Delete => ('-', 1, 0),
            ChangeTag::Insert => ('+', 0, 1),
        };
        counts = [counts[0] + before, counts[1] + after];
        text.push(sign);
        put_line(&mut text, change.value());
        if change.missing_newline() {
            text.push_str("\n\\ No newline at end of file\n");
        }
    }
    (text, counts)
}

/// A line of a file with its end. Tabs stay, since `patch` compares them and they harm no terminal.
fn put_line(text: &mut String, line: &str) {
    let end = ["\r\n", "\n"].into_iter().find(|end| line.ends_with(end)).unwrap_or_default();
    let mut words = line.strip_suffix(end).unwrap_or(line).split('\t');
    text.push_str(&visible(words.next().unwrap_or_default()));
    for word in words {
        text.push('\t');
        text.push_str(&visible(word));
    }
    text.push_str(end);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_shown_as_they_are_but_for_what_acts() {
        let text = Text::new("a: 1\r\nb:\t\u{202e}2\r\n");
        let diff = unified("a\u{1b}[2J.yaml", &text, &[(&(3..4), "\u{9b}2J")]);
        let expected = "--- a\\u{1b}[2J.yaml\n+++ a\\u{1b}[2J.yaml\n@@ -1,2 +1,2 @@\n-a: 1\r\n+a: \\u{9b}2J\r\n b:\t\\u{202e}2\r\n";
        assert_eq!(diff, expected);
    }
}
