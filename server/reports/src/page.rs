//! The pages of checks.

use crate::table::wrap;
use checks::{ALL, Check};
use std::fmt::Write as _;

/// A check's page, as Markdown with its name and severity at the top.
pub fn check_page(check: &Check) -> String {
    format!("{} ({})\n\n{}", check.id, check.severity.word(), check.page())
}

/// Every check with its severity and what it finds, readable at 80 columns.
pub fn check_list() -> String {
    let mut text = String::new();
    for check in ALL {
        let _ = writeln!(text, "{} ({})", check.id, check.severity.word());
        for line in wrap(&check.summary(), 76) {
            let _ = writeln!(text, "    {line}");
        }
    }
    text
}
