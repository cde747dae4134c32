//! `drycall new`: a small job that reviews clean.

use crate::staged::why;
use std::fs::File;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, TempDir};

const FILES: [(&str, &str); 5] = [
    ("site.yaml", include_str!("template/site.yaml")),
    ("schedules.yaml", include_str!("template/schedules.yaml")),
    ("zones.yaml", include_str!("template/zones.yaml")),
    ("units.yaml", include_str!("template/units.yaml")),
    ("points.yaml", include_str!("template/points.yaml")),
];

/// Makes the folder and the job in it, as a whole or not at all; a folder that has anything in it is left alone.
pub(crate) fn new_job(folder: &Path) -> Result<String, String> {
    let shown = folder.display();
    let made = match std::fs::read_dir(folder) {
        Ok(mut entries) => {
            if entries.next().is_some() {
                return Err(format!("{shown} is not empty; name a folder that does not exist yet"));
            }
            into_empty(folder)
        }
        Err(_) => at_once(folder),
    };
    made.map_err(|e| format!("{shown}: {}; nothing was made", why(&e)))?;
    let shown = shown.to_string();
    let shown = syntax::visible(&shown);
    Ok(format!("made a job in {shown}; review it with `drycall review {shown}`"))
}

/// Writes the files into a folder beside the place, which is given its name when they are all there.
fn at_once(folder: &Path) -> io::Result<()> {
    let (above, made) = make_above(folder)?;
    let moved = staged_in(&above, folder).and_then(|staged| {
        std::fs::rename(staged.path(), folder)?;
        // Its name is another now: there is nothing to take away.
        let _ = staged.keep();
        Ok(())
    });
    if moved.is_err() {
        for folder in made {
            let _ = std::fs::remove_dir(folder);
        }
    }
    moved
}

/// The same for a folder that is there, and may be the one the user is in: the files are given their names one by
/// one, and taken back if one cannot be.
fn into_empty(folder: &Path) -> io::Result<()> {
    let staged = staged_in(folder, folder)?;
    for (number, (name, _)) in FILES.iter().enumerate() {
        if let Err(error) = std::fs::rename(staged.path().join(name), folder.join(name)) {
            for (name, _) in FILES.iter().take(number) {
                let _ = std::fs::remove_file(folder.join(name));
            }
            return Err(error);
        }
    }
    staged.close()
}

/// A folder in `above` with the files in it, which is taken away again unless it is kept.
fn staged_in(above: &Path, folder: &Path) -> io::Result<TempDir> {
    let name =
        folder.file_name().map_or_else(|| "job".to_owned(), |name| name.to_string_lossy().into_owned());
    let prefix = format!(".{name}.drycall-");
    let mut builder = Builder::new();
    builder.prefix(&prefix);
    #[cfg(unix)]
    let builder = {
        use std::os::unix::fs::PermissionsExt;
        // As any new folder: the user's mask applies.
        builder.permissions(std::fs::Permissions::from_mode(0o777))
    };
    let staged = builder.tempdir_in(above)?;
    for (name, text) in FILES {
        let mut file = File::create(staged.path().join(name))?;
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
    }
    Ok(staged)
}

/// The folder above, made where it is not there, and the folders that were made for it, the innermost first.
fn make_above(folder: &Path) -> io::Result<(PathBuf, Vec<PathBuf>)> {
    let above = match folder.parent() {
        Some(above) if !above.as_os_str().is_empty() => above.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let made = above.ancestors().take_while(|folder| !folder.as_os_str().is_empty() && !folder.exists());
    let made: Vec<PathBuf> = made.map(Path::to_path_buf).collect();
    std::fs::create_dir_all(&above)?;
    Ok((above, made))
}
