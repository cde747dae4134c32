//! Reads on behind a fault.
//!
//! A parser stops at its first error. The error is reported in our own words, the smallest change is made
//! to a copy of the text that makes the place readable, and the copy is read again; the parts show the
//! text as written.

use std::ops::Range;

use crate::{
    anchors::Marks,
    diagnose::{Diagnosis, Fix, diagnose},
    line::{TAB_STOP, width_at},
    node::{Fault, NOT_COOKED, Style, value_of},
    tree::{Tree, build},
};

/// How often a text is mended: behind so many faults the rest is left unread.
const ROUNDS: usize = 16;

/// A copy of a text, changed so that it can be read.
#[derive(Debug)]
struct Mended<'t> {
    written: &'t str,
    text: String,
    /// Where something was put in, in the copy, and how many bytes; in order.
    inserted: Vec<(usize, usize)>,
}

/// Reads all of `text` that can be read, and whether some could not.
pub(crate) fn read_on(text: &str, marks: &mut Marks) -> (Tree, bool) {
    let (tree, trouble) = build(text, marks);
    let Some(mut trouble) = trouble else {
        let lost = tree.lost;
        return (tree, lost);
    };
    let (mut tree, mut faults) = (tree, Vec::new());
    let mut copy = Mended { written: text, text: text.to_owned(), inserted: Vec::new() };
    for _ in 0..ROUNDS {
        let Diagnosis { kind, range, message, fixes } = diagnose(&copy.text, &trouble);
        faults.push(Fault { kind, range: copy.shift().back(range.start as u32..range.end as u32), message });
        // A change that changes nothing would bring us here again.
        let changes = fixes.iter().filter(|fix| copy.apply(fix)).count();
        if changes == 0 {
            break;
        }
        let (next, again) = build(&copy.text, marks);
        tree = next;
        match again {
            Some(again) => trouble = again,
            None => break,
        }
    }
    copy.restore(&mut tree);
    tree.faults.extend(faults);
    tree.faults.sort_by_key(|fault| (fault.range.start, fault.range.end));
    tree.faults.dedup();
    (tree, true)
}

/// The way from the copy back to the text as written.
struct Shift<'t> {
    written: &'t str,
    /// What was put in: where in the copy, how long, and how much up to there in all.
    inserted: Vec<(u32, u32, u32)>,
}

impl Shift<'_> {
    /// The whole characters as written that stand at `range` of the copy.
    fn back(&self, range: Range<u32>) -> Range<u32> {
        let start = self.written.floor_char_boundary(self.place(range.start));
        let end = self.written.ceil_char_boundary(self.place(range.end));
        start as u32..end.max(start) as u32
    }

    fn place(&self, at: u32) -> usize {
        let behind = self.inserted.partition_point(|(place, ..)| *place <= at);
        let last = behind.checked_sub(1).and_then(|n| self.inserted.get(n));
        let back = last.map_or(0, |(place, length, before)| before - length + (at - place).min(*length));
        (at - back) as usize
    }
}

impl<'t> Mended<'t> {
    fn shift(&self) -> Shift<'t> {
        let mut before = 0;
        let summed = self.inserted.iter().map(|(place, length)| {
            before += length;
            (*place as u32, *length as u32, before as u32)
        });
        Shift { written: self.written, inserted: summed.collect() }
    }

    fn apply(&mut self, fix: &Fix) -> bool {
        let before = self.text.len();
        match fix {
            Fix::Blank(range) => self.overwrite(range, |c| if matches!(c, '\n' | '\r') { c } else { ' ' }),
            Fix::Letters(range) => self.overwrite(range, |c| match c {
                '%' => 'p',
                '@' => 'a',
                '`' => 'g',
                _ => 'x',
            }),
            Fix::Untab => self.untab(),
            Fix::Insert(at, new) => {
                if self.text.is_char_boundary(*at) {
                    self.text.insert_str(*at, new);
                    for (place, _) in self.inserted.iter_mut().filter(|(place, _)| place >= at) {
                        *place += new.len();
                    }
                    self.inserted.push((*at, new.len()));
                    self.inserted.sort_unstable();
                }
                self.text.len() > before
            }
        }
    }

    /// Replaces each character of `range`, byte for byte.
    fn overwrite(&mut self, range: &Range<usize>, by: impl Fn(char) -> char) -> bool {
        let Some(old) = self.text.get(range.clone()) else {
            return false;
        };
        let new: String = old.chars().flat_map(|c| std::iter::repeat_n(by(c), c.len_utf8())).collect();
        let changed = new != old;
        self.text.replace_range(range.clone(), &new);
        changed
    }

    /// Indents each line as wide as its tabs look.
    fn untab(&mut self) -> bool {
        let mut text = String::with_capacity(self.text.len());
        let mut widened = Vec::new();
        // Lines of an entry stand further in than its name.
        let first = self.lines().next().map_or(0, |(blank, _)| width_at(blank, TAB_STOP) as usize);
        let spaced = self.lines().filter(|(blank, _)| !blank.contains('\t')).map(|(blank, _)| blank.len());
        let spaced: Vec<usize> = spaced.filter(|indent| *indent > first).collect();
        for line in self.text.split_inclusive(['\n', '\r']) {
            let (blank, body) = blank_and_body(line);
            let wide = if blank.contains('\t') { as_neighbours(blank, &spaced) } else { blank.len() };
            text.extend(std::iter::repeat_n(' ', wide));
            if wide > blank.len() {
                widened.push((text.len() - (wide - blank.len()), wide - blank.len()));
            }
            text.push_str(body);
        }
        let changed = text != self.text;
        let moved = |at: usize| {
            at + widened.iter().take_while(|(place, _)| *place <= at).map(|(_, length)| length).sum::<usize>()
        };
        for (place, _) in &mut self.inserted {
            *place = moved(*place);
        }
        self.inserted.extend(widened);
        self.inserted.sort_unstable();
        self.text = text;
        changed
    }

    /// The blanks and the rest of each line that has a word on it.
    fn lines(&self) -> impl Iterator<Item = (&str, &str)> {
        let lines = self.text.split_inclusive(['\n', '\r']).map(blank_and_body);
        lines.filter(|(_, body)| !body.trim().is_empty())
    }

    /// Moves the tree from the copy to the text as written.
    fn restore(&self, tree: &mut Tree) {
        let shift = self.shift();
        for node in &mut tree.nodes {
            let there = shift.back(node.start..node.end);
            let length = there.end - there.start;
            // A value is read from the text as written, so that a `%` which had to be replaced is seen;
            // not where something was put in, and a quoted value lacks the quote to take off.
            let changed = length != node.end - node.start || node.style == Style::Quoted && length < 2;
            if changed
                && node.cooked == NOT_COOKED
                && let Some(value) = value_of(node, &self.text, &[])
            {
                node.cooked = tree.cooked.len() as u32;
                tree.cooked.push(value.into());
            }
            (node.start, node.end) = (there.start, there.end);
        }
        let faults = tree.faults.iter_mut().map(|fault| &mut fault.range);
        let comments = tree.comments.iter_mut().map(|comment| &mut comment.range);
        for range in faults.chain(comments) {
            *range = shift.back(range.clone());
        }
    }
}

fn blank_and_body(line: &str) -> (&str, &str) {
    let body = line.trim_start_matches([' ', '\t']);
    (line.get(..line.len() - body.len()).unwrap_or_default(), body)
}

/// How wide tabs look with the tab stop at which their line stands under one that is indented by spaces:
/// which it was is known to the editor alone.
fn as_neighbours(blank: &str, spaced: &[usize]) -> usize {
    let widths = [TAB_STOP, 4, 2].map(|stop| width_at(blank, stop) as usize);
    widths.into_iter().find(|wide| spaced.contains(wide)).unwrap_or(widths[0])
}
