//! Runs the examples of every check's page. See DEVELOPERS.md for how they are written.

#![allow(clippy::unwrap_used, clippy::panic)]

pub(crate) use crate::example::job;
use crate::example::{Example, examples, memo};
use crate::{ALL, run};
use model::{FileId, Job};

/// What a check finds in a job, file by file, as (line, column, length, message), columns in
/// characters.
pub(crate) fn found(check: &str, job: &Job, files: &[FileId]) -> Vec<Vec<(usize, usize, usize, String)>> {
    let texts: String = files.iter().map(|file| job.file(*file).unwrap().file().text().to_string()).collect();
    let memo = memo(&texts);
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
/// message must hold. Below what begins its line there is no room for carets: `<` counts from there.
fn marks(text: &str) -> Vec<(usize, usize, usize, String)> {
    let (mut marks, mut above) = (Vec::new(), 0);
    for (i, line) in text.lines().enumerate() {
        let trimmed = line.trim_start();
        let rest = trimmed.strip_prefix('#').map(str::trim_start);
        let Some((rest, sign)) =
            rest.and_then(|rest| Some((rest, rest.chars().find(|c| "^<".contains(*c))?)))
        else {
            above = i;
            continue;
        };
        if !rest.starts_with(sign) {
            above = i;
            continue;
        }
        let column = if sign == '<' { 0 } else { line.chars().count() - rest.chars().count() };
        let length = rest.chars().take_while(|c| *c == sign).count();
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
