//! The examples of the pages of checks.

use checks::{Check, example};

/// The `bad` examples of a page, each as files with their names.
pub(crate) fn bad_examples(check: &Check) -> Vec<Vec<(String, String)>> {
    let bad = example::examples(&check.page()).into_iter().filter(|example| example.kind == "bad");
    bad.map(|example| example::files(&example.text)).collect()
}
