//! `drycall new`: a small job that reviews clean.

use std::path::Path;

const FILES: [(&str, &str); 5] = [
    ("site.yaml", include_str!("template/site.yaml")),
    ("schedules.yaml", include_str!("template/schedules.yaml")),
    ("zones.yaml", include_str!("template/zones.yaml")),
    ("units.yaml", include_str!("template/units.yaml")),
    ("points.yaml", include_str!("template/points.yaml")),
];

/// Makes the folder and the job in it; a folder that has anything in it is left alone.
pub(crate) fn new_job(folder: &Path) -> Result<String, String> {
    let shown = folder.display();
    if std::fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_some()) {
        return Err(format!("{shown} is not empty; name a folder that does not exist yet"));
    }
    std::fs::create_dir_all(folder).map_err(|e| format!("{shown}: {e}"))?;
    for (name, text) in FILES {
        std::fs::write(folder.join(name), text).map_err(|e| format!("{shown}/{name}: {e}"))?;
    }
    let shown = shown.to_string();
    let shown = syntax::visible(&shown);
    Ok(format!("made a job in {shown}; review it with `drycall review {shown}`"))
}
