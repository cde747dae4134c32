//! The findings of each file, worst first, and the worst file first.

use crate::review::{FindingLine, Review};
use checks::Severity;
use std::cmp::Reverse;

/// So many findings of a file are shown in full.
pub(super) const MOST_IN_FULL: usize = 200;

/// What of an error comes first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    Never,
    RequirementMissed,
    Unreadable,
    Other,
}

/// How soon an error wants to be looked at.
pub(super) fn rank(finding: &FindingLine<'_>) -> Rank {
    match finding.check {
        "dehumidification-never-runs" => Rank::Never,
        "dehumidification-gap" | "requirement-unserved" => Rank::RequirementMissed,
        "syntax-error" | "too-large" | "import-unreadable" => Rank::Unreadable,
        _ => Rank::Other,
    }
}

/// The findings of one file.
pub(crate) struct FileGroup<'r, 'w> {
    /// Path from the job folder.
    pub(crate) file: &'w str,
    /// Errors, warnings and notes that are shown.
    pub(crate) counts: [usize; 3],
    /// What is shown, worst first.
    pub(crate) findings: Vec<&'r FindingLine<'w>>,
}

impl<'r, 'w> FileGroup<'r, 'w> {
    /// The findings that are shown in full.
    pub(crate) fn in_full(&self) -> impl Iterator<Item = &'r FindingLine<'w>> {
        self.findings.iter().copied().take(MOST_IN_FULL)
    }
}

/// The findings from a severity on by file: most errors first, then most warnings, then most notes, then by name.
pub(crate) fn groups<'r, 'w>(review: &'r Review<'w>, from: Severity) -> Vec<FileGroup<'r, 'w>> {
    let mut groups: Vec<FileGroup<'r, 'w>> = Vec::new();
    // The findings of a review come file by file.
    for finding in review.findings.iter().filter(|f| f.severity >= from) {
        if groups.last().is_none_or(|group| group.file != finding.place.file) {
            groups.push(FileGroup { file: finding.place.file, counts: [0; 3], findings: Vec::new() });
        }
        if let Some(group) = groups.last_mut() {
            group.findings.push(finding);
        }
    }
    for group in &mut groups {
        // Stable: of equals, the order of lines.
        group.findings.sort_by_key(|finding| (Reverse(finding.severity), rank(finding)));
        let count = |severity| group.findings.iter().filter(|f| f.severity == severity).count();
        group.counts = [Severity::Error, Severity::Warning, Severity::Note].map(count);
    }
    groups.sort_by_key(|group| (Reverse(group.counts), group.file));
    groups
}
