//! Reads the examples on the pages of checks. The tests of `workspace` take this file in, too.

/// A site, for examples that have none.
const SITE: &str =
    "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 365}}\n";

/// An example of a page.
pub(crate) struct Example {
    /// `bad`, `good` or `near`.
    pub(crate) kind: String,
    pub(crate) text: String,
}

/// The examples of a page, in order.
pub(crate) fn examples(page: &str) -> Vec<Example> {
    let (mut examples, mut open): (Vec<Example>, bool) = (Vec::new(), false);
    for line in page.lines() {
        if let Some(kind) = line.strip_prefix("```yaml ") {
            examples.push(Example { kind: kind.trim().to_owned(), text: String::new() });
            open = true;
        } else if line.starts_with("```") {
            open = false;
        } else if let (true, Some(example)) = (open, examples.last_mut()) {
            example.text.push_str(line);
            example.text.push('\n');
        }
    }
    examples
}

/// The files of a text: their names and what they hold. Each is headed by `# file: NAME`; without such a
/// line there is one.
pub(crate) fn files(text: &str) -> Vec<(String, String)> {
    let mut files: Vec<(String, String)> = Vec::new();
    for line in text.split_inclusive('\n') {
        if let Some(name) = line.strip_prefix("# file: ") {
            files.push((name.trim().to_owned(), String::new()));
        } else if let Some((_, text)) = files.last_mut() {
            text.push_str(line);
        } else {
            files.push(("job.yaml".to_owned(), line.to_owned()));
        }
    }
    if !files.iter().any(|(_, text)| text.lines().any(|line| line.starts_with("site:"))) {
        files.push(("site.yaml".to_owned(), SITE.to_owned()));
    }
    files
}
