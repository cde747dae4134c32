//! What a `.gitignore` hides.
//!
//! We read these files ourselves: one may be a link out of the folder, a pipe that never ends, or larger
//! than all else.

use super::wildmatch::{Over, fits};
use rustc_hash::FxHashMap;
use std::io::Read;
use std::path::Path;

pub(super) const NAME: &str = ".gitignore";

/// A larger one is not obeyed.
const MOST_BYTES: u64 = 1 << 20;

/// So many patterns with wildcards are obeyed in one file: each is tried at each name.
const MOST_WILD: usize = 2_000;

/// A longer pattern is none that somebody wrote.
const LONGEST: usize = 1_000;

/// The patterns of one file, which hold from its folder down.
#[derive(Debug, Default)]
pub(super) struct IgnoreFile {
    /// Patterns that are a name as it stands, by that name, with their place in the file.
    names: FxHashMap<Box<[u8]>, Vec<(usize, Pattern)>>,
    /// All others, with their place in the file.
    wild: Vec<(usize, Pattern, Box<[u8]>)>,
}

#[derive(Clone, Copy, Debug)]
struct Pattern {
    /// Whether it takes back what patterns above it hide.
    shows: bool,
    only_folders: bool,
    /// Whether it is about a path from the folder of the file, and not about a name wherever it stands.
    path: bool,
}

impl IgnoreFile {
    /// Reads the one in a folder; nothing where there is none.
    ///
    /// # Errors
    /// Why it is not obeyed, in plain words.
    pub(super) fn read(folder: &Path) -> Result<Option<IgnoreFile>, &'static str> {
        let path = folder.join(NAME);
        let Ok(meta) = path.symlink_metadata() else { return Ok(None) };
        if meta.is_symlink() {
            return Err("it is a link");
        }
        if meta.is_dir() {
            return Ok(None);
        }
        if !meta.is_file() {
            return Err("it is no file");
        }
        let mut text = Vec::new();
        let file = std::fs::File::open(&path).map_err(|_| "it cannot be read")?;
        file.take(MOST_BYTES + 1).read_to_end(&mut text).map_err(|_| "it cannot be read")?;
        if text.len() as u64 > MOST_BYTES {
            return Err("it is larger than 1 MiB");
        }
        IgnoreFile::parse(&text).map(Some)
    }

    /// The patterns of a text.
    pub(super) fn parse(text: &[u8]) -> Result<IgnoreFile, &'static str> {
        let text = text.strip_prefix("\u{feff}".as_bytes()).unwrap_or(text);
        let mut file = IgnoreFile::default();
        for (place, line) in text.split(|byte| *byte == b'\n').enumerate() {
            let line = line.strip_suffix(b"\r").unwrap_or(line);
            if line.starts_with(b"#") {
                continue;
            }
            let line = without_blanks(line);
            let shows = line.starts_with(b"!");
            let line = line.get(usize::from(shows)..).unwrap_or_default();
            let only_folders = line.ends_with(b"/");
            let line = line.strip_suffix(b"/").unwrap_or(line);
            let path = line.contains(&b'/');
            let line = line.strip_prefix(b"/").unwrap_or(line);
            let pattern = Pattern { shows, only_folders, path };
            if line.is_empty() {
                continue;
            }
            if line.len() > LONGEST {
                return Err("it has a pattern of more than 1,000 letters");
            }
            if line.iter().any(|sign| is_wild(*sign)) {
                file.wild.push((place, pattern, line.into()));
            } else {
                file.names.entry(line.into()).or_default().push((place, pattern));
            }
        }
        if file.wild.len() > MOST_WILD {
            return Err("it has more than 2,000 patterns with wildcards");
        }
        Ok(file)
    }

    /// Whether it hides what stands at `path`, from the folder of the file; nothing where no pattern says.
    pub(super) fn hides(&self, path: &[u8], is_folder: bool, steps: &mut u64) -> Option<bool> {
        let name = path.rsplit(|byte| *byte == b'/').next().unwrap_or(path);
        let about = |pattern: &Pattern| is_folder || !pattern.only_folders;
        let plain = |text: &[u8], of_path: bool| {
            let known = self.names.get(text)?.iter().rev();
            known.copied().find(|(_, pattern)| pattern.path == of_path && about(pattern))
        };
        let mut last = plain(path, true).max_by_place(plain(name, false));
        for (place, pattern, text) in self.wild.iter().rev() {
            if last.is_some_and(|(known, _)| known > *place) {
                break;
            }
            let fits = |steps: &mut u64| {
                if !pattern.path {
                    return fits(text, name, Over::Name, steps);
                }
                // As git has it, stars right behind plain letters stand at the beginning of what is left.
                let plain = text.iter().take_while(|sign| !is_wild(**sign)).count();
                let (plain, wild) = text.split_at(plain);
                path.strip_prefix(plain).is_some_and(|path| fits(wild, path, Over::Path, steps))
            };
            if about(pattern) && fits(steps) {
                last = Some((*place, *pattern));
                break;
            }
        }
        last.map(|(_, pattern)| !pattern.shows)
    }
}

/// The later of two patterns of one file.
trait Later {
    fn max_by_place(self, other: Self) -> Self;
}

impl Later for Option<(usize, Pattern)> {
    fn max_by_place(self, other: Self) -> Self {
        let place = |one: &Self| one.map(|(place, _)| place);
        if place(&self) < place(&other) { other } else { self }
    }
}

/// Whether a letter of a pattern is more than itself.
fn is_wild(sign: u8) -> bool {
    matches!(sign, b'*' | b'?' | b'[' | b'\\')
}

/// A line without the blanks at its end, but for one behind a backslash.
fn without_blanks(line: &[u8]) -> &[u8] {
    let (mut end, mut at) = (0, 0);
    while let Some(sign) = line.get(at) {
        match sign {
            b' ' => at += 1,
            b'\\' => {
                at = (at + 2).min(line.len());
                end = at;
            }
            _ => {
                at += 1;
                end = at;
            }
        }
    }
    line.get(..end).unwrap_or(line)
}
