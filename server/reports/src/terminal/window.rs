//! Text laid out in a window: words broken at its edge, columns, and what stands at its right.

use crate::paint::Paint;
use crate::table::{width, wrap};
use anstyle::Style;
use std::borrow::Cow;
use std::fmt::Write as _;

/// A column of a table narrows down to this before a line grows wider than the window.
const NARROWEST: usize = 12;

/// Text that fits a window. Only a word that is longer than its column is wider.
pub(super) struct Window {
    pub(super) text: String,
    pub(super) width: usize,
    pub(super) paint: Paint,
    /// Columns of the line that is being written.
    column: usize,
    /// Whether a word stands before what comes next.
    behind_word: bool,
}

/// A cell of a table, and how it is shown.
pub(super) type Cell<'c> = (Style, Cow<'c, str>);

impl Window {
    pub(super) fn new(width: usize, paint: Paint) -> Window {
        Window { text: String::new(), width, paint, column: 0, behind_word: false }
    }

    /// Goes on at a column, unless the line is there already.
    pub(super) fn pad(&mut self, to: usize) {
        self.text.extend(std::iter::repeat_n(' ', to.saturating_sub(self.column)));
        self.column = self.column.max(to);
        self.behind_word = false;
    }

    /// Text as it is, on this line.
    pub(super) fn put(&mut self, style: Style, text: &str) {
        let _ = write!(self.text, "{style}{text}{style:#}");
        self.column += width(text);
        self.behind_word = true;
    }

    /// Words, broken at the window's edge; further lines begin at `indent`.
    pub(super) fn words(&mut self, style: Style, text: &str, indent: usize) {
        let mut words = text.split_whitespace().peekable();
        if words.peek().is_none() {
            return;
        }
        let _ = write!(self.text, "{style}");
        for word in words {
            let wide = width(word);
            if self.behind_word && self.column + 1 + wide > self.width {
                let _ = write!(self.text, "{style:#}");
                self.end();
                self.pad(indent);
                let _ = write!(self.text, "{style}");
            } else if self.behind_word {
                self.text.push(' ');
                self.column += 1;
            }
            self.text.push_str(word);
            self.column += wide;
            self.behind_word = true;
        }
        let _ = write!(self.text, "{style:#}");
    }

    /// Text that ends at the window's right edge, on a line of its own where this one has no room.
    pub(super) fn at_right(&mut self, style: Style, text: &str) {
        let wide = width(text);
        if self.column > 0 && self.column + 2 + wide > self.width {
            self.end();
        }
        self.pad(self.width.saturating_sub(wide));
        self.put(style, text);
    }

    /// Ends the line.
    pub(super) fn end(&mut self) {
        let shown = self.text.trim_end_matches(' ').len();
        self.text.truncate(shown);
        self.text.push('\n');
        (self.column, self.behind_word) = (0, false);
    }

    /// A line in bold.
    pub(super) fn heading(&mut self, text: &str) {
        self.words(self.paint.bold(), text, 0);
        self.end();
    }

    /// A paragraph with its left edge at `indent`.
    pub(super) fn paragraph(&mut self, style: Style, text: &str, indent: usize) {
        self.pad(indent);
        self.words(style, text, indent);
        self.end();
    }

    /// Rows of cells, indented by two; what does not fit is broken within its cell, in the widest columns first.
    /// The columns in `right` are set to the right.
    pub(super) fn table(&mut self, rows: &[Vec<Cell<'_>>], right: &[usize]) {
        const INDENT: usize = 2;
        const BETWEEN: usize = 2;
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        let mut widths = vec![0; columns];
        for (cell, widest) in rows.iter().flat_map(|row| row.iter().zip(0..)).map(|((_, t), c)| (t, c)) {
            if let Some(widest) = widths.get_mut(widest) {
                *widest = width(cell).max(*widest);
            }
        }
        let room = self.width.saturating_sub(INDENT + BETWEEN * columns.saturating_sub(1));
        while widths.iter().sum::<usize>() > room
            && let Some(widest) = widths.iter_mut().max_by_key(|w| **w).filter(|w| **w > NARROWEST)
        {
            *widest -= 1;
        }
        for row in rows {
            let cells: Vec<Vec<String>> =
                row.iter().zip(&widths).map(|((_, text), w)| wrap(text, *w)).collect();
            for line in 0..cells.iter().map(Vec::len).max().unwrap_or(0) {
                let mut start = INDENT;
                for (c, (lines, wide)) in cells.iter().zip(&widths).enumerate() {
                    let (style, _) = row.get(c).cloned().unwrap_or_default();
                    if let Some(text) = lines.get(line).filter(|text| !text.is_empty()) {
                        let before = if right.contains(&c) { wide.saturating_sub(width(text)) } else { 0 };
                        self.pad(start + before);
                        self.put(style, text);
                        // A word that is too long for its cell keeps its distance.
                        self.pad(self.column + BETWEEN);
                    }
                    start += wide + BETWEEN;
                }
                self.end();
            }
        }
    }
}

/// A text cut to so many columns, the last of them an ellipsis where something is missing.
pub(super) fn cut(text: &str, columns: usize) -> Cow<'_, str> {
    if width(text) <= columns {
        return Cow::Borrowed(text);
    }
    let (mut kept, mut used) = (String::new(), 0);
    for c in text.chars() {
        let wide = width(c.encode_utf8(&mut [0; 4]));
        if used + wide + 1 > columns {
            break;
        }
        kept.push(c);
        used += wide;
    }
    Cow::Owned(kept.trim_end().to_owned() + "…")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(width: usize) -> Window {
        Window::new(width, Paint { coloured: false })
    }

    #[test]
    fn words_stay_inside_and_a_long_one_stands_alone() {
        let mut window = window(20);
        window.pad(2);
        window.words(Style::new(), "error:", 4);
        window.words(Style::new(), "the unit never-dehumidifies-at-all in winter", 4);
        window.end();
        assert_eq!(window.text, "  error: the unit\n    never-dehumidifies-at-all\n    in winter\n");
    }

    #[test]
    fn what_stands_at_the_right_takes_a_line_of_its_own_where_it_must() {
        let mut window = window(20);
        window.put(Style::new(), "short");
        window.at_right(Style::new(), "[check]");
        window.end();
        window.put(Style::new(), "rather long text");
        window.at_right(Style::new(), "[check]");
        window.end();
        assert_eq!(window.text, "short        [check]\nrather long text\n             [check]\n");
    }

    #[test]
    fn the_widest_column_is_broken_first() {
        let mut window = window(34);
        let cell = |text: &'static str| (Style::new(), Cow::Borrowed(text));
        let rows = [
            vec![cell("HP-1"), cell("yields to cooling and heating"), cell("168.0")],
            vec![cell("a"), cell("never"), cell("0.0")],
        ];
        window.table(&rows, &[2]);
        let expected =
            "  HP-1  yields to cooling    168.0\n        and heating\n  a     never                  0.0\n";
        assert_eq!(window.text, expected);
    }

    #[test]
    fn a_cut_text_says_so() {
        assert_eq!(cut("dehumidification", 20), "dehumidification");
        assert_eq!(cut("dehumidification", 6), "dehum…");
        assert_eq!(cut("乾燥した部屋", 6), "乾燥…");
    }
}
