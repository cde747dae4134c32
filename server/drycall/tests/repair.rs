//! `drycall repair` as a user runs it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

mod left_out;

use left_out::leave_out;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/saltmarsh-records-centre/with-mistakes")
}

/// A copy of the sample; `crlf` writes every line with both characters.
fn copy(crlf: bool) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy_into(&sample(), folder.path(), crlf);
    folder
}

fn copy_into(from: &Path, to: &Path, crlf: bool) {
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            fs::create_dir(&target).unwrap();
            copy_into(&entry.path(), &target, crlf);
        } else {
            let text = fs::read_to_string(entry.path()).unwrap();
            let yaml = is_yaml(&entry.path());
            fs::write(target, if crlf && yaml { text.replace('\n', "\r\n") } else { text }).unwrap();
        }
    }
}

/// A calendar of RFC 5545 has line ends of its own.
fn is_yaml(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension == "yaml")
}

/// What the program prints, run in a folder.
fn drycall(folder: &Path, arguments: &[&str]) -> String {
    let output =
        Command::new(env!("CARGO_BIN_EXE_drycall")).args(arguments).current_dir(folder).output().unwrap();
    String::from_utf8(output.stdout).unwrap()
}

/// The diff of each repair that is shown: its head and as many lines of each hunk as that says.
fn diffs(shown: &str) -> Vec<String> {
    let (mut diffs, mut left): (Vec<String>, [u32; 2]) = (Vec::new(), [0, 0]);
    let mut of_a_diff = false;
    for line in shown.split_inclusive('\n') {
        let in_hunk = left != [0, 0] || line.starts_with('\\');
        if in_hunk {
            match line.as_bytes()[0] {
                b'-' => left[0] -= 1,
                b'+' => left[1] -= 1,
                b' ' => left = left.map(|n| n - 1),
                _ => {}
            }
        } else if line.starts_with("@@ ") {
            let count = |part: &str| part.split(',').nth(1).unwrap().parse().unwrap();
            let parts: Vec<&str> = line.split(' ').collect();
            left = [count(parts[1]), count(parts[2])];
        } else if line.starts_with("--- ") && !of_a_diff {
            diffs.push(String::new());
        }
        of_a_diff =
            in_hunk || line.starts_with("@@ ") || line.starts_with("--- ") || line.starts_with("+++ ");
        if of_a_diff {
            diffs.last_mut().unwrap().push_str(line);
        }
    }
    diffs
}

fn findings(folder: &Path) -> usize {
    drycall(folder, &["review"]).lines().filter(|line| line.ends_with(']') && !line.starts_with(' ')).count()
}

/// The findings of a job, by what they are.
fn ids(folder: &Path) -> Vec<String> {
    let review: serde_json::Value =
        serde_json::from_str(&drycall(folder, &["review", "--format", "json"])).unwrap();
    let findings = review["findings"].as_array().unwrap();
    findings.iter().map(|finding| finding["id"].as_str().unwrap().to_owned()).collect()
}

/// `patch` takes every diff, and a finding is gone then; another may show that it had held back.
#[test]
fn patch_applies_every_diff_that_is_shown() {
    if Command::new("patch").arg("--version").output().is_err() {
        return leave_out("patch_applies_every_diff_that_is_shown", "there is no `patch`");
    }
    for crlf in [false, true] {
        let before = copy(crlf);
        let had = ids(before.path());
        let diffs = diffs(&drycall(before.path(), &["repair"]));
        assert!(diffs.len() > 20, "{}", diffs.len());
        for diff in diffs {
            let folder = copy(crlf);
            fs::write(folder.path().join("change.diff"), &diff).unwrap();
            let patch = ["--binary", "-p0", "-i", "change.diff"];
            let done = Command::new("patch").args(patch).current_dir(folder.path()).output().unwrap();
            assert!(done.status.success(), "{}{diff}", String::from_utf8_lossy(&done.stdout));
            let has = ids(folder.path());
            assert!(had.iter().any(|id| !has.contains(id)), "{diff}");
        }
    }
}

/// What is written keeps its line ends and its permissions, and leaves nothing else behind.
#[test]
fn safe_repairs_are_written_in_place() {
    for crlf in [false, true] {
        let folder = copy(crlf);
        let names = |folder: &Path| {
            let mut names: Vec<PathBuf> =
                fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
            names.sort();
            names
        };
        let (had, were) = (findings(folder.path()), names(folder.path()));
        let permissions = |folder: &Path| -> Vec<fs::Permissions> {
            names(folder).iter().map(|path| path.metadata().unwrap().permissions()).collect()
        };
        let allowed = permissions(folder.path());
        let said = drycall(folder.path(), &["repair", "--write"]);
        assert!(findings(folder.path()) < had, "{said}");
        assert_eq!(names(folder.path()), were);
        assert_eq!(permissions(folder.path()), allowed);
        for path in names(folder.path()).iter().filter(|path| is_yaml(path)) {
            let text = fs::read_to_string(path).unwrap();
            let breaks = |with: &str| text.matches(with).count();
            assert_eq!(breaks("\r\n"), if crlf { breaks("\n") } else { 0 }, "{}", path.display());
        }
        assert!(drycall(folder.path(), &["repair", "--write"]).starts_with("nothing that is safe"));
    }
}
