//! The text of a hover: a title and a few lines.

use crate::markdown::{code, escape_markdown, plain};
use tower_lsp_server::ls_types::{MarkupContent, MarkupKind};

/// Lines that fit a small window, the title among them.
const MAX_LINES: usize = 12;

/// A title and lines. Each may hold any text of the job: what is not a code span is escaped when it is shown.
pub(super) struct Sheet {
    lines: Vec<Line>,
}

struct Line {
    /// Whether it is an item of a list.
    item: bool,
    /// In bold, with a colon behind it.
    head: Option<String>,
    words: String,
}

impl Sheet {
    /// A sheet headed by a name and what it is.
    pub(super) fn titled(name: &str, what: &str) -> Sheet {
        Sheet { lines: vec![Line { item: false, head: Some(name.to_owned()), words: what.to_owned() }] }
    }

    /// Adds a line.
    pub(super) fn line(&mut self, words: impl Into<String>) {
        self.lines.push(Line { item: false, head: None, words: words.into() });
    }

    /// Adds an item of a list.
    pub(super) fn item(&mut self, words: impl Into<String>) {
        self.lines.push(Line { item: true, head: None, words: words.into() });
    }

    /// Adds a line about something that has a name.
    pub(super) fn about(&mut self, name: &str, words: impl Into<String>) {
        self.lines.push(Line { item: false, head: Some(name.to_owned()), words: words.into() });
    }

    /// As the client shows it.
    pub(super) fn markup(mut self, markdown: bool) -> MarkupContent {
        if self.lines.len() > MAX_LINES {
            let more = self.lines.len() - (MAX_LINES - 1);
            self.lines.truncate(MAX_LINES - 1);
            self.line(format!("and {more} more"));
        }
        let lines: Vec<String> = self.lines.iter().map(|line| line.shown(markdown)).collect();
        if markdown {
            // Two spaces break a line without opening a paragraph.
            return MarkupContent { kind: MarkupKind::Markdown, value: lines.join("  \n") };
        }
        MarkupContent { kind: MarkupKind::PlainText, value: lines.join("\n") }
    }
}

impl Line {
    fn shown(&self, markdown: bool) -> String {
        let bullet = if self.item { "- " } else { "" };
        let colon = if self.words.is_empty() { "" } else { ": " };
        let [head, words] = [self.head.as_deref().unwrap_or_default(), &*self.words]
            .map(|text| if markdown { escape_markdown(text) } else { plain(text) });
        match self.head {
            None => format!("{bullet}{words}"),
            Some(_) if markdown => format!("{bullet}**{head}**{colon}{words}"),
            Some(_) => format!("{bullet}{head}{colon}{words}"),
        }
    }
}

/// `a`, `b` and 3 more.
pub(super) fn listed<'a>(names: impl Iterator<Item = &'a str>, most: usize) -> String {
    let names: Vec<&str> = names.collect();
    let shown: Vec<String> = names.iter().take(most).map(|name| code(name)).collect();
    match names.len().checked_sub(most) {
        Some(more @ 1..) => format!("{} and {more} more", shown.join(", ")),
        _ => shown.join(", "),
    }
}
