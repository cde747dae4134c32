//! Columns of text, aligned by what a terminal shows.

use unicode_width::UnicodeWidthStr;

/// Rows as lines: each column as wide as its widest cell, two spaces between, indented by `indent`.
/// Cells of the columns in `right` are set to the right.
pub(crate) fn table(rows: &[Vec<String>], indent: usize, right: &[usize]) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |c: usize| rows.iter().filter_map(|r| r.get(c)).map(|cell| cell.width()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns).map(width).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = " ".repeat(indent);
        for (c, cell) in row.iter().enumerate() {
            let pad = " ".repeat(widths.get(c).map_or(0, |w| w.saturating_sub(cell.width())));
            let before = if c == 0 { "" } else { "  " };
            line += &if right.contains(&c) {
                format!("{before}{pad}{cell}")
            } else {
                format!("{before}{cell}{pad}")
            };
        }
        text += line.trim_end();
        text.push('\n');
    }
    text
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
