//! The events of an iCalendar file as blocks of text with their lines.

use super::ImportProblem;

/// One component of the file, from its `BEGIN` to its `END`.
pub(super) struct Block<'a> {
    pub(super) kind: BlockKind,
    /// Line of its `BEGIN`, from 1.
    pub(super) line: usize,
    pub(super) text: &'a str,
}

#[derive(Clone, Copy, PartialEq)]
pub(super) enum BlockKind {
    Event,
    Zone,
}

impl Block<'_> {
    /// What stands behind the first property of this name, with lines that go on joined; empty where there is
    /// none.
    pub(super) fn value_of(&self, property: &str) -> String {
        let at = self.line_of(property) - self.line;
        let mut lines = self.text.lines().skip(at);
        let mut value =
            lines.next().and_then(|line| line.split_once(':')).map_or("", |(_, value)| value).to_owned();
        for line in lines.map_while(|line| line.strip_prefix([' ', '\t'])) {
            value.push_str(line);
        }
        value
    }

    /// Line of the first property of this name; the block's own where there is none.
    pub(super) fn line_of(&self, property: &str) -> usize {
        let found = self.text.lines().position(|line| {
            let name = line.split([':', ';']).next().unwrap_or_default();
            name.trim().eq_ignore_ascii_case(property)
        });
        self.line + found.unwrap_or_default()
    }
}

/// Cuts the file into its events and zones; an event that is never ended is a problem.
pub(super) fn blocks<'a>(text: &'a str, problems: &mut Vec<ImportProblem>) -> Vec<Block<'a>> {
    let mut blocks = Vec::new();
    let mut open: Option<(BlockKind, usize, usize)> = None;
    let mut calendar = false;
    let mut offset = 0;
    for (line, content) in (1..).zip(text.split_inclusive('\n')) {
        let start = offset;
        offset += content.len();
        let content = content.trim_start_matches('\u{feff}').trim_end();
        calendar |= content.eq_ignore_ascii_case("BEGIN:VCALENDAR");
        if let Some(kind) = kind_after(content, "BEGIN:") {
            if let Some((BlockKind::Event, line, _)) = open.replace((kind, line, start)) {
                problems.push(unended(line));
            }
        } else if let Some(kind) = kind_after(content, "END:")
            && let Some((begun, line, start)) = open.take_if(|(begun, ..)| *begun == kind)
        {
            blocks.push(Block { kind: begun, line, text: text.get(start..offset).unwrap_or_default() });
        }
    }
    if let Some((BlockKind::Event, line, _)) = open {
        problems.push(unended(line));
    }
    if !calendar {
        let message = "the line `BEGIN:VCALENDAR` is missing, so this is not an iCalendar file. Export the calendar as `.ics`";
        problems.push(ImportProblem { line: 1, message: message.to_owned() });
    }
    blocks
}

fn kind_after(line: &str, prefix: &str) -> Option<BlockKind> {
    let (head, name) = line.split_at_checked(prefix.len())?;
    if !head.eq_ignore_ascii_case(prefix) {
        return None;
    }
    match name {
        _ if name.eq_ignore_ascii_case("VEVENT") => Some(BlockKind::Event),
        _ if name.eq_ignore_ascii_case("VTIMEZONE") => Some(BlockKind::Zone),
        _ => None,
    }
}

fn unended(line: usize) -> ImportProblem {
    let message = "the event has no `END:VEVENT`, so it is left out. The file may have been cut off";
    ImportProblem { line, message: message.to_owned() }
}
