//! `textDocument/foldingRange`: sections, entries, what they hold over several lines, comments.

use crate::context::Context;
use crate::entry_ranges::EntryRanges;
use syntax::{Part, PartRole};
use tower_lsp_server::ls_types as lsp;

/// What can be folded away, by whole lines.
pub(super) fn ranges(context: &Context) -> Option<Vec<lsp::FoldingRange>> {
    let job = context.snapshot.workspace.job();
    let mut found = Vec::new();
    let mut section: Option<(u32, u32)> = None;
    for id in job.file(context.file)?.entries() {
        let (Some(entry), Some(place)) =
            (job.entry(*id), EntryRanges::of(job, *id, context.client.abilities.encoding))
        else {
            continue;
        };
        let part = &*entry.part;
        let lines = |from: u32, to: u32| {
            let range = place.range(&(from..to));
            (range.start.line, range.end.line)
        };
        comments(part, &lines, &mut found);
        let (key, value) = (part.span(part.key_node()), part.span(part.value()));
        let whole = lines(key.start.min(value.start), value.end.max(key.end));
        if part.role() == PartRole::Header {
            found.extend(section.and_then(|(from, to)| fold(from, to, None)));
            section = Some(whole);
        } else if let Some(section) = &mut section {
            section.1 = section.1.max(whole.1);
        }
        if part.role() == PartRole::Entry {
            found.extend(fold(whole.0, whole.1, None));
            for node in (0..part.nodes()).map(syntax::NodeId) {
                for (key, value) in part.pairs(node) {
                    let (from, to) = lines(part.span(key).start, part.span(value).end);
                    found.extend(fold(from, to, None));
                }
            }
        }
    }
    found.extend(section.and_then(|(from, to)| fold(from, to, None)));
    // One line may begin several things; the longest is what is meant.
    found.sort_by_key(|fold| (fold.start_line, std::cmp::Reverse(fold.end_line)));
    found.dedup_by_key(|fold| fold.start_line);
    Some(found)
}

/// Comments on lines of their own, one below the other.
fn comments(part: &Part, lines: &dyn Fn(u32, u32) -> (u32, u32), found: &mut Vec<lsp::FoldingRange>) {
    let mut open: Option<(u32, u32)> = None;
    for comment in part.comments().iter().filter(|comment| comment.own_line) {
        let (line, _) = lines(comment.range.start, comment.range.end);
        match &mut open {
            Some((_, last)) if *last + 1 == line => *last = line,
            _ => {
                let done = open.replace((line, line));
                found
                    .extend(done.and_then(|(from, to)| fold(from, to, Some(lsp::FoldingRangeKind::Comment))));
            }
        }
    }
    found.extend(open.and_then(|(from, to)| fold(from, to, Some(lsp::FoldingRangeKind::Comment))));
}

fn fold(start_line: u32, end_line: u32, kind: Option<lsp::FoldingRangeKind>) -> Option<lsp::FoldingRange> {
    let range = lsp::FoldingRange { start_line, end_line, kind, ..lsp::FoldingRange::default() };
    (start_line < end_line).then_some(range)
}
