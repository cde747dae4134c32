//! Stating a finding as meant, where it stands.

use super::trial::TrialResult;
use super::{FileEdit, Repairer, Stop};
use checks::Finding;
use model::EntryId;
use syntax::{Edit, Encoding};

/// Stands in for the reason while it is proven that a comment is one there, and hides the finding.
const SOME_REASON: &str = "as meant";

impl Repairer<'_> {
    /// A comment of its own above the line of a finding that states it as a deviation, with the reason left
    /// to be written, which draws a finding of its own until it is. Nothing where such a comment would be
    /// part of a text, or hide something else or nothing; none while findings are stale.
    pub fn deviation(&mut self, id: EntryId, finding: &Finding, stop: Stop<'_>) -> Option<FileEdit> {
        let workspace = self.workspace;
        if workspace.is_stale() {
            return None;
        }
        let (file, span) = workspace.span(id, &finding.spot)?;
        let text = workspace.job().file(file)?.file().text();
        let line = text.position(span.start, Encoding::Utf8).line;
        let start = text.line_start(line);
        let whole = text.slice(start..text.line_start(line + 1));
        let indent = " ".repeat(whole.len() - whole.trim_start_matches(' ').len());
        let end = if whole.ends_with("\r\n") { "\r\n" } else { "\n" };
        let comment = |reason| format!("{indent}# deviation: {}, {reason}{end}", finding.check.id);
        let tried = [(file, Edit { range: start..start, new: comment(SOME_REASON) })];
        // What is hidden is gone, and a deviation that hides nothing would have come.
        matches!(self.verdict(&[(id, finding)], &tried, stop), TrialResult::Proven { .. })
            .then(|| (file, start..start, comment("")))
    }
}
