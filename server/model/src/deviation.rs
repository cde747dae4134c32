//! Deviations: findings that are meant to stay, stated where they stand with their reason.

use crate::names::Name;
use std::ops::Range;
use syntax::{NodeId, Part};

/// `# deviation: CHECK, reason` in a comment.
#[derive(Clone, PartialEq, Debug)]
pub struct Deviation {
    /// The check whose findings it hides.
    pub check: Name,
    /// Why; empty if none is given, which a check reports.
    pub reason: String,
    /// Number of the comment in the entry.
    pub comment: usize,
    /// Nodes it covers: the item that begins on its line, or on the next if it has a line of its
    /// own, with all that the item holds. In preorder such an item is one run of node numbers.
    pub covers: Range<u32>,
}

/// So many deviations of one entry are read.
const MOST: usize = 10_000;

/// The deviations of an entry, and the first comment behind them if there are more, with their number.
pub(crate) fn deviations(part: &Part) -> (Vec<Deviation>, Option<(usize, usize)>) {
    let text = part.text();
    let (mut found, mut more) = (Vec::new(), None);
    // Both made when the first is stated, which few entries do.
    let (mut items, mut covered) = (None, (0..0, 0..0));
    // The line below comments, and where the first of them ends.
    let mut below: Option<(usize, Range<u32>)> = None;
    for (comment, written) in part.comments().iter().enumerate() {
        let range = written.range.start as usize..written.range.end as usize;
        let words = text.get(range.clone()).unwrap_or("").trim_start_matches('#').trim_start();
        let Some(stated) = words.strip_prefix("deviation:") else { continue };
        if found.len() >= MOST {
            more = Some(more.map_or((comment, 1), |(first, count)| (first, count + 1)));
            continue;
        }
        let (check, reason) = stated.split_once(',').unwrap_or((stated, ""));
        let line = if written.own_line {
            let same =
                below.take().filter(|(from, line)| *from <= range.end && range.end <= line.start as usize);
            let found = same.unwrap_or_else(|| (range.end, next_content(text, range.end)));
            below.insert(found).1.clone()
        } else {
            line_of(text, range.start)
        };
        if covered.0 != line {
            let items = items.get_or_insert_with(|| Items::of(part));
            covered = (line.clone(), items.first_on(&line));
        }
        found.push(Deviation {
            check: Name::new(check.trim()),
            reason: reason.trim().to_owned(),
            comment,
            covers: covered.1.clone(),
        });
    }
    (found, more)
}

fn line_of(text: &str, offset: usize) -> Range<u32> {
    let before = text.get(..offset).unwrap_or("");
    let start = before.rfind(['\n', '\r']).map_or(0, |i| i + 1);
    let end = text.get(offset..).and_then(|t| t.find(['\n', '\r'])).map_or(text.len(), |i| offset + i);
    start as u32..end as u32
}

/// The next line that is neither blank nor a comment; nothing at the end of the text where there is none.
fn next_content(text: &str, after: usize) -> Range<u32> {
    let mut offset = after;
    for line in text.get(after..).unwrap_or("").split_inclusive(['\n', '\r']) {
        let content = line.trim();
        if offset > after && !content.is_empty() && !content.starts_with('#') {
            return line_of(text, offset);
        }
        offset += line.len();
    }
    text.len() as u32..text.len() as u32
}

/// The items of an entry that a deviation may cover: a key with its value, an item of a list, or the entry itself.
struct Items(Vec<Item>);

/// Where an item begins, and its nodes.
struct Item {
    start: u32,
    nodes: Range<u32>,
}

impl Items {
    fn of(part: &Part) -> Items {
        let all = part.nodes();
        let mut items = Vec::new();
        for n in (0..all).map(NodeId) {
            for (key, value) in part.pairs(n) {
                items.push((part.span(key).start, key.0..part.end_of(value).0));
            }
            for item in part.items(n) {
                items.push((part.span(item).start, item.0..part.end_of(item).0));
            }
        }
        items.push((part.span(part.key_node()).start, 0..all));
        let mut items: Vec<Item> = items.into_iter().map(|(start, nodes)| Item { start, nodes }).collect();
        items.sort_unstable_by_key(|item| (item.start, item.nodes.start));
        Items(items)
    }

    /// The nodes of the outermost item that begins on a line: of those, the first in preorder.
    fn first_on(&self, line: &Range<u32>) -> Range<u32> {
        let from = self.0.partition_point(|item| item.start < line.start);
        let on_line = self.0.iter().skip(from).take_while(|item| item.start < line.end);
        on_line.min_by_key(|item| item.nodes.start).map_or(0..0, |item| item.nodes.clone())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::deviations;
    use std::fmt::Write;
    use syntax::File;

    /// The texts that the deviations of a section's entries cover.
    fn covered(text: &str) -> Vec<String> {
        let file = File::new(text);
        let parts = file.pieces().iter().map(|piece| &piece.part);
        let of = |part: &std::sync::Arc<syntax::Part>| -> Vec<String> {
            let nodes = |covers: std::ops::Range<u32>| {
                let spans = covers.map(|n| part.span(syntax::NodeId(n)));
                let span = spans.reduce(|a, b| a.start.min(b.start)..a.end.max(b.end));
                span.map_or("-", |span| &part.text()[span.start as usize..span.end as usize]).to_owned()
            };
            deviations(part).0.into_iter().map(|one| nodes(one.covers)).collect()
        };
        parts.flat_map(of).collect()
    }

    #[test]
    fn a_deviation_covers_the_item_it_stands_at() {
        let text = "\
points:
  # deviation: a, of the entry
  # deviation: b, likewise

  A:
    x: 1 # deviation: c, of this line
    # deviation: d, of the next
    y: {z: 1, w: 2}
    list:
    # deviation: e, of an item
    - 1
    - 2
    # deviation: f, of nothing
";
        let entry = "A:\n    x: 1 # deviation: c, of this line\n    # deviation: d, of the next\n    y: {z: 1, w: 2}\n    list:\n    # deviation: e, of an item\n    - 1\n    - 2";
        assert_eq!(covered(text), [entry, entry, "x: 1", "y: {z: 1, w: 2}", "1", "-"]);
    }

    /// Each line by line would take hours: three shapes of very many.
    #[test]
    fn very_many_are_read_in_the_time_of_one_reading() {
        let above = "  # deviation: x, y\n".repeat(200_000);
        let beside: String = (0..100_000).fold(String::new(), |mut text, n| {
            let _ = writeln!(text, "    k{n}: 1 # deviation: x, y");
            text
        });
        let items = format!("  A: [{}1]\n", "1, ".repeat(100_000));
        for (text, count) in [
            (format!("points:\n{above}  A: {{}}\n"), 200_000),
            (format!("points:\n  A:\n{beside}"), 100_000),
            (format!("points:\n{above}{items}"), 200_000),
            (format!("points:\n{above}"), 200_000),
        ] {
            let file = File::new(&text);
            let read = file.pieces().iter().map(|piece| deviations(&piece.part));
            let read = read.map(|(read, more)| (read.len(), more.map_or(0, |(_, count)| count)));
            assert_eq!(read.reduce(|a, b| (a.0 + b.0, a.1 + b.1)), Some((10_000, count - 10_000)));
        }
    }
}
