//! The pages of checks.

use crate::table::table;
use checks::{ALL, Check};

/// A check's page, as Markdown with its name and severity at the top.
pub fn check_page(check: &Check) -> String {
    format!("{} ({})\n\n{}", check.id, check.severity.word(), check.page())
}

/// Every check with what it finds, a line each.
pub fn check_list() -> String {
    let rows: Vec<Vec<String>> =
        ALL.iter().map(|c| vec![c.id.to_owned(), c.severity.word().to_owned(), c.summary()]).collect();
    table(&rows, 0, &[])
}
