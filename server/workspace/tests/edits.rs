//! However a job came to read as it does, it is the job that a fresh reading finds.
//!
//! A thousand random courses of work (edits of both kinds that people make, and those that cats make;
//! files opened, closed, saved, deleted) are held against a workspace loaded from the same texts.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

mod job;

use job::{FILES, GARBAGE, IMPORT, LINES, MORE, WORDS};
use model::{EntryId, FileId, Spot};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::atomic::AtomicBool;
use syntax::{Edit, Encoding, Position};
use workspace::Workspace;

/// One thing that happens. Numbers are taken modulo what there is to choose from.
#[derive(Clone, Debug)]
enum Act {
    /// A word of the job is put in place of another, somewhere.
    Word {
        file: usize,
        place: usize,
        word: usize,
    },
    /// A line is put in.
    Line {
        file: usize,
        place: usize,
        line: usize,
    },
    /// A line is taken out, moved behind another, or written twice.
    Cut {
        file: usize,
        place: usize,
    },
    Copy {
        file: usize,
        place: usize,
        to: usize,
    },
    /// A line is moved in or out by spaces.
    Shift {
        file: usize,
        place: usize,
        by: usize,
    },
    /// Something is put in place of a few characters anywhere.
    Garbage {
        file: usize,
        place: usize,
        length: usize,
        what: usize,
    },
    /// The whole text is put in anew, with its line ends as `crlf` says.
    Whole {
        file: usize,
        crlf: bool,
    },
    Open {
        file: usize,
    },
    Close {
        file: usize,
    },
    /// The buffer is saved.
    Save {
        file: usize,
    },
    /// The file is deleted on disk.
    Delete {
        file: usize,
    },
    /// The file on disk is put back as it was at first, by someone else.
    Restore {
        file: usize,
    },
    /// The imported file changes, or goes.
    Import {
        state: usize,
    },
    /// Findings are worked out in between; `stopped` before they begin.
    Check {
        stopped: bool,
    },
    Rescan,
}

fn act() -> impl Strategy<Value = Act> {
    let n = || 0..10_000_usize;
    prop_oneof![
        10 => (n(), n(), n()).prop_map(|(file, place, word)| Act::Word { file, place, word }),
        4 => (n(), n(), n()).prop_map(|(file, place, line)| Act::Line { file, place, line }),
        3 => (n(), n()).prop_map(|(file, place)| Act::Cut { file, place }),
        2 => (n(), n(), n()).prop_map(|(file, place, to)| Act::Copy { file, place, to }),
        2 => (n(), n(), 0..5_usize).prop_map(|(file, place, by)| Act::Shift { file, place, by }),
        8 => (n(), n(), 0..6_usize, n()).prop_map(|(file, place, length, what)| Act::Garbage { file, place, length, what }),
        1 => (n(), any::<bool>()).prop_map(|(file, crlf)| Act::Whole { file, crlf }),
        1 => n().prop_map(|file| Act::Open { file }),
        2 => n().prop_map(|file| Act::Close { file }),
        1 => n().prop_map(|file| Act::Save { file }),
        2 => n().prop_map(|file| Act::Delete { file }),
        1 => n().prop_map(|file| Act::Restore { file }),
        1 => (0..3_usize).prop_map(|state| Act::Import { state }),
        4 => any::<bool>().prop_map(|stopped| Act::Check { stopped }),
        1 => Just(Act::Rescan),
    ]
}

/// The job as it is worked on, and beside it the texts as plain strings.
struct Work {
    folder: tempfile::TempDir,
    workspace: Workspace,
    buffers: BTreeMap<&'static str, String>,
    encoding: Encoding,
    /// What a client would have been told, brought up to date only where the workspace says so.
    told: BTreeMap<FileId, Vec<String>>,
}

fn paths() -> Vec<&'static str> {
    FILES.iter().map(|(path, _)| *path).chain(MORE.iter().copied()).collect()
}

fn write(folder: &Path, path: &str, text: &str) {
    let path = folder.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

fn load(folder: &Path) -> Workspace {
    let mut workspace = Workspace::load(folder, &|_, _| {});
    workspace.check(&|_, _| {});
    workspace
}

impl Work {
    fn begin(encoding: Encoding) -> Work {
        let folder = tempfile::tempdir().unwrap();
        FILES.iter().for_each(|(path, text)| write(folder.path(), path, text));
        write(folder.path(), IMPORT.0, IMPORT.1[0]);
        let workspace = Workspace::load(folder.path(), &|_, _| {});
        let mut work = Work { folder, workspace, buffers: BTreeMap::new(), encoding, told: BTreeMap::new() };
        work.check();
        work
    }

    fn disk(&self, path: &str) -> Option<String> {
        fs::read_to_string(self.folder.path().join(path)).ok()
    }

    fn path(file: usize) -> &'static str {
        let paths = paths();
        paths[file % paths.len()]
    }

    /// The buffer of a file, opened first where it is not.
    fn open(&mut self, file: usize) -> (&'static str, String) {
        let path = Work::path(file);
        if let Some(text) = self.buffers.get(path) {
            return (path, text.clone());
        }
        let text = self.disk(path).unwrap_or_default();
        self.workspace.open(path, &text);
        self.buffers.insert(path, text.clone());
        (path, text)
    }

    /// Replaces bytes of a buffer, by way of positions as a client sends them.
    fn replace(&mut self, path: &'static str, range: std::ops::Range<usize>, new: &str) {
        let text = self.buffers.get_mut(path).unwrap();
        let (start, end) = (settled(text, range.start), settled(text, range.end));
        let file = self.workspace.file(path).unwrap();
        let held = self.workspace.job().file(file).unwrap().file().text().clone();
        let offset = |at: usize| held.offset(position(text, at, self.encoding), self.encoding);
        assert_eq!((offset(start), offset(end)), (start as u32, end as u32), "{text:?}");
        self.workspace.edit(file, &Edit { range: offset(start)..offset(end), new: new.to_owned() });
        text.replace_range(start..end, new);
    }

    fn act(&mut self, act: &Act) {
        match *act {
            Act::Word { file, place, word } => {
                let (path, text) = self.open(file);
                let found: Vec<_> = WORDS.iter().flat_map(|w| text.match_indices(w)).collect();
                if let Some((at, old)) = found.get(place % found.len().max(1)) {
                    self.replace(path, *at..*at + old.len(), WORDS[word % WORDS.len()]);
                }
            }
            Act::Line { file, place, line } => {
                let (path, text) = self.open(file);
                let at = line_at(&text, place).start;
                self.replace(path, at..at, LINES[line % LINES.len()]);
            }
            Act::Cut { file, place } => {
                let (path, text) = self.open(file);
                self.replace(path, line_at(&text, place), "");
            }
            Act::Copy { file, place, to } => {
                let (path, text) = self.open(file);
                let at = line_at(&text, to).start;
                self.replace(path, at..at, &text[line_at(&text, place)]);
            }
            Act::Shift { file, place, by } => {
                let (path, text) = self.open(file);
                let line = line_at(&text, place);
                let blank = text[line.clone()].len() - text[line.clone()].trim_start_matches(' ').len();
                self.replace(path, line.start..line.start + blank.min(2), &" ".repeat(by));
            }
            Act::Garbage { file, place, length, what } => {
                let (path, text) = self.open(file);
                let places: Vec<usize> = text.char_indices().map(|(i, _)| i).chain([text.len()]).collect();
                let from = place % places.len();
                let to = (from + length).min(places.len() - 1);
                self.replace(path, places[from]..places[to], GARBAGE[what % GARBAGE.len()]);
            }
            Act::Whole { file, crlf } => {
                let (path, text) = self.open(file);
                let unix = text.replace("\r\n", "\n");
                let text = if crlf { unix.replace('\n', "\r\n") } else { unix };
                let file = self.workspace.file(path).unwrap();
                self.workspace.set_text(file, &text);
                self.buffers.insert(path, text);
            }
            Act::Open { file } => {
                self.open(file);
            }
            Act::Close { file } => {
                let path = Work::path(file);
                if self.buffers.remove(path).is_some() {
                    self.workspace.close(path);
                }
            }
            Act::Save { file } => {
                let (path, text) = self.open(file);
                write(self.folder.path(), path, &text);
                self.workspace.refresh(path);
            }
            // A job ends with its site file, which is not the workspace's affair.
            Act::Delete { file } if Work::path(file) != "site.yaml" => {
                let path = Work::path(file);
                let _ = fs::remove_file(self.folder.path().join(path));
                self.workspace.refresh(path);
            }
            Act::Restore { file } => {
                let (path, text) = FILES[file % FILES.len()];
                write(self.folder.path(), path, text);
                self.workspace.refresh(path);
            }
            Act::Import { state } => {
                match IMPORT.1.get(state) {
                    Some(text) => write(self.folder.path(), IMPORT.0, text),
                    None => drop(fs::remove_file(self.folder.path().join(IMPORT.0))),
                }
                self.workspace.refresh(IMPORT.0);
            }
            Act::Check { stopped: true } => {
                let batch = self.workspace.compute(&AtomicBool::new(true), &|_, _| {});
                self.workspace.store(batch);
            }
            Act::Check { stopped: false } => self.check(),
            Act::Rescan => self.workspace.rescan(),
            Act::Delete { .. } => {}
        }
    }

    fn check(&mut self) {
        self.workspace.check(&|_, _| {});
        for file in self.workspace.take_changes() {
            let findings = findings(&self.workspace, file);
            if self.workspace.job().file(file).is_some() {
                self.told.insert(file, findings);
            } else {
                self.told.remove(&file);
            }
        }
    }

    /// The same texts, read afresh.
    fn afresh(&self) -> (tempfile::TempDir, Workspace) {
        let folder = tempfile::tempdir().unwrap();
        for path in paths() {
            if let Some(text) = self.buffers.get(path).cloned().or_else(|| self.disk(path)) {
                write(folder.path(), path, &text);
            }
        }
        if let Some(text) = self.disk(IMPORT.0) {
            write(folder.path(), IMPORT.0, &text);
        }
        let workspace = load(folder.path());
        (folder, workspace)
    }
}

/// A byte that is no place inside a `\r\n`, which no position can name.
fn settled(text: &str, at: usize) -> usize {
    let bytes = text.as_bytes();
    let inside = at > 0 && bytes.get(at - 1) == Some(&b'\r') && bytes.get(at) == Some(&b'\n');
    if inside { at - 1 } else { at }
}

/// Where a byte stands, worked out from the plain string.
fn position(text: &str, at: usize, encoding: Encoding) -> Position {
    let before = &text[..at];
    let broken = before.replace("\r\n", "\n").replace('\r', "\n");
    let line = broken.matches('\n').count() as u32;
    let column = &broken[broken.rfind('\n').map_or(0, |i| i + 1)..];
    let character = match encoding {
        Encoding::Utf8 => column.len(),
        Encoding::Utf16 => column.encode_utf16().count(),
        Encoding::Utf32 => column.chars().count(),
    };
    Position { line, character: character as u32 }
}

/// The bytes of a line with its `\n`.
fn line_at(text: &str, place: usize) -> std::ops::Range<usize> {
    let mut starts = vec![0];
    starts.extend(text.match_indices('\n').map(|(i, _)| i + 1));
    let n = place % starts.len();
    starts[n]..starts.get(n + 1).copied().unwrap_or(text.len())
}

/// A place as anyone would name it, free of numbers that depend on how the job came about.
fn place(workspace: &Workspace, id: EntryId, spot: &Spot) -> String {
    let (file, span) = workspace.span(id, spot).expect("a place that is there");
    let file = workspace.job().file(file).unwrap();
    let from = file.file().text().position(span.start, Encoding::Utf16);
    let to = file.file().text().position(span.end, Encoding::Utf16);
    format!("{}:{}:{}-{}:{}", file.path, from.line, from.character, to.line, to.character)
}

fn findings(workspace: &Workspace, file: FileId) -> Vec<String> {
    let words = |(id, f): (EntryId, &checks::Finding)| {
        let because: Vec<String> = f
            .because
            .iter()
            .map(|b| format!("{} {}", place(workspace, b.place.entry, &b.place.spot), b.text))
            .collect();
        format!(
            "{} {:?} {} {} {} {because:?}",
            place(workspace, id, &f.spot),
            f.severity,
            f.check.id,
            f.message,
            f.unused
        )
    };
    workspace.findings(file).map(words).collect()
}

/// All that can be known of a job: texts, findings, deviations, verdicts, file by file.
fn known(workspace: &Workspace) -> Vec<(String, String, Vec<String>)> {
    let of = |(file, path): (FileId, &str)| {
        let job_file = workspace.job().file(file).unwrap();
        let mut all = findings(workspace, file);
        all.extend(workspace.findings(file).map(|(_, f)| f.shown(workspace.job()).into_owned()));
        for id in job_file.entries() {
            let Some(outcome) = workspace.outcome(*id) else { continue };
            let deviations = outcome.deviations.iter().map(|d| {
                let hidden: Vec<_> = d.hidden.iter().map(|f| f.shown(workspace.job())).collect();
                format!("{} {} {} {hidden:?}", place(workspace, *id, &d.spot), d.check, d.reason)
            });
            all.extend(deviations);
            all.extend(outcome.verdicts.iter().map(|v| format!("{v:?}")));
        }
        (path.to_owned(), job_file.file().text().to_string(), all)
    };
    workspace.files().into_iter().map(of).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn however_it_came_about_it_is_the_same_job(
        encoding in prop_oneof![Just(Encoding::Utf8), Just(Encoding::Utf16), Just(Encoding::Utf32)],
        acts in prop::collection::vec(act(), 1..16),
    ) {
        let mut work = Work::begin(encoding);
        acts.iter().for_each(|act| work.act(act));
        work.check();
        let (_folder, fresh) = work.afresh();
        prop_assert_eq!(known(&work.workspace), known(&fresh));
        // Files that are said not to have changed have not.
        let now: BTreeMap<FileId, Vec<String>> =
            work.workspace.files().into_iter().map(|(file, _)| (file, findings(&work.workspace, file))).collect();
        work.told.retain(|file, told| now.contains_key(file) || !told.is_empty());
        let told: BTreeMap<_, _> = now.keys().map(|file| (*file, work.told.get(file).cloned().unwrap_or_default())).collect();
        prop_assert_eq!(told, now);
    }
}
