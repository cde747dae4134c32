//! The examples on the pages of checks, and what the checks say of them.

use crate::check::{Check, Severity};
use crate::{propose, run};
use analysis::{Memo, UnitBounds};
use logic::Bounds;
use model::{FileId, ImportError, Job, Name, Prepared, Touched};
use std::sync::Arc;
use syntax::File;

/// A site, for examples that have none.
const SITE: &str =
    "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 365}}\n";

/// An example of a page.
#[derive(Clone, Debug)]
pub struct Example {
    /// `bad`, `good` or `near`.
    pub kind: String,
    /// Its text, which may hold several [files].
    pub text: String,
}

/// The examples of a page, in order.
pub fn examples(page: &str) -> Vec<Example> {
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
pub fn files(text: &str) -> Vec<(String, String)> {
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

/// A job from the text of an example, and its YAML files in order.
pub fn job(text: &str) -> (Job, Vec<FileId>) {
    let (mut job, mut touched, mut ids) = (Job::new(), Touched::default(), Vec::new());
    for (name, text) in files(text) {
        if std::path::Path::new(&name).extension().is_some_and(|e| e == "yaml") {
            ids.push(job.open(name, Prepared::new(File::new(&text)), &mut touched));
        } else {
            job.set_import(name.as_str().into(), Some(Ok(Arc::from(text.as_str()))), &mut touched);
        }
    }
    for path in imports(&job) {
        if !job.imports().contains_key(&path) {
            let why = if path.starts_with("..") {
                ImportError::Outside
            } else {
                ImportError::Unreadable("there is no such file".to_owned())
            };
            job.set_import(path, Some(Err(why)), &mut touched);
        }
    }
    (job, ids)
}

/// The paths that a job imports.
fn imports(job: &Job) -> Vec<Name> {
    let entries = job.files().flat_map(|(_, file)| file.entries()).filter_map(|id| job.entry(*id));
    entries.flat_map(|entry| entry.facts.imports()).cloned().collect()
}

/// A memo that proves within what an example sets: `# limit: 60 steps`.
pub fn memo(text: &str) -> Memo {
    let steps =
        text.split_once("# limit: ").and_then(|(_, limit)| limit.split_once(" steps")?.0.parse().ok());
    steps.map_or_else(Memo::default, |steps| Memo::bounded(UnitBounds(Bounds { steps, ..Bounds::DEFAULT })))
}

/// What a check says of one of its own examples.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Message {
    /// How bad it is.
    pub severity: Severity,
    /// The line of the example that it marks.
    pub line: String,
    /// The message.
    pub text: String,
    /// Its reasons.
    pub reasons: Vec<String>,
    /// The titles of the repairs that are proposed, the least change first.
    pub repairs: Vec<String>,
}

/// What a check says of the `bad` examples of its page, in order, each message once.
pub fn messages(check: &'static Check) -> Vec<Message> {
    let mut messages: Vec<Message> = Vec::new();
    for example in examples(&check.page()).iter().filter(|example| example.kind == "bad") {
        for message in messages_of(check, &example.text) {
            if !messages.iter().any(|known| known.text == message.text) {
                messages.push(message);
            }
        }
    }
    messages
}

fn messages_of(check: &'static Check, text: &str) -> Vec<Message> {
    let ((job, files), memo) = (job(text), memo(text));
    let entries = files.iter().filter_map(|file| job.file(*file)).flat_map(model::JobFile::entries);
    let mut messages = Vec::new();
    for id in entries {
        let findings = run(&job, &memo, *id).findings;
        for finding in findings.iter().filter(|finding| finding.check.id == check.id) {
            messages.push(Message {
                severity: finding.severity,
                line: job
                    .span(*id, &finding.spot)
                    .map_or_else(String::new, |(file, span)| line_at(&job, file, span.start)),
                text: finding.shown(&job).into_owned(),
                reasons: finding.because.iter().map(|because| because.text.clone()).collect(),
                repairs: propose(&job, &memo, *id, finding).into_iter().map(|p| p.title).collect(),
            });
        }
    }
    messages
}

/// The line of a file that holds a byte, without the blanks around it.
fn line_at(job: &Job, file: FileId, at: u32) -> String {
    let text = job.file(file).map(|file| file.file().text().to_string()).unwrap_or_default();
    let (before, behind) = text.split_at_checked(at as usize).unwrap_or((&text, ""));
    let before = before.rsplit('\n').next().unwrap_or_default();
    let behind = behind.lines().next().unwrap_or_default();
    format!("{before}{behind}").trim().to_owned()
}
