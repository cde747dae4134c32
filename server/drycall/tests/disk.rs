//! What the program reads of a stranger's folder, and what it leaves of one when writing fails half-way.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const SITE: &str = "site: {name: Example, time-zone: UTC}\n";

fn drycall(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_drycall")).args(arguments).current_dir(folder).output().unwrap()
}

fn said(output: &Output) -> (Option<i32>, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code(), text(&output.stdout), text(&output.stderr))
}

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (path, text) in files {
        let path = folder.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn a_review_says_what_it_read() {
    let job = folder(&[
        ("site.yaml", SITE),
        ("a.yaml", "points: {}\n"),
        (".gitignore", "old/\n"),
        ("old/b.yaml", "x"),
    ]);
    let (code, out, _) = said(&drycall(job.path(), &["review"]));
    assert_eq!(code, Some(0), "{out}");
    assert!(out.ends_with("2 files read, 1 left out:\n  `old` is hidden by `.gitignore`\n"), "{out}");
    let (_, json, _) = said(&drycall(job.path(), &["review", "--format", "json"]));
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let files =
        serde_json::json!({"read": 2, "complete": true, "left-out": [{"path": "old", "why": "ignored"}]});
    assert_eq!(json["files"], files);
}

/// What was not read is never passed.
#[test]
fn a_review_of_a_part_is_no_review() {
    let hidden = folder(&[("site.yaml", SITE), (".gitignore", "*\n")]);
    let (code, _, err) = said(&drycall(hidden.path(), &["review"]));
    assert_eq!(code, Some(2));
    assert!(err.contains("no file was read; `site.yaml` is hidden by `.gitignore`"), "{err}");
    let site_only = folder(&[("site.yaml", SITE), (".gitignore", "site.yaml\n"), ("a.yaml", "points: {}\n")]);
    for arguments in [&["review"][..], &["review", "--format", "json"], &["repair"], &["repair", "--write"]] {
        let (code, _, err) = said(&drycall(site_only.path(), arguments));
        assert_eq!(code, Some(2), "{arguments:?}");
        assert!(err.contains("not all of the job could be read: `site.yaml` is hidden"), "{err}");
    }
    let empty = folder(&[("site.yaml", "")]);
    let (code, out, _) = said(&drycall(empty.path(), &["review"]));
    assert_eq!(code, Some(1));
    assert!(out.contains("site.yaml:1:1: warning: `site.yaml` is empty"), "{out}");
}

#[cfg(unix)]
#[test]
fn links_pipes_and_names_that_are_no_text_are_told() {
    use std::os::unix::ffi::OsStrExt;
    let job = folder(&[("a.yaml", "points: {}\n"), ("real", SITE)]);
    std::os::unix::fs::symlink("real", job.path().join("site.yaml")).unwrap();
    let (code, _, err) = said(&drycall(job.path(), &["review"]));
    assert_eq!((code, err.contains("`site.yaml` is a link")), (Some(2), true), "{err}");
    let job = folder(&[("site.yaml", SITE)]);
    fs::write(job.path().join(std::ffi::OsStr::from_bytes(b"a\xe9\x1b[2J.yaml")), "points: {}\n").unwrap();
    assert!(Command::new("mkfifo").arg(job.path().join("p.yaml")).status().unwrap().success());
    let (code, out, err) = said(&drycall(job.path(), &["review"]));
    assert_eq!(code, Some(2));
    for text in [out, err] {
        assert!(text.contains("`p.yaml` is a pipe or a device") && text.contains("not Unicode"), "{text}");
        assert!(!text.contains('\u{1b}'), "{text}");
    }
}

/// A job with a repair that is safe.
const FAULTY: &[(&str, &str)] = &[
    ("site.yaml", SITE),
    ("points.yaml", "points:\n  # deviation: point-unused,\n  A: {use: monitor, description: x}\n"),
    (
        "more/points.yaml",
        "schedules:\n  s:\n    values: occupancy\n    default: unoccupied\n    week: {mon-fri: [08:00-12:00, 11:00-17:00]}\n",
    ),
];

#[test]
fn a_repair_writes_all_and_leaves_nothing_else() {
    let job = folder(FAULTY);
    // What a run that was killed has left, and what somebody else is writing.
    fs::write(job.path().join("more/.points.yaml.drycall-Ab1234"), "half").unwrap();
    let locked = fs::File::create(job.path().join("more/.points.yaml.drycall-Cd5678")).unwrap();
    locked.lock().unwrap();
    let (_, out, err) = said(&drycall(job.path(), &["repair", "--write"]));
    assert!(out.contains("more/points.yaml:5"), "{out}{err}");
    assert_eq!(names(&job.path().join("more")), [".points.yaml.drycall-Cd5678", "points.yaml"]);
    assert!(fs::read_to_string(job.path().join("more/points.yaml")).unwrap().contains("[08:00-17:00]"));
}

#[cfg(unix)]
#[test]
fn a_file_with_two_names_is_not_split() {
    let job = folder(FAULTY);
    let other = tempfile::tempdir().unwrap();
    let path = job.path().join("more/points.yaml");
    fs::hard_link(&path, other.path().join("same.yaml")).unwrap();
    let before = fs::read(&path).unwrap();
    let (code, _, err) = said(&drycall(job.path(), &["repair", "--write"]));
    assert_eq!((code, err.contains("more/points.yaml has a second name")), (Some(2), true), "{err}");
    assert_eq!(
        (fs::read(&path).unwrap(), names(&job.path().join("more"))),
        (before, vec!["points.yaml".to_owned()])
    );
}

#[test]
fn a_report_replaces_its_file_as_a_whole_and_no_file_of_the_job() {
    let job = folder(FAULTY);
    let out = |file: &str| said(&drycall(job.path(), &["review", "--out", file]));
    fs::write(job.path().join("report.txt"), "old").unwrap();
    assert_eq!(out("report.txt").0, Some(1));
    assert!(fs::read_to_string(job.path().join("report.txt")).unwrap().contains("[windows-overlap]"));
    assert_eq!(names(job.path()), ["more", "points.yaml", "report.txt", "site.yaml"]);
    let (code, _, err) = out("report.yaml");
    assert_eq!((code, err.contains("would be read as a file of the job")), (Some(2), true), "{err}");
    fs::hard_link(job.path().join("points.yaml"), job.path().join("h.txt")).unwrap();
    let (code, _, err) = out("h.txt");
    assert_eq!((code, err.contains("is a file of the job")), (Some(2), true), "{err}");
    assert_eq!(fs::read_to_string(job.path().join("points.yaml")).unwrap(), FAULTY[1].1);
    assert_eq!(out("no/such/report.txt").0, Some(2));
}

#[test]
fn a_new_job_is_made_whole() {
    let empty = tempfile::tempdir().unwrap();
    let made = ["points.yaml", "schedules.yaml", "site.yaml", "units.yaml", "zones.yaml"];
    for folder in ["a", "b/c", "."] {
        let here = if folder == "." {
            tempfile::tempdir().unwrap()
        } else {
            tempfile::tempdir_in(empty.path()).unwrap()
        };
        let (code, _, err) = said(&drycall(here.path(), &["new", folder]));
        assert_eq!(code, Some(0), "{err}");
        assert_eq!(names(&here.path().join(folder)), made);
        assert_eq!(said(&drycall(&here.path().join(folder), &["review"])).0, Some(0));
    }
}

/// On a disk that is full, neither `new` nor `repair` nor a report leaves half of anything. The size of a file is
/// limited instead, which fails at the same place.
#[cfg(unix)]
#[test]
fn what_cannot_be_written_leaves_nothing() {
    let program = env!("CARGO_BIN_EXE_drycall");
    let limited = |folder: &Path, command: &str| {
        let script = format!("trap '' XFSZ; ulimit -f 0; {program} {command}");
        said(&Command::new("bash").args(["-c", &script]).current_dir(folder).output().unwrap())
    };
    let empty = tempfile::tempdir().unwrap();
    let (code, _, err) = limited(empty.path(), "new a/job");
    assert_eq!((code, err.contains("a/job: ") && err.contains("nothing was made")), (Some(2), true), "{err}");
    assert!(names(empty.path()).is_empty());
    let job = folder(FAULTY);
    fs::write(job.path().join("report.txt"), "old").unwrap();
    let (code, _, err) = limited(job.path(), "repair --write");
    assert_eq!((code, err.contains("nothing was written")), (Some(2), true), "{err}");
    assert!(!err.contains(".drycall-"), "{err}");
    let (code, ..) = limited(job.path(), "review --out report.txt");
    assert_eq!(code, Some(2));
    assert_eq!(fs::read_to_string(job.path().join("report.txt")).unwrap(), "old");
    assert_eq!(names(job.path()), ["more", "points.yaml", "report.txt", "site.yaml"]);
    assert_eq!(fs::read_to_string(job.path().join("more/points.yaml")).unwrap(), FAULTY[2].1);
}
