//! The styles of a report, which are none where it goes to no terminal.

use anstyle::{AnsiColor, Style};
use checks::Severity;

/// Styles for a terminal, or none.
#[derive(Clone, Copy)]
pub(crate) struct Paint {
    pub(crate) coloured: bool,
}

impl Paint {
    fn style(self, style: Style) -> Style {
        if self.coloured { style } else { Style::new() }
    }

    pub(crate) fn bold(self) -> Style {
        self.style(Style::new().bold())
    }

    pub(crate) fn dim(self) -> Style {
        self.style(Style::new().dimmed())
    }

    pub(crate) fn severity(self, severity: Severity) -> Style {
        let colour = match severity {
            Severity::Error => AnsiColor::Red,
            Severity::Warning => AnsiColor::Yellow,
            Severity::Note => AnsiColor::Cyan,
        };
        self.style(colour.on_default().bold())
    }
}
