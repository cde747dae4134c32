//! Everything that touches the disk: which files a job has, and their text. Reads only, and only
//! inside the job folder.

#![allow(clippy::disallowed_methods)] // this is the one place for them

use crate::path;
use ignore::{DirEntry, WalkBuilder, WalkState};
use model::{Import, ImportError, Prepared};
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use syntax::{File, LONGEST};

/// The file that makes a folder a job.
pub const SITE: &str = "site.yaml";

/// The job folder that a path lies in: the nearest one at or above it that has a `site.yaml`.
pub fn find_root(path: &Path) -> Option<PathBuf> {
    path.ancestors().find(|folder| folder.join(SITE).is_file()).map(Path::to_path_buf)
}

/// How deep and how long a folder is searched for jobs: an editor may be opened on a whole disk.
const DEEPEST: usize = 8;
const MOST_SEARCHED: usize = 200_000;

/// The jobs that a folder is about: the one it lies in, and those that lie in it.
pub fn find_jobs(folder: &Path) -> Vec<PathBuf> {
    let walk = walk(folder).max_depth(Some(DEEPEST)).build().take(MOST_SEARCHED).filter_map(Result::ok);
    // Where the disk ignores case, `Site.yaml` is one too.
    let named = |entry: &DirEntry| entry.file_name().eq_ignore_ascii_case(SITE);
    let inside = walk.filter(|entry| named(entry) && entry.path().with_file_name(SITE).is_file());
    let mut roots: Vec<PathBuf> =
        inside.filter_map(|entry| entry.path().parent().map(Path::to_path_buf)).collect();
    roots.extend(find_root(folder));
    roots.sort_unstable();
    roots.dedup();
    roots
}

/// All that `.gitignore` does not hide, hidden files left out and links not followed.
fn walk(root: &Path) -> WalkBuilder {
    let mut walk = WalkBuilder::new(root);
    walk.parents(false).require_git(false).git_global(false).git_exclude(false).follow_links(false);
    walk
}

/// Whether a folder is a job of its own, inside the job at `top`.
fn is_deeper_job(top: &Path, entry: &DirEntry) -> bool {
    let folder = entry.file_type().is_some_and(|t| t.is_dir());
    folder && entry.path() != top && entry.path().join(SITE).is_file()
}

/// Whether a path belongs to the job: [`job_files`] has it, or would have it once it is saved.
pub(crate) fn belongs(root: &Path, path: &str) -> bool {
    let (top, full) = (root.to_path_buf(), root.join(path));
    if !full.exists() {
        return !path.split('/').any(|name| name.starts_with('.'));
    }
    let wanted = full.clone();
    let on_the_way = move |entry: &DirEntry| wanted.starts_with(entry.path()) && !is_deeper_job(&top, entry);
    let mut found = walk(root).filter_entry(on_the_way).build().filter_map(Result::ok);
    found.any(|entry| entry.path() == full && entry.file_type().is_some_and(|t| t.is_file()))
}

/// The YAML files of a job, by their paths in it with `/` between names, sorted.
///
/// What `.gitignore` hides is left out, as are hidden files, links, and deeper jobs.
pub(crate) fn job_files(root: &Path) -> Vec<String> {
    let top = root.to_path_buf();
    let walk = walk(root).filter_entry(move |entry| !is_deeper_job(&top, entry)).build_parallel();
    let (found, files) = mpsc::channel();
    walk.run(|| {
        let found = found.clone();
        Box::new(move |entry| {
            let entry = entry.ok().filter(|entry| entry.file_type().is_some_and(|t| t.is_file()));
            let file = entry.filter(|entry| is_yaml(entry.path()));
            if let Some(path) = file.and_then(|entry| relative(root, entry.path())) {
                // Whoever gathers them is still there.
                let _ = found.send(path);
            }
            WalkState::Continue
        })
    });
    drop(found);
    let mut files: Vec<String> = files.into_iter().collect();
    files.sort_unstable();
    files
}

/// Whether a path's name ends as a YAML file's does.
pub(crate) fn is_yaml(path: &Path) -> bool {
    path.extension().is_some_and(|e| e.eq_ignore_ascii_case("yaml") || e.eq_ignore_ascii_case("yml"))
}

/// A path as the job has it: from its folder, `/` between names.
pub(crate) fn relative(root: &Path, path: &Path) -> Option<String> {
    let inner = path.strip_prefix(root).ok()?;
    let names: Option<Vec<&str>> = inner.components().map(|c| c.as_os_str().to_str()).collect();
    names.map(|names| names.join("/")).filter(|p| !p.is_empty())
}

/// The text of a file of the job.
///
/// # Errors
/// A message in plain words when it cannot be read or is no text; the file then counts as empty.
pub(crate) fn read(root: &Path, path: &str) -> Result<String, String> {
    let bytes = read_bytes(root, path)?;
    String::from_utf8(bytes)
        .map_err(|e| format!("it is no UTF-8 text from byte {} on", e.utf8_error().valid_up_to()))
}

fn read_bytes(root: &Path, path: &str) -> Result<Vec<u8>, String> {
    let path = root.join(path);
    let meta = std::fs::metadata(&path).map_err(|e| in_words(&e))?;
    if !meta.is_file() {
        return Err("it is no file".to_owned());
    }
    if meta.len() > u64::from(LONGEST) {
        return Err(format!("it is larger than {} MiB", LONGEST >> 20));
    }
    std::fs::read(&path).map_err(|e| in_words(&e))
}

fn in_words(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "you may not read it".to_owned(),
        _ => error.to_string(),
    }
}

/// Reads and parses a file; one that cannot be read becomes a file that says so in its first line.
pub(crate) fn file(root: &Path, path: &str) -> Prepared {
    let file = match read(root, path) {
        Ok(text) => File::new(&text),
        Err(why) => File::unreadable(&why),
    };
    Prepared::new(file).told()
}

/// A file that an entry names, if it lies inside the job folder. Bytes outside UTF-8 can stand only in
/// what nobody reads (a summary, a station's name), so they are replaced.
pub(crate) fn import(root: &Path, path: &str) -> Import {
    let path = path::inside(path).ok_or(ImportError::Outside)?;
    let full = root.join(&path);
    // A link may lead out even where the path does not.
    if let (Ok(real), Ok(real_root)) = (full.canonicalize(), root.canonicalize())
        && !real.starts_with(real_root)
    {
        return Err(ImportError::Outside);
    }
    let bytes = read_bytes(root, &path).map_err(ImportError::Unreadable)?;
    Ok(String::from_utf8_lossy(&bytes).into())
}
