//! Files that are written as a whole or not at all: each beside its place first, then put there.
//!
//! A name in the making is hidden and tells whose it is: `.zones.yaml.drycall-AbC123`. It is locked while it is in
//! use, so that one left by a run that was killed is known and taken away by the next.

use std::fs::{File, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};

/// What stands between a file's name and the letters that make it another.
const MARK: &str = ".drycall-";

/// A text beside the place it is meant for.
pub(crate) struct Staged {
    place: PathBuf,
    file: NamedTempFile,
}

impl Staged {
    /// Begins a file for `place`, whose folder is there. What is there already keeps its permissions.
    pub(crate) fn new(place: &Path) -> io::Result<Staged> {
        // What a link leads to is replaced, not the link.
        let place = place.canonicalize().unwrap_or_else(|_| place.to_path_buf());
        let folder = match place.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let name = place.file_name().ok_or(io::ErrorKind::InvalidInput)?.to_string_lossy().into_owned();
        let prefix = format!(".{name}{MARK}");
        take_away_left(folder, &prefix);
        let mut builder = Builder::new();
        builder.prefix(&prefix);
        #[cfg(unix)]
        let builder = {
            use std::os::unix::fs::PermissionsExt;
            // As any new file: the user's mask applies.
            builder.permissions(std::fs::Permissions::from_mode(0o666))
        };
        let file = builder.tempfile_in(folder)?;
        if let Ok(meta) = place.metadata() {
            file.as_file().set_permissions(meta.permissions())?;
        }
        // Where the disk knows no locks, a name that is left stays.
        let _ = file.as_file().try_lock();
        Ok(Staged { place, file })
    }

    /// Where its text goes.
    pub(crate) fn file(&self) -> &File {
        self.file.as_file()
    }

    /// The place it is meant for.
    pub(crate) fn place(&self) -> &Path {
        &self.place
    }

    /// Sees its text safe on the disk.
    pub(crate) fn finish(&mut self) -> io::Result<()> {
        self.file.flush()?;
        self.file.as_file().sync_all()
    }

    /// Puts it in its place.
    pub(crate) fn put(self) -> io::Result<()> {
        let folder = self.place.parent().map(Path::to_path_buf);
        self.file.persist(&self.place)?;
        // The new name, too, is to outlast a power cut; where a folder cannot be opened, the system sees to it.
        if let Some(folder) = folder.and_then(|folder| File::open(folder).ok()) {
            let _ = folder.sync_all();
        }
        Ok(())
    }
}

/// Removes what a run that was killed has left of one file.
fn take_away_left(folder: &Path, prefix: &str) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.filter_map(Result::ok) {
        let ours = entry.file_name().to_str().is_some_and(|name| name.starts_with(prefix));
        if !ours || !entry.file_type().is_ok_and(|kind| kind.is_file()) {
            continue;
        }
        let Ok(file) = File::open(entry.path()) else { continue };
        if !matches!(file.try_lock(), Err(TryLockError::WouldBlock)) {
            // Nothing is lost if it stays.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Why a file could not be written, without the name it has in the making.
pub(crate) fn why(error: &io::Error) -> String {
    match error.raw_os_error() {
        Some(code) => io::Error::from_raw_os_error(code).to_string(),
        None => error.kind().to_string(),
    }
}
