//! `textDocument/formatting` and `textDocument/rangeFormatting`: lists of points in columns.
//!
//! A table is a run of lines, each an entry written as one flow mapping, with nothing between them. In
//! it the mappings begin at one column, and so does each key below the same key of the line above, as
//! long as all keys before it are the same too. Only the spaces behind a colon or a comma change; a line
//! that is written in any other way is left alone and ends the table.

use crate::context::Context;
use model::Mode;
use std::ops::Range;
use syntax::{File, NodeId, NodeKind, Part, PartRole, Piece};
use tower_lsp_server::ls_types as lsp;
use unicode_width::UnicodeWidthStr;

/// The edits that line a document up, or the lines of it that a range touches.
pub(super) fn format(context: &Context, range: Option<lsp::Range>) -> Option<Vec<lsp::TextEdit>> {
    let file = context.snapshot.workspace.job().file(context.file)?.file();
    let encoding = context.client.abilities.encoding;
    let position = |offset: u32| {
        let at = file.text().position(offset, encoding);
        lsp::Position { line: at.line, character: at.character }
    };
    let wanted = |at: lsp::Position| range.is_none_or(|r| (r.start.line..=r.end.line).contains(&at.line));
    let edit = |(gap, spaces): (Range<u32>, usize)| {
        let range = lsp::Range { start: position(gap.start), end: position(gap.end) };
        wanted(range.start).then(|| lsp::TextEdit { range, new_text: " ".repeat(spaces) })
    };
    Some(gaps(file).into_iter().filter_map(edit).collect())
}

/// The gaps of a file that are too wide or too narrow, and how many spaces each is to have.
fn gaps(file: &File) -> Vec<(Range<u32>, usize)> {
    let mut found = Vec::new();
    let mut table: Vec<Row<'_>> = Vec::new();
    let (mut end, mut own_line) = (0, true);
    for Piece { start, part } in file.pieces() {
        // Entries that come out of one alias share its text.
        let fresh = *start >= end;
        end = start + part.text().len() as u32;
        let begins = std::mem::replace(&mut own_line, part.text().ends_with(['\n', '\r']));
        let known = model::Kind::of_section(part.section()).is_some() && part.role() == PartRole::Entry;
        let sound = fresh && begins && known && !part.broken() && part.faults().is_empty();
        let row = sound.then(|| Row::of(part, *start, part.key_node(), part.value())).flatten();
        let goes_on = row.as_ref().is_some_and(|_| starts_at_once(part));
        if !goes_on {
            align(&std::mem::take(&mut table), &mut found);
        }
        table.extend(row);
        if sound && part.section() == "zones" {
            modes(part, *start, &mut found);
        }
    }
    align(&table, &mut found);
    found
}

/// Whether nothing stands above the entry's own line.
fn starts_at_once(part: &Part) -> bool {
    let before = part.text().get(..part.span(part.key_node()).start as usize);
    before.is_some_and(|before| before.chars().all(|c| c == ' '))
}

/// Lines up the limits of a zone's modes, where one stands right below the other.
fn modes(part: &Part, start: u32, found: &mut Vec<(Range<u32>, usize)>) {
    let value = part.value();
    if part.text().get(part.span(value).start as usize..).is_none_or(|text| text.starts_with('{')) {
        return;
    }
    let pairs: Vec<(NodeId, NodeId)> = part.pairs(value).collect();
    for two in pairs.windows(2) {
        let [(first, limits), (second, others)] = two else { continue };
        let named = [first, second].map(|key| part.scalar(*key).is_some_and(|name| Mode::of(name).is_some()));
        let between = part.text().get(part.span(*limits).end as usize..part.span(*second).start as usize);
        let breaks = between.unwrap_or_default().split_inclusive('\n').count();
        let rows = [Row::of(part, start, *first, *limits), Row::of(part, start, *second, *others)];
        if let ([true, true], 2, [Some(a), Some(b)]) = (named, breaks, rows) {
            align(&[a, b], found);
        }
    }
}

/// A line of a table.
struct Row<'t> {
    /// What stands before each gap, from the gap before it: `NAME:`, `{key: value,`, `key: value,`.
    cells: Vec<&'t str>,
    /// The gaps, in bytes of the file.
    gaps: Vec<Range<u32>>,
    /// The mapping's keys.
    keys: Vec<&'t str>,
}

impl<'t> Row<'t> {
    /// The line on which `key` and the flow mapping `value` stand; nothing if any of it is written in a
    /// way that is not understood.
    fn of(part: &'t Part, start: u32, key: NodeId, value: NodeId) -> Option<Row<'t>> {
        let text = |range: Range<u32>| part.text().get(range.start as usize..range.end as usize);
        let (name, map) = (part.span(key), part.span(value));
        let flow = part.kind(value) == NodeKind::Map && part.is_plain(key);
        let whole = text(name.start..map.end).filter(|whole| flow && !whole.contains(['\n', '\r', '\t']))?;
        let inside = text(map.clone())?;
        let behind = part.text().get(map.end as usize..)?.trim_start_matches(' ');
        if !(behind.is_empty() || behind.starts_with(['#', '\n', '\r'])) {
            return None;
        }
        if !inside.starts_with('{') || !inside.ends_with('}') || whole.contains('#') {
            return None;
        }
        let spaces = |gap: &Range<u32>| text(gap.clone()).is_some_and(|gap| gap.chars().all(|c| c == ' '));
        let gap = name.end + 1..map.start;
        if text(name.end..gap.start)? != ":" || gap.is_empty() || !spaces(&gap) {
            return None;
        }
        let mut row = Row { cells: Vec::new(), gaps: Vec::new(), keys: Vec::new() };
        let mut from = name.start;
        let mut cut = |row: &mut Row<'t>, gap: Range<u32>| {
            row.cells.push(text(from..gap.start)?);
            from = gap.end;
            row.gaps.push(start + gap.start..start + gap.end);
            Some(())
        };
        cut(&mut row, gap)?;
        let mut last: Option<u32> = None;
        for (key, value) in part.pairs(value) {
            let span = part.span(key);
            if !part.is_plain(key) {
                return None;
            }
            if let Some(last) = last {
                let gap = last + 1..span.start;
                if text(last..gap.start)? != "," || !spaces(&gap) {
                    return None;
                }
                cut(&mut row, gap)?;
            }
            row.keys.push(part.scalar(key)?);
            last = Some(part.span(value).end.max(span.end));
        }
        Some(row)
    }

    /// Whether the first `count` keys are those of another line.
    fn same_keys(&self, other: &Row<'_>, count: usize) -> bool {
        let (own, others) = (self.keys.get(..count), other.keys.get(..count));
        own.is_some() && own == others
    }
}

/// Lines a table up, column by column.
fn align(table: &[Row<'_>], found: &mut Vec<(Range<u32>, usize)>) {
    let columns = table.iter().map(|row| row.gaps.len()).max().unwrap_or(0);
    let mut ends: Vec<usize> = vec![0; table.len()];
    for column in 0..columns {
        let mut first = 0;
        while first < table.len() {
            let run = run(table, first, column);
            let reach = |i: usize| {
                let cell = table.get(i).and_then(|row| row.cells.get(column)).map_or(0, |cell| cell.width());
                ends.get(i).copied().unwrap_or(0) + cell
            };
            let reached: Vec<usize> = run.clone().map(reach).collect();
            let stop = reached.iter().max().copied().unwrap_or(0) + 1;
            for (i, reached) in run.clone().zip(reached) {
                let Some(gap) = table.get(i).and_then(|row| row.gaps.get(column)) else { continue };
                if gap.len() != stop - reached {
                    found.push((gap.clone(), stop - reached));
                }
                if let Some(end) = ends.get_mut(i) {
                    *end = stop;
                }
            }
            first = run.end;
        }
    }
}

/// The lines from `first` on whose cells of a column belong below each other.
fn run(table: &[Row<'_>], first: usize, column: usize) -> Range<usize> {
    let Some(head) = table.get(first) else { return first..first + 1 };
    let below = table.iter().skip(first + 1);
    // The mappings themselves begin at one column, whatever is in them.
    let more = below.take_while(|row| column == 0 || head.same_keys(row, column + 1)).count();
    first..first + 1 + more
}

#[cfg(test)]
mod tests;
