//! What a path means, whatever wrote it: a file of the job, a client, the system.
//!
//! Jobs are written on Windows and reviewed anywhere, so none of this asks which system it runs on: the
//! forms of Windows are values here like any other.

use std::io::Result;
use std::path::{Path, PathBuf};

/// The path in the job that a file of the job names, `/` between names; nothing if it leads out of the
/// job folder. `\` separates names too, as whoever wrote it on Windows means it.
pub(crate) fn inside(written: &str) -> Option<String> {
    let path = written.replace('\\', "/");
    let drive = matches!(path.as_bytes(), [letter, b':', ..] if letter.is_ascii_alphabetic());
    if drive || path.starts_with('/') {
        return None;
    }
    let mut names = Vec::new();
    for name in path.split('/') {
        match name {
            "" | "." => {}
            ".." => return None,
            name => names.push(name),
        }
    }
    Some(names.join("/"))
}

/// Whether a file of the job names this path in it. Case does not count: naming it too often costs a
/// reading, and where the disk ignores case, so must we.
pub(crate) fn means(written: &str, path: &str) -> bool {
    inside(written).is_some_and(|inner| inner.to_lowercase() == path.to_lowercase())
}

/// Where a path really leads, links followed, in the plain form that people write.
///
/// # Errors
/// Those of the system, where there is no such place or it may not be looked at.
pub fn real(path: &Path) -> Result<PathBuf> {
    let real = path.canonicalize()?;
    Ok(real.to_str().map(plain).map_or(real.clone(), PathBuf::from))
}

/// A path as the disk spells it, if that differs in nothing but case. Where the disk ignores case, an
/// editor may call one file by several names, and they must not become several files.
pub fn as_spelled(path: &Path) -> PathBuf {
    let spelled = |path: &Path| respelled(path.to_str()?, real(path).ok()?.to_str()?);
    // What is not saved yet, or deleted by now, lies in a folder that has a spelling.
    let by_folder = || Some(Path::new(&spelled(path.parent()?)?).join(path.file_name()?));
    spelled(path).map(PathBuf::from).or_else(by_folder).unwrap_or_else(|| path.to_path_buf())
}

fn respelled(path: &str, real: &str) -> Option<String> {
    let same =
        path.trim_end_matches(['/', '\\']).to_lowercase() == real.trim_end_matches('\\').to_lowercase();
    same.then(|| real.to_owned())
}

/// Without the prefix `\\?\` that Windows puts before what it has looked up.
fn plain(path: &str) -> String {
    match path.strip_prefix(r"\\?\UNC\") {
        Some(network) => format!(r"\\{network}"),
        None => path.strip_prefix(r"\\?\").unwrap_or(path).to_owned(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn names_in_files_mean_the_same_everywhere() {
        for (written, path) in [
            ("closures.ics", Some("closures.ics")),
            ("./calendars//closures.ics", Some("calendars/closures.ics")),
            (r"calendars\closures.ics", Some("calendars/closures.ics")),
            (r".\weather\tmy.csv", Some("weather/tmy.csv")),
            ("..ics", Some("..ics")),
            ("2027:holidays.ics", Some("2027:holidays.ics")),
            ("../closures.ics", None),
            (r"calendars\..\..\closures.ics", None),
            ("/jobs/closures.ics", None),
            (r"\jobs\closures.ics", None),
            (r"C:\jobs\closures.ics", None),
            ("c:closures.ics", None),
            (r"\\server\share\closures.ics", None),
        ] {
            assert_eq!(inside(written).as_deref(), path, "{written}");
        }
        assert!(means(r".\Calendars\CLOSURES.ics", "calendars/closures.ics"));
        assert!(!means("../closures.ics", "closures.ics"));
    }

    #[test]
    fn only_case_is_taken_from_the_disk() {
        for (path, real, spelled) in [
            (r"C:\jobs\SITE.yaml", r"\\?\C:\Jobs\site.yaml", Some(r"C:\Jobs\site.yaml")),
            (r"C:\jobs\", r"\\?\C:\Jobs", Some(r"C:\Jobs")),
            (r"\\SERVER\share\a.yaml", r"\\?\UNC\server\Share\A.yaml", Some(r"\\server\Share\A.yaml")),
            ("/jobs/Éa.yaml", "/jobs/éA.yaml", Some("/jobs/éA.yaml")),
            // A mapped drive, a link.
            (r"Z:\a.yaml", r"\\?\UNC\server\share\a.yaml", None),
            ("/tmp/a.yaml", "/private/tmp/a.yaml", None),
        ] {
            assert_eq!(respelled(path, &plain(real)).as_deref(), spelled, "{path}");
        }
    }

    #[test]
    fn a_file_that_is_not_there_is_spelled_as_it_was_asked_for() {
        let folder = tempfile::tempdir().unwrap();
        for path in [folder.path().join("New.yaml"), folder.path().join("no/such/New.yaml")] {
            assert_eq!(as_spelled(&path), path);
        }
    }
}
