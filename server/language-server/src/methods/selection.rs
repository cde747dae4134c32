//! `textDocument/selectionRange`: from a word outwards to the file.

use crate::context::Context;
use crate::convert;
use model::{FileId, Job};
use std::ops::Range;
use syntax::PartRole;
use tower_lsp_server::ls_types as lsp;

/// For each position, what lies around it: value, pair, mapping, entry, section, file.
pub(super) fn ranges(context: &Context, positions: &[lsp::Position]) -> Option<Vec<lsp::SelectionRange>> {
    let job = context.snapshot.workspace.job();
    let text = job.file(context.file)?.file().text();
    let encoding = context.client.abilities.encoding;
    let position = |offset: u32| {
        let at = text.position(offset, encoding);
        lsp::Position { line: at.line, character: at.character }
    };
    let chain = |at: &lsp::Position| {
        let spans = around(job, context.file, convert::offset(text, *at, encoding))?;
        let mut outer = None;
        for span in spans.into_iter().rev() {
            let range = lsp::Range { start: position(span.start), end: position(span.end) };
            outer = Some(Box::new(lsp::SelectionRange { range, parent: outer }));
        }
        outer.map(|inner| *inner)
    };
    positions.iter().map(chain).collect()
}

/// What lies around a byte of a file, innermost first, each larger than the one before.
fn around(job: &Job, file: FileId, offset: u32) -> Option<Vec<Range<u32>>> {
    let mut spans: Vec<Range<u32>> = Vec::new();
    let mut add = |span: Range<u32>| {
        let wider =
            spans.last().is_none_or(|last| span.start <= last.start && last.end <= span.end && span != *last);
        if wider && span.start <= offset && offset <= span.end {
            spans.push(span);
        }
    };
    let read = job.file(file)?;
    if let Some((id, within)) = job.entry_at(file, offset)
        && let Some(entry) = job.entry(id)
    {
        let part = &entry.part;
        let start = offset - within;
        let moved = |span: Range<u32>| start + span.start..start + span.end;
        let mut node = part.node_at(within).filter(|_| part.role() == PartRole::Entry);
        while let Some(inner) = node {
            add(moved(part.span(inner)));
            node = part.parent(inner);
            let pair = node.and_then(|map| part.pairs(map).find(|(k, v)| *k == inner || *v == inner));
            if let Some((key, value)) = pair {
                add(moved(part.span(key).start..part.span(value).end.max(part.span(key).end)));
            }
        }
        let (key, value) = (part.span(part.key_node()), part.span(part.value()));
        add(moved(key.start.min(value.start)..key.end.max(value.end)));
        add(section(job, file, offset, part.section()));
    }
    add(0..read.file().text().len());
    Some(spans)
}

/// The bytes of the section around a place, from its name to the end of its last entry.
fn section(job: &Job, file: FileId, offset: u32, name: &str) -> Range<u32> {
    let pieces = job.file(file).map_or(&[][..], |f| f.file().pieces());
    let here = pieces.partition_point(|piece| piece.start <= offset).saturating_sub(1);
    let same = |i: &usize| pieces.get(*i).is_some_and(|piece| piece.part.section() == name);
    let first = (0..=here).rev().take_while(same).last().unwrap_or(here);
    let last = (here..pieces.len()).take_while(same).last().unwrap_or(here);
    let edge = |i: usize, end: bool| {
        pieces.get(i).map_or(offset, |piece| {
            let (key, value) = (piece.part.span(piece.part.key_node()), piece.part.span(piece.part.value()));
            piece.start + if end { key.end.max(value.end) } else { key.start.min(value.start) }
        })
    };
    edge(first, false)..edge(last, true)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use model::{Prepared, Touched};

    #[test]
    fn each_step_is_what_a_hand_would_take_next() {
        let text =
            "# head\nzones:\n  a: {schedule: s}\n  # two\n  b:\n    occupied: {cool-above: 75 °F}\nunits:\n";
        let mut job = Job::new();
        let prepared = Prepared::new(syntax::File::new(text));
        let file = job.open("a.yaml".to_owned(), prepared, &mut Touched::default());
        let at = text.find("75").unwrap() as u32;
        let steps: Vec<&str> = around(&job, file, at)
            .unwrap()
            .into_iter()
            .map(|s| &text[s.start as usize..s.end as usize])
            .collect();
        assert_eq!(
            steps,
            [
                "75 °F",
                "cool-above: 75 °F",
                "{cool-above: 75 °F}",
                "occupied: {cool-above: 75 °F}",
                "b:\n    occupied: {cool-above: 75 °F}",
                "zones:\n  a: {schedule: s}\n  # two\n  b:\n    occupied: {cool-above: 75 °F}",
                text
            ]
        );
        // At every byte the steps grow, hold the byte, and end with the file.
        for offset in 0..=text.len() as u32 {
            let steps = around(&job, file, offset).unwrap();
            assert!(steps.iter().all(|s| s.start <= offset && offset <= s.end));
            assert!(steps.windows(2).all(|w| w[1].start <= w[0].start && w[0].end <= w[1].end));
            assert_eq!(steps.last().unwrap().clone(), 0..text.len() as u32);
        }
    }
}
