//! Everything that touches the disk: which files a job has, and their text. Reads only, and only
//! inside the job folder.

#![allow(clippy::disallowed_methods)] // the contents of files are read here, and their names in `walk`

use crate::path;
use crate::walk::{LeftOut, Met, SITE, WalkBounds, Why, in_words, is_job, meets, walk};
use model::{Import, ImportError, Prepared};
use std::io::Read;
use std::path::{Path, PathBuf};
use syntax::{File, LONGEST};

/// The job folder that a path lies in: the nearest one at or above it that has a `site.yaml`.
pub fn find_root(path: &Path) -> Option<PathBuf> {
    path.ancestors().find(|folder| is_job(folder)).map(Path::to_path_buf)
}

/// How deep and how long a folder is searched for jobs: an editor may be opened on a whole disk.
const SEARCHED: WalkBounds = WalkBounds { deepest: 8, most: 200_000, into_jobs: true };

/// The jobs that a folder is about: the one it lies in, and those that lie in it.
pub fn find_jobs(folder: &Path) -> Vec<PathBuf> {
    let mut roots = Vec::new();
    walk(folder, SEARCHED, |met| {
        let (Met::File(path, _) | Met::LeftOut(path, LeftOut { why: Why::Link { .. }, .. })) = met else {
            return;
        };
        // Where the disk ignores case, `Site.yaml` is one too.
        let named = path.file_name().is_some_and(|name| name.eq_ignore_ascii_case(SITE));
        roots.extend(path.parent().filter(|folder| named && is_job(folder)).map(Path::to_path_buf));
    });
    roots.extend(find_root(folder));
    roots.sort_unstable();
    roots.dedup();
    roots
}

/// Whether a path belongs to the job: [`job_files`] has it, or would have it once it is saved.
pub(crate) fn belongs(root: &Path, path: &str) -> bool {
    if !root.join(path).exists() {
        return !path.split('/').any(|name| name.starts_with('.'));
    }
    meets(root, path)
}

/// What a job's folder has.
#[derive(Default)]
pub(crate) struct Listing {
    /// The YAML files of the job, by their paths in it with `/` between names, sorted.
    pub(crate) files: Vec<String>,
    /// What was left out, sorted.
    pub(crate) left_out: Vec<LeftOut>,
}

/// What a job's folder has: files that `.gitignore` hides are left out, as are hidden files, links, and
/// deeper jobs.
pub(crate) fn job_files(root: &Path) -> Listing {
    let mut listing = Listing::default();
    walk(root, WalkBounds::JOB, |met| match met {
        Met::File(_, path) => listing.files.push(path),
        Met::LeftOut(_, left_out) => listing.left_out.push(left_out),
    });
    listing.files.sort_unstable();
    listing.left_out.sort_unstable();
    listing
}

/// A path as the job has it: from its folder, `/` between names.
pub(crate) fn relative(root: &Path, path: &Path) -> Option<String> {
    let inner = path.strip_prefix(root).ok()?;
    let names: Option<Vec<&str>> = inner.components().map(|c| c.as_os_str().to_str()).collect();
    names.map(|names| names.join("/")).filter(|p| !p.is_empty())
}

/// Why a file was not read.
pub(crate) enum Unread {
    /// The system would not let it be read.
    Refused(String),
    /// It is no text, or too long a one.
    Unfit(String),
}

impl Unread {
    fn words(&self) -> &str {
        let (Unread::Refused(why) | Unread::Unfit(why)) = self;
        why
    }

    /// A file that says so in its first line.
    pub(crate) fn file(&self) -> Prepared {
        Prepared::new(File::unreadable(self.words()))
    }
}

/// The text of a file of the job.
pub(crate) fn read(root: &Path, path: &str) -> Result<String, Unread> {
    let bytes = read_bytes(root, path)?;
    String::from_utf8(bytes).map_err(|e| {
        Unread::Unfit(format!("it is no UTF-8 text from byte {} on", e.utf8_error().valid_up_to()))
    })
}

fn read_bytes(root: &Path, path: &str) -> Result<Vec<u8>, Unread> {
    let path = root.join(path);
    let refused = |error: std::io::Error| Unread::Refused(in_words(&error));
    let meta = std::fs::metadata(&path).map_err(refused)?;
    if !meta.is_file() {
        return Err(Unread::Refused("it is no file".to_owned()));
    }
    let too_large = || Unread::Unfit(format!("it is larger than {} MiB", LONGEST >> 20));
    if meta.len() > u64::from(LONGEST) {
        return Err(too_large());
    }
    let mut bytes = Vec::with_capacity(meta.len() as usize);
    // It may grow while it is read.
    let file = std::fs::File::open(&path).map_err(refused)?;
    file.take(u64::from(LONGEST) + 1).read_to_end(&mut bytes).map_err(refused)?;
    if bytes.len() as u64 > u64::from(LONGEST) { Err(too_large()) } else { Ok(bytes) }
}

/// Reads and parses a file, one of so many of a job, and says if the system would not let it be read. One that cannot be read becomes
/// a file that says so in its first line.
pub(crate) fn file(root: &Path, path: &str, files: usize) -> (Prepared, Option<LeftOut>) {
    match read(root, path) {
        Ok(text) => (Prepared::new(File::among(&text, files)), None),
        Err(unread) => {
            let left_out =
                |why: &str| LeftOut { path: path.to_owned(), why: Why::Unreadable(why.to_owned()) };
            let refused = matches!(unread, Unread::Refused(_)).then(|| left_out(unread.words()));
            (unread.file(), refused)
        }
    }
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
    let bytes = read_bytes(root, &path).map_err(|why| ImportError::Unreadable(why.words().to_owned()))?;
    Ok(String::from_utf8_lossy(&bytes).into())
}
