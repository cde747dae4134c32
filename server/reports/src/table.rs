//! Columns of text, aligned by what a terminal shows.

use unicode_width::UnicodeWidthStr;

/// Rows as lines: each column as wide as its widest cell, two spaces between, indented by `indent`.
/// Cells of the columns in `right` are set to the right.
pub(crate) fn table<R: AsRef<[C]>, C: AsRef<str>>(rows: &[R], indent: usize, right: &[usize]) -> String {
    let mut text = String::new();
    put_table(&mut text, rows, indent, right);
    text
}

/// The same at the end of a text.
pub(crate) fn put_table<R: AsRef<[C]>, C: AsRef<str>>(
    text: &mut String,
    rows: &[R],
    indent: usize,
    right: &[usize],
) {
    let columns = rows.iter().map(|row| row.as_ref().len()).max().unwrap_or(0);
    let mut widths = vec![0; columns];
    let mut cells = Vec::with_capacity(columns * rows.len());
    for row in rows {
        for ((c, cell), widest) in row.as_ref().iter().enumerate().zip(&mut widths) {
            // Nothing stands behind the last column, so it may be as wide as it likes.
            let padded = c + 1 < columns || right.contains(&c);
            let width = if padded { width(cell.as_ref()) } else { 0 };
            *widest = width.max(*widest);
            cells.push(width);
        }
    }
    let mut cells = cells.into_iter();
    for row in rows {
        let start = text.len();
        spaces(text, indent);
        for ((c, cell), (widest, width)) in row.as_ref().iter().enumerate().zip(widths.iter().zip(&mut cells))
        {
            let (before, pad) = (if c == 0 { 0 } else { 2 }, widest.saturating_sub(width));
            let (left, behind) = if right.contains(&c) { (before + pad, 0) } else { (before, pad) };
            spaces(text, left);
            text.push_str(cell.as_ref());
            spaces(text, behind);
        }
        let shown = text.get(start..).unwrap_or("").trim_end().len();
        text.truncate(start + shown);
        text.push('\n');
    }
}

fn spaces(text: &mut String, count: usize) {
    text.extend(std::iter::repeat_n(' ', count));
}

/// How many columns a terminal shows a text in.
pub(crate) fn width(text: &str) -> usize {
    let plain = text.bytes().all(|b| (b' '..=b'~').contains(&b));
    if plain { text.len() } else { text.width() }
}

/// Text broken into lines of at most `width` columns, at spaces.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.len() - 1;
        let Some(line) = lines.get_mut(last) else { break };
        if line.is_empty() {
            line.push_str(word);
        } else if line.width() + 1 + word.width() <= width {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}
