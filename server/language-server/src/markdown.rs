//! Text that comes from a job, inside Markdown: it shows as it is written, and never becomes a link, a
//! picture or HTML, whoever wrote the job.
//!
//! Source: `CommonMark` 0.31.2, sections 2.4 (escapes), 6.1 (code spans), and GitHub Flavored Markdown 0.29,
//! section 6.9 (addresses that become links by themselves).

use std::fmt::Write;
use syntax::visible;

/// A text that may have code spans, as Markdown that shows it on one line.
pub(crate) fn escape_markdown(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    for span in spans(text) {
        match span {
            Span::Words(words) => escape(&visible(words), &mut out),
            Span::Code { fence, inside } => {
                let _ = write!(out, "{fence}{}{fence}", visible(inside));
            }
        }
    }
    out
}

/// The same for clients that show text as it is: without the fences.
pub(crate) fn plain(text: &str) -> String {
    let span = |span| match span {
        Span::Words(words) => visible(words),
        Span::Code { inside, .. } => visible(unpadded(inside)),
    };
    spans(text).into_iter().map(span).collect()
}

/// A name as a code span, in a fence that it cannot break out of.
pub(crate) fn code(name: &str) -> String {
    let longest = name.split(|c| c != '`').map(str::len).max().unwrap_or(0);
    let fence = "`".repeat(longest + 1);
    let edge = name.starts_with('`') || name.ends_with('`');
    let spaces = name.starts_with(' ') && name.ends_with(' ') && !name.trim().is_empty();
    let pad = if edge || spaces { " " } else { "" };
    if name.is_empty() { String::new() } else { format!("{fence}{pad}{name}{pad}{fence}") }
}

enum Span<'a> {
    Words(&'a str),
    Code { fence: &'a str, inside: &'a str },
}

/// Where Markdown sees code: from a run of backquotes to the next of the same length.
fn spans(text: &str) -> Vec<Span<'_>> {
    let mut spans = Vec::new();
    let (mut begun, mut at) = (0, 0);
    while let Some(run) = next_run(text, at) {
        at = run.end;
        let mut behind = run.end;
        while let Some(other) = next_run(text, behind) {
            if other.len() == run.len() {
                let [words, fence, inside] = [begun..run.start, run.clone(), run.end..other.start]
                    .map(|range| text.get(range).unwrap_or_default());
                spans.push(Span::Words(words));
                spans.push(Span::Code { fence, inside });
                (begun, at) = (other.end, other.end);
                break;
            }
            behind = other.end;
        }
    }
    spans.push(Span::Words(text.get(begun..).unwrap_or_default()));
    spans
}

fn next_run(text: &str, from: usize) -> Option<std::ops::Range<usize>> {
    let rest = text.get(from..)?;
    let start = from + rest.find('`')?;
    let length = text.get(start..)?.bytes().take_while(|b| *b == b'`').count();
    Some(start..start + length)
}

/// What is inside a code span, as it shows.
fn unpadded(inside: &str) -> &str {
    let bare = inside.strip_prefix(' ').and_then(|rest| rest.strip_suffix(' '));
    bare.filter(|bare| !bare.trim().is_empty()).unwrap_or(inside)
}

/// Escapes what is markup wherever it stands, and what is only in some places just there: numbers, dates
/// and names stay readable for those who see the text itself.
fn escape(words: &str, out: &mut String) {
    let begins = out.is_empty();
    let first = words.len() - words.trim_start().len();
    let behind_digits =
        words.len() - words.trim_start().trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let www = |end: usize| {
        let start = end.checked_sub(3).and_then(|start| words.get(start..end));
        start.is_some_and(|start| start.eq_ignore_ascii_case("www"))
    };
    for (at, c) in words.char_indices() {
        let before = words.get(..at).unwrap_or_default();
        let behind = words.get(at + c.len_utf8()..).unwrap_or_default();
        let markup = match c {
            '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '<' | '>' | '|' | '!' | '&' | '~' | '^'
            | '$' | '@' => true,
            // A list, a heading, or a line that makes a heading of the one above.
            '-' | '+' | '#' | '=' => begins && at == first,
            '.' | ')' if begins && at == behind_digits => behind.is_empty() || behind.starts_with(' '),
            '(' => before.ends_with(']'),
            ':' => behind.starts_with("//"),
            '.' => www(at),
            _ => false,
        };
        if markup {
            out.push('\\');
        }
        out.push(c);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;
    use pulldown_cmark::{Event, Options, Parser, Tag};

    /// What Markdown shows, and whether there is anything else than text, code and bold.
    fn read(markdown: &str) -> (String, bool) {
        let mut shown = String::new();
        let mut odd = false;
        for event in Parser::new_ext(markdown, Options::all() - Options::ENABLE_SMART_PUNCTUATION) {
            match event {
                Event::Text(text) | Event::Code(text) => shown.push_str(&text),
                Event::Start(Tag::Paragraph | Tag::Strong) | Event::End(_) => {}
                _ => odd = true,
            }
        }
        (shown, odd)
    }

    const HOSTILE: [&str; 16] = [
        "![x](http://evil.example/p.png) [c](command:x) <img src=x onerror=alert(1)>",
        "*fan* <spare> _x_ ~~y~~ &lt; & \\*",
        "# heading",
        "- item",
        "1. item",
        "12) item",
        "+ item",
        "=== ",
        "> quote",
        "| a | b |",
        "---",
        "[x]: http://evil.example",
        "[^1]",
        "<http://evil.example>",
        "![[x]]",
        "$x$ ^y^ :::",
    ];

    #[test]
    fn what_is_markup_shows_as_it_is_written() {
        for text in HOSTILE {
            let (shown, odd) = read(&escape_markdown(text));
            assert!(!odd, "{text}: {}", escape_markdown(text));
            assert_eq!(shown, text.trim());
        }
        // Addresses become links by themselves where a client follows GitHub.
        assert_eq!(escape_markdown("http://a.b www.a.b a@b.c"), r"http\://a.b www\.a.b a\@b.c");
        assert_eq!(escape_markdown("45.5 h, Fri 2027-05-28 (x)"), "45.5 h, Fri 2027-05-28 (x)");
    }

    #[test]
    fn code_spans_stay_and_names_keep_in_their_fence() {
        assert_eq!(escape_markdown("`a_b` is *on*, ``c`d`` `e"), r"`a_b` is \*on\*, ``c`d`` \`e");
        assert_eq!(plain("`a_b` is *on*, `` `c `` `e"), "a_b is *on*, `c `e");
        for name in ["a", "a`b", "``", "`a", " a ", "  ", "a``b`c", "<img src=x>", "a\\"] {
            let (shown, odd) = read(&format!("x{}x", escape_markdown(&code(name))));
            assert_eq!((&*shown, odd), (&*format!("x{name}x"), false));
            assert_eq!(plain(&code(name)), name);
        }
    }

    #[test]
    fn what_acts_is_shown_by_its_number() {
        assert_eq!(escape_markdown("a\n# b\u{202e}c"), "a\\\\u\\{a\\}# b\\\\u\\{202e\\}c");
        assert_eq!(plain("a\u{1b}b"), "a\\u{1b}b");
    }

    proptest! {
        #[test]
        fn any_text_is_text(text in "[-+#=.)(`*_{}<>|!&~@:/\\\\a1 \\[\\]]{0,24}", name in "[`a< ]{0,8}") {
            let written = escape_markdown(&format!("{text} {} {text}", code(&name)));
            let (_, odd) = read(&written);
            prop_assert!(!odd, "{}", written);
        }
    }
}
