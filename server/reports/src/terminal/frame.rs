//! The line that a finding is about, with carets under what it marks.

use super::window::Window;
use crate::review::FindingLine;
use crate::table::width;
use syntax::{Text, visible};

/// Columns before the text of a frame: `     19 │ `.
const GUTTER: usize = 10;

/// No window shows more characters of a line than this, so no more of a long line is looked at.
const FAR: u32 = 1024;

/// A character as it is shown, and whether the finding is about it.
struct Glyph {
    shown: String,
    wide: usize,
    marked: bool,
}

/// The first line of what a finding marks. A line that is wider than the window is cut on either side of it.
pub(super) fn frame(window: &mut Window, line: &FindingLine<'_>, text: &Text) {
    let number = line.place.from.0;
    let (start, end) = (text.line_start(number - 1), text.line_start(number));
    let at = line.bytes.start.clamp(start, end);
    let until = line.bytes.end.clamp(at, end);
    let first = at.saturating_sub(FAR).max(start);
    let mut glyphs: Vec<Glyph> = Vec::new();
    push(&mut glyphs, &text.slice(first..at), false);
    let marks_at = glyphs.len();
    push(&mut glyphs, text.slice(at..until.min(at.saturating_add(FAR))).trim_end(), true);
    push(&mut glyphs, text.slice(until..end.min(until.saturating_add(FAR))).trim_end(), false);
    let room = window.width.saturating_sub(GUTTER).max(16);
    let (shown, carets) = fitted(&glyphs, marks_at, room, first > start);
    let (dim, mark) = (window.paint.dim(), window.paint.severity(line.severity));
    window.put(dim, &format!("{number:>7} │ "));
    window.put(anstyle::Style::new(), &shown);
    window.end();
    window.put(dim, "        │ ");
    window.pad(GUTTER + carets.0);
    window.put(mark, &"^".repeat(carets.1.max(1)));
    window.end();
}

fn push(glyphs: &mut Vec<Glyph>, text: &str, marked: bool) {
    for c in text.chars() {
        let mut one = [0; 4];
        let shown = visible(c.encode_utf8(&mut one)).into_owned();
        glyphs.push(Glyph { wide: width(&shown), shown, marked });
    }
}

/// What of the glyphs fits a room, and where the carets stand and how many there are. What is marked begins at the
/// glyph of this number.
fn fitted(glyphs: &[Glyph], marks_at: usize, room: usize, cut_before: bool) -> (String, (usize, usize)) {
    let total: usize = glyphs.iter().map(|g| g.wide).sum();
    let before: usize = glyphs.iter().take(marks_at).map(|g| g.wide).sum();
    let marked: usize = glyphs.iter().filter(|g| g.marked).map(|g| g.wide).sum();
    let fits = total <= room && !cut_before;
    // What is marked stands in the middle, or begins a third of the way in where it is long.
    let from = if fits || (before + marked < room && !cut_before) {
        0
    } else {
        let beside = (room.saturating_sub(marked) / 2).max(room / 3);
        // Nothing is gained by room behind the end of the line.
        before.saturating_sub(beside).min(total.saturating_sub(room)).max(usize::from(cut_before))
    };
    let (mut text, mut used, mut carets) = (String::new(), 0, (None, 0));
    if from > 0 {
        text.push('…');
        used = 1;
    }
    let (mut column, mut left) = (0, glyphs.len());
    for glyph in glyphs {
        left -= 1;
        let here = column;
        column += glyph.wide;
        // The ellipsis stands in place of the first character.
        if here < from + usize::from(from > 0) {
            continue;
        }
        let ellipsis = usize::from(left > 0);
        if used + glyph.wide + ellipsis > room {
            text.push('…');
            break;
        }
        if glyph.marked {
            carets = (carets.0.or(Some(used)), carets.1 + glyph.wide);
        }
        text.push_str(&glyph.shown);
        used += glyph.wide;
    }
    // What marks nothing stands where it would.
    let at = carets.0.unwrap_or_else(|| before.saturating_sub(from).min(room - 1));
    (text, (at, carets.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn glyphs(before: &str, marked: &str, after: &str) -> Vec<Glyph> {
        let mut glyphs = Vec::new();
        push(&mut glyphs, before, false);
        push(&mut glyphs, marked, true);
        push(&mut glyphs, after, false);
        glyphs
    }

    /// What is shown, with the carets under it.
    fn drawn(before: &str, marked: &str, after: &str, room: usize) -> [String; 2] {
        let (text, (at, count)) = fitted(&glyphs(before, marked, after), before.chars().count(), room, false);
        [text, " ".repeat(at) + &"^".repeat(count.max(1))]
    }

    #[test]
    fn what_fits_is_shown_whole() {
        assert_eq!(drawn("  a: ", "bcd", " # e", 40), ["  a: bcd # e", "     ^^^"]);
        assert_eq!(drawn("  a:", "", "", 40), ["  a:", "    ^"]);
        assert_eq!(drawn("\t", "乾", "", 40), ["\\u{9}乾", "     ^^"]);
    }

    #[test]
    fn a_long_line_is_cut_on_both_sides_of_what_is_marked() {
        let (before, after) = ("0123456789".repeat(5), "abcdefghij".repeat(5));
        for (marked, room) in [("MARK", 20), ("", 16), ("M", 16), (after.as_str(), 24), ("乾燥", 17)] {
            let [text, carets] = drawn(&before, marked, &after, room);
            assert!(width(&text) <= room, "{text}");
            assert!(width(&carets) <= room, "{carets}");
            assert!(text.starts_with('…') && text.ends_with('…'), "{text}");
            if let Some(first) = marked.chars().next() {
                let under = carets.find('^').map(|at| text.chars().take(at).map(|c| c.to_string()));
                let shown: String = under.into_iter().flatten().collect();
                assert_eq!(text.strip_prefix(&shown).and_then(|rest| rest.chars().next()), Some(first));
            }
        }
        assert_eq!(drawn("ab ", "MARK", &after, 12), ["ab MARKabcd…", "   ^^^^"]);
        assert_eq!(drawn(&before, "MARK", "", 12), ["…3456789MARK", "        ^^^^"]);
    }
}
