//! Built-in unit types as files, for editors that can only go to a file.

#![allow(clippy::disallowed_methods)] // the one file that is written, on request

use std::path::{Path, PathBuf};
use std::{env, fs};

/// A read-only copy of a library file in the user's cache folder, made if it is not there yet.
/// Nothing if there is no such library file, or no place to put it.
///
/// This is the only thing that is ever written without being named, and only when the user asks to
/// go there. The folder bears the program's version, so that an older copy is never shown.
pub fn library_copy(name: &str) -> Option<PathBuf> {
    let (_, text) = model::LIBRARY.iter().find(|(file, _)| *file == name)?;
    write(&cache()?.join("drycall").join(env!("CARGO_PKG_VERSION")), name, text)
}

fn write(folder: &Path, name: &str, text: &str) -> Option<PathBuf> {
    let path = folder.join(name);
    if fs::metadata(&path).is_ok_and(|m| m.len() == text.len() as u64) {
        return Some(path);
    }
    fs::create_dir_all(folder).ok()?;
    // A copy that was cut short is read-only already, so it is replaced and not overwritten.
    let _ = fs::remove_file(&path);
    fs::write(&path, text).ok()?;
    let mut permissions = fs::metadata(&path).ok()?.permissions();
    permissions.set_readonly(true);
    let _ = fs::set_permissions(&path, permissions);
    Some(path)
}

/// The user's cache folder. Source: XDG Base Directory Specification 0.8; `LOCALAPPDATA` on Windows.
fn cache() -> Option<PathBuf> {
    let set = |name: &str| env::var_os(name).map(PathBuf::from).filter(|p| p.is_absolute());
    if cfg!(windows) {
        return set("LOCALAPPDATA");
    }
    set("XDG_CACHE_HOME").or_else(|| Some(set("HOME")?.join(".cache")))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_copy_is_made_once_read_only_and_mended_when_cut_short() {
        let folder = tempfile::tempdir().unwrap();
        let path = write(folder.path(), "a.yaml", "unit-types:\n").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "unit-types:\n");
        assert!(fs::metadata(&path).unwrap().permissions().readonly());
        let first = fs::metadata(&path).unwrap().modified().unwrap();
        assert_eq!(write(folder.path(), "a.yaml", "unit-types:\n"), Some(path.clone()));
        assert_eq!(fs::metadata(&path).unwrap().modified().unwrap(), first);
        write(folder.path(), "a.yaml", "unit-types: {}\n").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "unit-types: {}\n");
        assert_eq!(library_copy("no-such-type.yaml"), None);
    }
}
