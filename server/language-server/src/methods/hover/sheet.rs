//! The text of a hover: a title and a few lines.

use tower_lsp_server::ls_types::{MarkupContent, MarkupKind};

/// Lines that fit a small window, the title among them.
const MOST_LINES: usize = 12;

/// A title and lines; names in backquotes.
pub(super) struct Sheet {
    lines: Vec<String>,
}

impl Sheet {
    /// A sheet headed by a name and what it is.
    pub(super) fn titled(name: &str, what: &str) -> Sheet {
        let colon = if what.is_empty() { "" } else { ": " };
        Sheet { lines: vec![format!("**{name}**{colon}{what}")] }
    }

    /// Adds a line.
    pub(super) fn line(&mut self, line: impl Into<String>) {
        self.lines.push(line.into());
    }

    /// As the client shows it.
    pub(super) fn markup(mut self, markdown: bool) -> MarkupContent {
        if self.lines.len() > MOST_LINES {
            let more = self.lines.len() - (MOST_LINES - 1);
            self.lines.truncate(MOST_LINES - 1);
            self.lines.push(format!("and {more} more"));
        }
        if markdown {
            // Two spaces break a line without opening a paragraph.
            return MarkupContent { kind: MarkupKind::Markdown, value: self.lines.join("  \n") };
        }
        let value = self.lines.join("\n").replace("**", "").replace('`', "");
        MarkupContent { kind: MarkupKind::PlainText, value }
    }
}

/// `a`, `b` and 3 more.
pub(super) fn listed<'a>(names: impl Iterator<Item = &'a str>, most: usize) -> String {
    let names: Vec<&str> = names.collect();
    let shown: Vec<String> = names.iter().take(most).map(|name| format!("`{name}`")).collect();
    match names.len().checked_sub(most) {
        Some(more @ 1..) => format!("{} and {more} more", shown.join(", ")),
        _ => shown.join(", "),
    }
}
