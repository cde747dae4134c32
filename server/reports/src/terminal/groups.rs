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

/// A finding that follows from none that is shown, with those that follow from it.
pub(crate) struct Headed<'r, 'w> {
    pub(crate) line: &'r FindingLine<'w>,
    /// The worst of them all.
    pub(crate) severity: Severity,
    /// By file and line.
    pub(crate) below: Vec<&'r FindingLine<'w>>,
}

impl<'r, 'w> Headed<'r, 'w> {
    /// It and what follows from it.
    pub(crate) fn all(&self) -> impl Iterator<Item = &'r FindingLine<'w>> {
        std::iter::once(self.line).chain(self.below.iter().copied())
    }
}

/// The findings of one file.
pub(crate) struct FileGroup<'r, 'w> {
    /// Path from the job folder.
    pub(crate) file: &'w str,
    /// Errors, warnings and notes that are shown; what follows from another counts with it.
    pub(crate) counts: [usize; 3],
    /// What is shown, worst first.
    pub(crate) findings: Vec<Headed<'r, 'w>>,
}

impl<'r, 'w> FileGroup<'r, 'w> {
    /// The findings that are shown in full.
    pub(crate) fn in_full(&self) -> impl Iterator<Item = &Headed<'r, 'w>> {
        self.findings.iter().take(MOST_IN_FULL)
    }
}

/// The findings from a severity on by file: most errors first, then most warnings, then most notes, then by name.
pub(crate) fn groups<'r, 'w>(review: &'r Review<'w>, from: Severity) -> Vec<FileGroup<'r, 'w>> {
    let mut groups: Vec<FileGroup<'r, 'w>> = Vec::new();
    let mut below: Vec<Vec<&'r FindingLine<'w>>> = vec![Vec::new(); review.findings.len()];
    let mut heads = Vec::new();
    for (n, finding) in review.findings.iter().enumerate().filter(|(_, f)| f.severity >= from) {
        match below.get_mut(review.head(n, from)) {
            Some(below) if review.head(n, from) != n => below.push(finding),
            _ => heads.push((n, finding)),
        }
    }
    // The findings of a review come file by file.
    for (n, finding) in heads {
        if groups.last().is_none_or(|group| group.file != finding.place.file) {
            groups.push(FileGroup { file: finding.place.file, counts: [0; 3], findings: Vec::new() });
        }
        if let Some(group) = groups.last_mut() {
            let below = below.get_mut(n).map(std::mem::take).unwrap_or_default();
            let severity = below.iter().map(|f| f.severity).max().max(Some(finding.severity));
            let severity = severity.unwrap_or(finding.severity);
            group.findings.push(Headed { line: finding, severity, below });
        }
    }
    for group in &mut groups {
        // Stable: of equals, the order of lines.
        group.findings.sort_by_key(|finding| (Reverse(finding.severity), finding.all().map(rank).min()));
        let count = |severity| group.findings.iter().filter(|f| f.severity == severity).count();
        group.counts = [Severity::Error, Severity::Warning, Severity::Note].map(count);
    }
    groups.sort_by_key(|group| (Reverse(group.counts), group.file));
    groups
}

impl Review<'_> {
    /// The finding under which one is shown: the last from which it follows among those of a severity or worse.
    fn head(&self, n: usize, from: Severity) -> usize {
        let (mut at, mut head) = (n, n);
        while let Some(next) = self.findings.get(at).and_then(|finding| finding.follows) {
            at = next;
            if self.findings.get(at).is_some_and(|finding| finding.severity >= from) {
                head = at;
            }
        }
        head
    }
}
