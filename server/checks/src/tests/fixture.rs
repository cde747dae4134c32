//! Runs the examples of every check's page. See DEVELOPERS.md for how they are written.

#![allow(clippy::unwrap_used, clippy::panic)]

use crate::tests::example::{Example, examples, files};
use crate::{ALL, run};
use analysis::{Memo, UnitBounds};
use logic::Bounds;
use model::{FileId, ImportError, Job, Name, Prepared, Touched};
use std::sync::Arc;
use syntax::File;

/// A job from a text that may hold several files, each headed by `# file: NAME`.
pub(crate) fn job(text: &str) -> (Job, Vec<FileId>) {
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
fn memo(job: &Job, files: &[FileId]) -> Memo {
    let mut texts = files.iter().map(|file| job.file(*file).unwrap().file().text().to_string());
    let steps = texts.find_map(|text| {
        let (_, limit) = text.split_once("# limit: ")?;
        Some(limit.split_once(" steps")?.0.parse().unwrap())
    });
    steps.map_or_else(Memo::default, |steps| Memo::bounded(UnitBounds(Bounds { steps, ..Bounds::DEFAULT })))
}

/// What a check finds in a job, file by file, as (line, column, length, message), columns in
/// characters.
pub(crate) fn found(check: &str, job: &Job, files: &[FileId]) -> Vec<Vec<(usize, usize, usize, String)>> {
    let memo = memo(job, files);
    let mut all = Vec::new();
    for file in files {
        let text = job.file(*file).unwrap().file().text().to_string();
        let mut here = Vec::new();
        for id in job.file(*file).unwrap().entries() {
            for finding in run(job, &memo, *id).findings {
                let (_, span) = job.span(*id, &finding.spot).unwrap();
                let (start, end) = (span.start as usize, span.end as usize);
                for because in &finding.because {
                    assert!(job.span(because.place.entry, &because.place.spot).is_some());
                }
                if finding.check.id == check {
                    let line_start = text[..start].rfind('\n').map_or(0, |i| i + 1);
                    let line = text[..start].matches('\n').count();
                    let first = text[start..end].lines().next().unwrap_or("");
                    here.push((
                        line,
                        text[line_start..start].chars().count(),
                        first.chars().count(),
                        finding.shown(job).into_owned(),
                    ));
                }
            }
        }
        all.push(here);
    }
    all
}

/// The marks of a text: a comment line whose carets point into the line above, and words that the
/// message must hold.
fn marks(text: &str) -> Vec<(usize, usize, usize, String)> {
    let (mut marks, mut above) = (Vec::new(), 0);
    for (i, line) in text.lines().enumerate() {
        let trimmed = line.trim_start();
        let Some(rest) = trimmed.strip_prefix('#').map(str::trim_start).filter(|r| r.starts_with('^')) else {
            above = i;
            continue;
        };
        let column = line.chars().count() - rest.chars().count();
        let length = rest.chars().take_while(|c| *c == '^').count();
        marks.push((above, column, length, rest[length..].trim().to_owned()));
    }
    marks
}

#[test]
fn every_page_has_its_headings_and_examples() {
    for check in ALL {
        let page = check.page();
        let headings: Vec<&str> = page
            .lines()
            .filter_map(|l| l.strip_prefix("# "))
            .filter(|l| !l.starts_with("file:") && !l.starts_with('^'))
            .collect();
        let wanted = ["What it finds", "Why it matters", "Example", "Repair", "Source"];
        let headings: Vec<&str> = headings.into_iter().filter(|h| wanted.contains(h)).collect();
        assert_eq!(headings, wanted, "{}", check.id);
        let kinds: Vec<String> = examples(&page).into_iter().map(|example| example.kind).collect();
        for kind in ["bad", "good", "near"] {
            assert!(kinds.iter().any(|k| k == kind), "{} has no {kind} example", check.id);
        }
        assert!(!check.summary().is_empty(), "{}", check.id);
    }
}

#[test]
fn registry_is_in_step_with_the_files() {
    let mut ids: Vec<&str> = ALL.iter().map(|c| c.id).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), ALL.len());
    for check in ALL {
        assert!(
            check.source.contains(&format!("id: \"{}\"", check.id)),
            "{} carries another file's page",
            check.id
        );
    }
}

#[test]
fn examples_hold() {
    let mut wrong = String::new();
    for check in ALL {
        for (n, Example { kind, text }) in examples(&check.page()).into_iter().enumerate() {
            let (job, files) = job(&text);
            let found = found(check.id, &job, &files);
            let texts: Vec<String> =
                files.iter().map(|f| job.file(*f).unwrap().file().text().to_string()).collect();
            let wanted: Vec<_> =
                texts.iter().map(|t| if kind == "bad" { marks(t) } else { Vec::new() }).collect();
            let right = found.iter().zip(&wanted).all(|(found, wanted)| {
                found.len() == wanted.len()
                    && wanted.iter().all(|w| {
                        found.iter().any(|f| (f.0, f.1, f.2) == (w.0, w.1, w.2) && f.3.contains(&w.3))
                    })
            });
            if !right || (kind == "bad" && wanted.iter().all(Vec::is_empty)) {
                wrong += &format!(
                    "\n{} example {} ({kind})\n  wanted {wanted:?}\n  found  {found:?}\n",
                    check.id,
                    n + 1
                );
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
