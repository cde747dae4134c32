//! Every message of the checks.

use crate::table::wrap;
use checks::{FAMILIES, example};
use std::fmt::Write as _;
use syntax::visible;

/// Every message of the checks, each with the line of an example that it is about, by family and check; of one check
/// where one is named. Readable at 100 columns.
pub fn message_list(only: Option<&str>) -> String {
    let mut text = String::new();
    for family in &FAMILIES {
        let is_shown = |id: &str| only.is_none_or(|only| id == only);
        let mut checks = family.checks.iter().filter(|check| is_shown(check.id)).peekable();
        if checks.peek().is_some() {
            let space = if text.is_empty() { "" } else { "\n" };
            let _ = writeln!(text, "{space}{}\n{}", family.title, "=".repeat(family.title.len()));
        }
        for check in checks {
            let _ = writeln!(text, "\n{} ({})", check.id, check.severity.word());
            for message in example::messages(check) {
                let _ = writeln!(text, "\n    | {}", visible(&message.line));
                let other =
                    (message.severity != check.severity).then(|| format!("({}) ", message.severity.word()));
                let words = format!("{}{}", other.unwrap_or_default(), message.text);
                lines(&mut text, "    ", &words);
                message.reasons.iter().for_each(|reason| lines(&mut text, "      - ", reason));
                message.repairs.iter().for_each(|title| lines(&mut text, "      > ", title));
            }
        }
    }
    text
}

/// Words in lines, the first behind a mark and the others below it.
fn lines(text: &mut String, mark: &str, words: &str) {
    for (n, line) in wrap(words, 100 - mark.len()).iter().enumerate() {
        let before = if n == 0 { mark.to_owned() } else { " ".repeat(mark.len()) };
        let _ = writeln!(text, "{before}{line}");
    }
}
