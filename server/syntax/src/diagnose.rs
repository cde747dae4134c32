//! Says in plain words why reading stopped, and what would let it go on.

use std::ops::Range;

use granit_parser::ErrorKind as NodeKind;

use crate::{
    brackets::{Brackets, brackets, closer},
    node::FaultKind,
    tree::{DEEPEST, Trouble, TroubleKind},
};

/// A change to a copy of the text that lets reading go on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Fix {
    /// These bytes become blanks; line breaks stay.
    Blank(Range<usize>),
    /// These bytes become letters, so that the scalar they stand in is read as written.
    Letters(Range<usize>),
    /// Something is put in before this byte.
    Insert(usize, String),
    /// Tabs before a line's first word become spaces.
    Untab,
}

/// What is wrong, where, and the changes that let reading go on.
#[derive(Debug)]
pub(crate) struct Diagnosis {
    pub(crate) kind: FaultKind,
    pub(crate) range: Range<usize>,
    pub(crate) message: String,
    pub(crate) fixes: Vec<Fix>,
}

impl Diagnosis {
    pub(crate) fn new(
        range: Range<usize>,
        message: impl Into<String>,
        fixes: impl Into<Vec<Fix>>,
    ) -> Diagnosis {
        Diagnosis { kind: FaultKind::Broken, range, message: message.into(), fixes: fixes.into() }
    }
}

/// What `trouble` in `text` is.
pub(crate) fn diagnose(text: &str, trouble: &Trouble) -> Diagnosis {
    let at = trouble.at;
    let scene = Scene { text, at, line: line(text, at), brackets: brackets(text) };
    let TroubleKind::Parser(kind) = &trouble.kind else {
        return scene.glued_colon(at);
    };
    match kind {
        NodeKind::RecursionLimitExceeded => scene.too_deep(),
        NodeKind::UnexpectedCharacter { .. } | NodeKind::BomInsideDocument => scene.character(),
        _ if scene.tab().is_some() => scene.tabs(scene.tab()),
        NodeKind::UnclosedQuotedScalar | NodeKind::DocumentIndicatorInQuotedScalar => scene.open_quote(),
        NodeKind::InvalidTrailingSingleQuotedScalar | NodeKind::InvalidTrailingDoubleQuotedScalar => {
            scene.behind_quote()
        }
        NodeKind::UnknownQuotedScalarEscape
        | NodeKind::InvalidQuotedScalarHexEscape
        | NodeKind::InvalidLowSurrogateHexEscape
        | NodeKind::InvalidLowSurrogate
        | NodeKind::MissingLowSurrogate
        | NodeKind::UnpairedLowSurrogate
        | NodeKind::InvalidUnicodeEscape => scene.escape(),
        NodeKind::BlockSequenceEntryNotAllowed | NodeKind::BlockEntryInFlowCollection => scene.dash(),
        NodeKind::CommentInterceptedScalar | NodeKind::CommentNotSeparated => scene.comment(),
        // A line below that a tab moves is read as more of this one.
        _ if scene.tab_below().is_some() => scene.tabs(scene.tab_below()),
        _ => scene.structure(),
    }
}

/// A place in a text.
pub(crate) struct Scene<'t> {
    pub(crate) text: &'t str,
    pub(crate) at: usize,
    /// The line of the place, without its break.
    pub(crate) line: Range<usize>,
    pub(crate) brackets: Brackets,
}

pub(crate) fn line(text: &str, at: usize) -> Range<usize> {
    let (before, behind) = text.split_at_checked(at).unwrap_or((text, ""));
    let start = before.rfind(['\n', '\r']).map_or(0, |at| at + 1);
    start..at.min(text.len()) + behind.find(['\n', '\r']).unwrap_or(behind.len())
}

impl Scene<'_> {
    pub(crate) fn slice(&self, range: Range<usize>) -> &str {
        self.text.get(range).unwrap_or_default()
    }

    /// What is written in `range`, without the blanks around it.
    pub(crate) fn written(&self, range: &Range<usize>) -> Range<usize> {
        let text = self.slice(range.clone());
        let start = range.start + text.len() - text.trim_start().len();
        start..(start + text.trim().len())
    }

    /// From the place to the end of its line, or its last word where nothing follows.
    fn here(&self) -> Range<usize> {
        let rest = self.written(&(self.at..self.line.end));
        if rest.is_empty() { self.written(&self.line) } else { rest }
    }

    pub(crate) fn line_end(&self, at: usize) -> usize {
        let end = line(self.text, at).end;
        let start = line(self.text, at).start;
        start + self.slice(start..end).trim_end().len()
    }

    fn too_deep(&self) -> Diagnosis {
        let message =
            format!("This is nested more than {DEEPEST} levels deep and cannot be read. Write it flatter.");
        Diagnosis { kind: FaultKind::TooLarge, ..Diagnosis::new(self.here(), message, []) }
    }

    fn character(&self) -> Diagnosis {
        let rest = self.slice(self.at..self.text.len());
        let odd = |c: char| {
            c.is_control() && !matches!(c, '\t' | '\n' | '\r')
                || matches!(c, '\u{feff}' | '\u{fffe}' | '\u{ffff}')
        };
        if let Some(finding) = self.sign(self.at) {
            return finding;
        }
        let Some((off, c)) = rest.char_indices().find(|(_, c)| odd(*c)) else {
            return self.structure();
        };
        let range = self.at + off..self.at + off + c.len_utf8();
        let code = u32::from(c);
        let message = format!("This invisible character (U+{code:04X}) cannot be read. Delete it.");
        // Inside a value it is read as written, so that a name keeps its place.
        let fix = if off == 0 { Fix::Blank(range.clone()) } else { Fix::Letters(range.clone()) };
        Diagnosis::new(range, message, [fix])
    }

    /// A value that starts at `at` with a sign YAML keeps for itself.
    pub(crate) fn sign(&self, at: usize) -> Option<Diagnosis> {
        let c = self.slice(at..self.text.len()).chars().next()?;
        if !"%@`&*!|>".contains(c) && (c != ',' || self.in_brackets()) {
            return None;
        }
        let sign = if c == '`' { "a backtick".into() } else { format!("`{c}`") };
        let message = format!("A value cannot start with {sign} in YAML. Put the value in quotes.");
        Some(Diagnosis::new(at..self.value_end(at), message, [Fix::Letters(at..at + 1)]))
    }

    /// Where a plain value that begins at `at` ends.
    pub(crate) fn value_end(&self, at: usize) -> usize {
        let rest = self.slice(at..line(self.text, at).end);
        let rest = rest.split(" #").next().unwrap_or_default();
        let end = if self.in_brackets() { rest.find([',', '}', ']']) } else { None };
        // A comma may be what the value starts with.
        let end = end.filter(|end| *end > 0).unwrap_or(rest.len());
        at + rest.get(..end).unwrap_or_default().trim_end().len()
    }

    /// Whether a bracket stands before the place, on its line or unclosed.
    pub(crate) fn in_brackets(&self) -> bool {
        let before = self.slice(self.line.start..self.at);
        before.contains(['{', '[']) || self.brackets.open.iter().any(|(open, _)| *open < self.at)
    }

    /// A tab that indents the line.
    fn tab(&self) -> Option<usize> {
        self.tab_in(self.line.clone())
    }

    /// A tab that indents the next line that has a word on it, outside brackets.
    fn tab_below(&self) -> Option<usize> {
        let below = self.slice(self.line.end..self.text.len());
        let word = below.find(|c: char| !c.is_ascii_whitespace())?;
        self.tab_in(line(self.text, self.line.end + word)).filter(|_| self.brackets.open.is_empty())
    }

    fn tab_in(&self, line: Range<usize>) -> Option<usize> {
        let text = self.slice(line.clone());
        let indent = text.len() - text.trim_start_matches([' ', '\t']).len();
        Some(line.start + text.get(..indent)?.find('\t')?)
    }

    fn tabs(&self, tab: Option<usize>) -> Diagnosis {
        let at = tab.unwrap_or(self.at);
        Diagnosis::new(
            at..at + 1,
            "This line is indented with a tab, and YAML allows only spaces. Use spaces.",
            [Fix::Untab],
        )
    }

    pub(crate) fn open_quote(&self) -> Diagnosis {
        let (at, quote) = self.brackets.quote.unwrap_or((self.at, '"'));
        let end = self.line_end(at);
        let message = format!("This quote is never closed. Put `{quote}` at the end of its text.");
        // Brackets behind the quote were swallowed with it: their loss is no fault of its own.
        let (before, behind) = self.text.split_at_checked(end).unwrap_or((self.text, ""));
        let left = brackets(&format!("{before}{quote}{behind}")).open;
        let closers = left.iter().rev().filter(|(open, _)| *open < at).map(|(_, open)| closer(*open));
        let new = std::iter::once(quote).chain(closers).collect();
        Diagnosis::new(at..end, message, [Fix::Insert(end, new)])
    }

    fn behind_quote(&self) -> Diagnosis {
        let rest = self.slice(self.at..self.line.end);
        let length =
            if self.in_brackets() { rest.find([',', '}', ']']).unwrap_or(rest.len()) } else { rest.len() };
        let range = self.written(&(self.at..self.at + length));
        Diagnosis::new(
            range.clone(),
            "There is text after the closing quote. Put all of it inside the quotes, or none.",
            [Fix::Blank(range)],
        )
    }

    fn escape(&self) -> Diagnosis {
        let text = self.slice(self.at..self.text.len());
        let mut fixes = Vec::new();
        let mut chars = text.char_indices().skip(1);
        while let Some((at, c)) = chars.next() {
            match c {
                '"' => break,
                '\\' if !matches!(chars.next(), Some((_, '"'))) => {
                    fixes.push(Fix::Letters(self.at + at..self.at + at + 1));
                }
                _ => {}
            }
        }
        let message = r"A `\` in double quotes starts an escape, and YAML does not know this one. Write `\\`, or use single quotes.";
        Diagnosis::new(self.at..self.value_end(self.at), message, fixes)
    }

    fn dash(&self) -> Diagnosis {
        let range = self.here();
        Diagnosis::new(
            range.clone(),
            "A list cannot start here. Put each `- ` item on a line of its own, or write `[a, b]`.",
            [Fix::Blank(range)],
        )
    }

    fn comment(&self) -> Diagnosis {
        if self.slice(self.at..self.text.len()).starts_with('#') {
            let range = self.at..self.line.end;
            return Diagnosis::new(
                range.clone(),
                "This comment is in the middle of a value. Move it above the entry.",
                [Fix::Blank(range)],
            );
        }
        self.structure()
    }
}
