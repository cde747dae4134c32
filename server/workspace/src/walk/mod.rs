//! Which files a folder has for a job, and which it has and a job leaves out.

#![allow(clippy::disallowed_methods)] // what the folders of a job hold is read here, and in `disk`

mod ignore_file;
mod left_out;
mod wildmatch;

pub(crate) use left_out::in_words;
pub use left_out::{LeftOut, Why};

use ignore_file::IgnoreFile;
use std::ffi::OsStr;
use std::fs::{DirEntry, FileType};
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// The file that makes a folder a job.
pub const SITE: &str = "site.yaml";

/// So much may be spent on the patterns of all ignore files together: a second or two.
const MOST_STEPS: u64 = 200_000_000;

/// Whether a path's name ends as a YAML file's does.
pub(crate) fn is_yaml(path: &Path) -> bool {
    path.extension().is_some_and(|e| e.eq_ignore_ascii_case("yaml") || e.eq_ignore_ascii_case("yml"))
}

/// Whether a folder is a job.
pub(crate) fn is_job(folder: &Path) -> bool {
    folder.join(SITE).is_file()
}

/// How far a walk goes.
#[derive(Clone, Copy)]
pub(crate) struct WalkBounds {
    /// Folders below folders.
    pub(crate) deepest: usize,
    /// Names that are looked at.
    pub(crate) most: usize,
    /// Whether it goes into folders that are a job of their own.
    pub(crate) into_jobs: bool,
}

impl WalkBounds {
    /// One whole job.
    pub(crate) const JOB: WalkBounds = WalkBounds { deepest: usize::MAX, most: usize::MAX, into_jobs: false };
}

/// What a walk meets.
pub(crate) enum Met {
    /// A YAML file, and its path from the folder.
    File(PathBuf, String),
    /// What is not read, and should be reported.
    LeftOut(PathBuf, LeftOut),
}

/// Goes through a folder in no order. Hidden names and what `.gitignore` hides are left out, links are not
/// followed.
pub(crate) fn walk(root: &Path, bounds: WalkBounds, met: impl FnMut(Met)) {
    let mut walk = Walk { bounds, seen: 0, steps: MOST_STEPS, met };
    let mut folders = vec![Folder::top(root)];
    while let Some(folder) = folders.pop() {
        walk.folder(folder, &mut folders);
    }
    if walk.steps == 0 {
        let why = Why::NotObeyed("all patterns together take too long to try");
        walk.leave_out(root.join(ignore_file::NAME), ignore_file::NAME.as_bytes(), why);
    }
}

/// Whether a walk of the job at `root` meets the file at `path`, which is there.
pub(crate) fn meets(root: &Path, path: &str) -> bool {
    let mut folder = Folder::top(root);
    let mut steps = MOST_STEPS;
    let mut names = path.split('/').peekable();
    while let Some(name) = names.next() {
        // What is said of it is said by a walk.
        let _ = folder.obey();
        let full = folder.path.join(name);
        let Ok(kind) = full.symlink_metadata().map(|meta| meta.file_type()) else { return false };
        let inner = folder.inner(name.as_bytes());
        if name.starts_with('.') || folder.hides(&inner, kind.is_dir(), &mut steps) {
            return false;
        }
        if names.peek().is_none() {
            return kind.is_file();
        }
        if !kind.is_dir() || is_job(&full) {
            return false;
        }
        folder = Folder { path: full, inner, depth: folder.depth + 1, ignored: folder.ignored };
    }
    false
}

/// A folder on the way.
struct Folder {
    path: PathBuf,
    /// Its path from the top, `/` between names, as the disk has it.
    inner: Vec<u8>,
    depth: usize,
    ignored: Option<Rc<Ignored>>,
}

/// An ignore file that holds in a folder, and those of the folders around it.
struct Ignored {
    file: IgnoreFile,
    /// How long the path of its folder is.
    base: usize,
    outer: Option<Rc<Ignored>>,
}

impl Folder {
    fn top(root: &Path) -> Folder {
        Folder { path: root.to_path_buf(), inner: Vec::new(), depth: 0, ignored: None }
    }

    /// Reads its own ignore file.
    fn obey(&mut self) -> Result<(), &'static str> {
        if let Some(file) = IgnoreFile::read(&self.path)? {
            let base = if self.inner.is_empty() { 0 } else { self.inner.len() + 1 };
            self.ignored = Some(Rc::new(Ignored { file, base, outer: self.ignored.take() }));
        }
        Ok(())
    }

    /// The path from the top of a name in it.
    fn inner(&self, name: &[u8]) -> Vec<u8> {
        let mut inner = self.inner.clone();
        if !inner.is_empty() {
            inner.push(b'/');
        }
        inner.extend_from_slice(name);
        inner
    }

    /// Whether an ignore file hides what stands at a path from the top: the innermost that says so or not.
    fn hides(&self, inner: &[u8], is_folder: bool, steps: &mut u64) -> bool {
        let mut ignored = self.ignored.as_ref();
        while let Some(Ignored { file, base, outer }) = ignored.map(Rc::as_ref) {
            let path = inner.get(*base..).unwrap_or_default();
            if let Some(hides) = file.hides(path, is_folder, steps) {
                return hides;
            }
            ignored = outer.as_ref();
        }
        false
    }
}

struct Walk<M> {
    bounds: WalkBounds,
    seen: usize,
    steps: u64,
    met: M,
}

impl<M: FnMut(Met)> Walk<M> {
    fn folder(&mut self, mut folder: Folder, below: &mut Vec<Folder>) {
        if self.seen >= self.bounds.most {
            return;
        }
        // A job of its own: what is in it is not of this one, readable or not.
        if folder.depth > 0 && !self.bounds.into_jobs && is_job(&folder.path) {
            return;
        }
        let names = match std::fs::read_dir(&folder.path) {
            Ok(names) => names,
            Err(error) => {
                let (path, inner) = (folder.path.clone(), folder.inner.clone());
                return self.leave_out(path, &inner, Why::Unreadable(in_words(&error)));
            }
        };
        if let Err(why) = folder.obey() {
            let path = folder.path.join(ignore_file::NAME);
            let inner = folder.inner(ignore_file::NAME.as_bytes());
            self.leave_out(path, &inner, Why::NotObeyed(why));
        }
        for name in names {
            if self.seen >= self.bounds.most {
                return;
            }
            self.seen += 1;
            match name {
                Ok(entry) => self.entry(&folder, &entry, below),
                Err(error) => {
                    let (path, inner) = (folder.path.clone(), folder.inner.clone());
                    return self.leave_out(path, &inner, Why::Unreadable(in_words(&error)));
                }
            }
        }
    }

    fn entry(&mut self, folder: &Folder, entry: &DirEntry, below: &mut Vec<Folder>) {
        let name = entry.file_name();
        let (path, inner) = (entry.path(), folder.inner(name.as_encoded_bytes()));
        let yaml = is_yaml(Path::new(&name));
        let kind = match entry.file_type() {
            Ok(kind) => kind,
            Err(error) => return self.leave_out(path, &inner, Why::Unreadable(in_words(&error))),
        };
        let hidden = name.as_encoded_bytes().starts_with(b".");
        if hidden && yaml && kind.is_file() {
            return self.leave_out(path, &inner, Why::Hidden);
        }
        // What is no YAML file and no folder is nobody's business, hidden or not.
        if hidden || !yaml && !kind.is_dir() && !kind.is_symlink() {
            return;
        }
        if folder.hides(&inner, kind.is_dir(), &mut self.steps) {
            return self.leave_out(path, &inner, Why::Ignored);
        }
        if kind.is_dir() {
            if folder.depth + 1 < self.bounds.deepest {
                let ignored = folder.ignored.clone();
                below.push(Folder { path, inner, depth: folder.depth + 1, ignored });
            }
            return;
        }
        match Self::unfit(&name, kind, yaml) {
            Some(why) => self.leave_out(path, &inner, why),
            None => {
                let inner = String::from_utf8_lossy(&inner).into_owned();
                (self.met)(Met::File(path, inner));
            }
        }
    }

    /// Why what has the name of a YAML file, or is a link, is none of the job.
    fn unfit(name: &OsStr, kind: FileType, yaml: bool) -> Option<Why> {
        if kind.is_symlink() {
            return Some(Why::Link { yaml });
        }
        if !kind.is_file() {
            return Some(Why::NoFile);
        }
        name.to_str().is_none().then_some(Why::Name)
    }

    fn leave_out(&mut self, path: PathBuf, inner: &[u8], why: Why) {
        let left_out = LeftOut { path: String::from_utf8_lossy(inner).into_owned(), why };
        (self.met)(Met::LeftOut(path, left_out));
    }
}
