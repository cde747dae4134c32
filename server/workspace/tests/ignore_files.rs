//! What `.gitignore` hides, held against git, and what a stranger may put in the place of one.

#![allow(clippy::unwrap_used, clippy::disallowed_methods, clippy::indexing_slicing)]

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use workspace::{Why, Workspace};

const SITE: &str = "site: {name: Example, time-zone: UTC}\n";

/// A small generator: the same cases each time, or those of `DRYCALL_SEED`.
struct Dice(u64);

impl Dice {
    fn new() -> Dice {
        let seed =
            std::env::var("DRYCALL_SEED").ok().and_then(|seed| seed.parse().ok()).unwrap_or(20_270_101);
        println!("DRYCALL_SEED={seed}");
        Dice(seed | 1)
    }

    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) as usize % most
    }

    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }
}

const NAMES: &[&str] =
    &["a", "b", "ab", "ba", "a b", "#a", "!b", "a[b]", "a\\b", "x*y", "B", "é", "b-c", "]"];

const BITS: &[&str] = &[
    "a",
    "b",
    "ab",
    "*",
    "**",
    "**/",
    "/**/",
    "/",
    "?",
    "[ab]",
    "[!a]",
    "[^b]",
    "[a-c]",
    "[[:alpha:]]",
    "[]]",
    "[a",
    "\\",
    "\\#",
    "\\!",
    "\\*",
    " ",
    "\\ ",
    ".yaml",
    "*.yaml",
    "!",
    "#",
    "[[:nope:]]",
    "é",
    "-",
    "[-a]",
    "[\\]]",
    "]",
    "B",
    "[!]a-]",
    "[b-",
    "***",
    "a/",
    "/a",
];

/// A part of a path, with a wildcard here and there, so that many patterns match.
fn nearly(dice: &mut Dice, path: &str) -> String {
    let names: Vec<&str> = path.split('/').collect();
    let from = dice.below(names.len());
    let to = from + 1 + dice.below(names.len() - from);
    let mut pattern: Vec<String> = names[from..to].join("/").chars().map(String::from).collect();
    for _ in 0..dice.below(3) {
        let at = dice.below(pattern.len());
        dice.of(&["*", "?", "**", "[a-z]", "[!q]", "[[:print:]]"]).clone_into(&mut pattern[at]);
    }
    let (before, after) =
        (dice.of(&["", "", "/", "**/", "!", "!/", "*/"]), dice.of(&["", "", "/", "/**", "/*", " "]));
    format!("{before}{}{after}", pattern.concat())
}

fn write(root: &Path, path: &str, text: &str) {
    let path = root.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

/// The paths that git hides, of those given.
fn hidden_by_git(root: &Path, paths: &BTreeSet<String>) -> BTreeSet<String> {
    let mut git = Command::new("git")
        .args([
            "-c",
            "core.excludesFile=",
            "-c",
            "core.quotePath=false",
            "check-ignore",
            "--no-index",
            "--stdin",
            "-z",
        ])
        .current_dir(root)
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let all: String = paths.iter().map(|path| format!("{path}\0")).collect();
    git.stdin.take().unwrap().write_all(all.as_bytes()).unwrap();
    let output = git.wait_with_output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    said.split('\0').filter(|path| !path.is_empty()).map(str::to_owned).collect()
}

fn read(root: &Path) -> BTreeSet<String> {
    let workspace = Workspace::load(root, &|_, _| {});
    for (_, path) in workspace.files() {
        assert!(workspace.belongs(path), "{path}");
    }
    for left in workspace.left_out().iter().filter(|left| left.why == Why::Ignored) {
        assert!(!workspace.belongs(&left.path), "{left}");
    }
    workspace.files().into_iter().map(|(_, path)| path.to_owned()).collect()
}

/// Source: `git check-ignore` of git 2, which must be there.
#[test]
fn random_patterns_hide_what_git_says_they_hide() {
    if Command::new("git").arg("--version").output().is_err() {
        let required = std::env::var_os("DRYCALL_REQUIRE_ALL").is_some_and(|value| !value.is_empty());
        assert!(!required, "there is no git");
        // Past the harness, which keeps what a test prints that passes.
        let _ =
            writeln!(std::io::stderr(), "left out, since there is no git: random patterns of `.gitignore`");
        return;
    }
    let mut dice = Dice::new();
    let (mut hidden, mut shown) = (0, 0);
    // Most patterns hide little: as many folders as it takes to have hidden enough.
    for _ in 0..1_000 {
        if hidden > 200 && shown > 300 {
            break;
        }
        let folder = tempfile::tempdir().unwrap();
        let root = folder.path();
        assert!(Command::new("git").args(["init", "-q"]).current_dir(root).status().unwrap().success());
        let mut paths = BTreeSet::new();
        let mut folders = vec![String::new()];
        for _ in 0..30 {
            let names: Vec<&str> = (0..=dice.below(3)).map(|_| dice.of(NAMES)).collect();
            for depth in 1..names.len() {
                folders.push(format!("{}/", names[..depth].join("/")));
            }
            let path = format!("{}.yaml", names.join("/"));
            write(root, &path, "points: {}\n");
            paths.insert(path);
        }
        folders.sort_unstable();
        folders.dedup();
        for _ in 0..=dice.below(3) {
            let place = folders[dice.below(folders.len())].clone();
            let known: Vec<&String> = paths.iter().collect();
            let line = |dice: &mut Dice| match dice.below(3) {
                0 => (0..=dice.below(5)).map(|_| dice.of(BITS)).collect(),
                _ => {
                    let path = known[dice.below(known.len())];
                    nearly(dice, path)
                }
            };
            let end = dice.of(&["\n", "\r\n"]);
            let lines: Vec<String> = (0..=dice.below(5)).map(|_| line(&mut dice)).collect();
            write(root, &format!("{place}.gitignore"), &lines.join(end));
        }
        let by_git = hidden_by_git(root, &paths);
        let ours: BTreeSet<String> = paths.difference(&read(root)).cloned().collect();
        hidden += by_git.len();
        shown += paths.len() - by_git.len();
        let files: Vec<String> = folders
            .iter()
            .filter_map(|place| {
                Some((place, fs::read_to_string(root.join(format!("{place}.gitignore"))).ok()?))
            })
            .map(|(place, text)| format!("{place}.gitignore: {text:?}"))
            .collect();
        assert_eq!(ours, by_git, "{files:#?}");
    }
    assert!(hidden > 200 && shown > 300, "{hidden} hidden, {shown} shown");
}

fn job(extra: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "site.yaml", SITE);
    write(folder.path(), "points.yaml", "points: {}\n");
    for (path, text) in extra {
        write(folder.path(), path, text);
    }
    folder
}

fn left_out(root: &Path) -> Vec<String> {
    Workspace::load(root, &|_, _| {}).left_out().iter().map(ToString::to_string).collect()
}

#[test]
fn only_gitignore_inside_the_job_is_obeyed() {
    let folder = job(&[(".ignore", "*\n"), (".git/info/exclude", "*\n"), (".rgignore", "*\n")]);
    assert_eq!(read(folder.path()).len(), 2);
    let outer = tempfile::tempdir().unwrap();
    write(outer.path(), ".gitignore", "*\n");
    write(outer.path(), "job/site.yaml", SITE);
    assert_eq!(read(&outer.path().join("job")).len(), 1);
}

#[test]
fn what_is_left_out_is_told() {
    let folder =
        job(&[(".gitignore", "old.yaml\nbuild/\n"), ("old.yaml", ""), ("build/a.yaml", ""), (".b.yaml", "")]);
    assert_eq!(
        left_out(folder.path()),
        [
            "`.b.yaml` is hidden: its name begins with a dot",
            "`build` is hidden by `.gitignore`",
            "`old.yaml` is hidden by `.gitignore`",
        ]
    );
    let workspace = Workspace::load(folder.path(), &|_, _| {});
    assert_eq!(workspace.files_read(), 2);
    assert!(workspace.left_out().iter().all(|left| !left.may_matter()));
    write(folder.path(), ".gitignore", "*\n");
    let workspace = Workspace::load(folder.path(), &|_, _| {});
    assert_eq!(workspace.files_read(), 0);
    assert!(workspace.left_out().iter().any(|left| left.path == "site.yaml" && left.may_matter()));
}

#[test]
fn an_ignore_file_that_is_too_much_is_not_obeyed_and_told() {
    let long = "x\n".repeat(600_000);
    let folder = job(&[(".gitignore", &long)]);
    assert_eq!(left_out(folder.path()), ["`.gitignore` is not obeyed: it is larger than 1 MiB"]);
    let folder = job(&[(".gitignore", &"*a\n".repeat(3_000))]);
    assert!(left_out(folder.path())[0].contains("more than 2,000 patterns"));
    let folder = job(&[(".gitignore", &"**/".repeat(100_000))]);
    assert!(left_out(folder.path())[0].contains("more than 1,000 letters"));
}

/// Each of these takes longer than anybody waits where every way of sharing a name out among stars is tried.
#[test]
fn rows_of_stars_end() {
    let stars = format!("{}b\n", "*a".repeat(400));
    let folders = format!("{}b\n", "**/a".repeat(200));
    let folder = job(&[(".gitignore", &format!("{stars}{folders}"))]);
    write(folder.path(), &format!("{}.yaml", "a".repeat(200)), "points: {}\n");
    write(folder.path(), &format!("{}a.yaml", "a/".repeat(100)), "points: {}\n");
    assert_eq!(read(folder.path()).len(), 4);
}

#[cfg(unix)]
mod unix {
    use super::{SITE, job, left_out, read, write};
    use std::os::unix::fs::{PermissionsExt, symlink};
    use std::process::Command;
    use workspace::Workspace;

    #[test]
    fn a_pipe_or_a_link_is_not_opened() {
        for path in [".gitignore", "pipe.yaml"] {
            let folder = job(&[]);
            assert!(Command::new("mkfifo").arg(folder.path().join(path)).status().unwrap().success());
            assert_eq!(read(folder.path()).len(), 2);
            let told = left_out(folder.path());
            assert!(told[0].starts_with(&format!("`{path}` is")), "{told:?}");
        }
        let folder = job(&[]);
        symlink("/dev/zero", folder.path().join(".gitignore")).unwrap();
        assert_eq!(left_out(folder.path()), ["`.gitignore` is not obeyed: it is a link"]);
        let outside = tempfile::tempdir().unwrap();
        write(outside.path(), "hide", "*\n");
        let folder = job(&[]);
        symlink(outside.path().join("hide"), folder.path().join(".gitignore")).unwrap();
        assert_eq!(read(folder.path()).len(), 2);
    }

    #[test]
    fn links_and_odd_names_are_told_and_may_matter() {
        use std::os::unix::ffi::OsStrExt;
        let folder = job(&[]);
        let odd = std::ffi::OsStr::from_bytes(b"caf\xe9.yaml");
        std::fs::write(folder.path().join(odd), "points: {}\n").unwrap();
        symlink("points.yaml", folder.path().join("more.yaml")).unwrap();
        symlink("/", folder.path().join("all")).unwrap();
        let workspace = Workspace::load(folder.path(), &|_, _| {});
        let told: Vec<(&str, bool)> =
            workspace.left_out().iter().map(|left| (left.path.as_str(), left.may_matter())).collect();
        assert_eq!(told, [("all", false), ("caf\u{fffd}.yaml", true), ("more.yaml", true)]);
    }

    #[test]
    fn a_linked_site_makes_a_job_and_is_told() {
        let (folder, outside) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        write(outside.path(), "site.yaml", SITE);
        write(folder.path(), "points.yaml", "points: {}\n");
        symlink(outside.path().join("site.yaml"), folder.path().join("site.yaml")).unwrap();
        assert_eq!(workspace::find_root(folder.path()).as_deref(), Some(folder.path()));
        assert_eq!(workspace::find_jobs(folder.path()), [folder.path()]);
        let workspace = Workspace::load(folder.path(), &|_, _| {});
        assert!(workspace.left_out().iter().any(|left| left.path == "site.yaml" && left.may_matter()));
    }

    #[test]
    fn what_may_not_be_read_is_told() {
        let folder = job(&[("closed/a.yaml", "points: {}\n"), ("b.yaml", "points: {}\n")]);
        for (path, mode) in [("closed", 0o000), ("b.yaml", 0o000)] {
            std::fs::set_permissions(folder.path().join(path), PermissionsExt::from_mode(mode)).unwrap();
        }
        // Who may read everything, as in a container, cannot be refused.
        let refused = std::fs::read_dir(folder.path().join("closed")).is_err();
        let workspace = Workspace::load(folder.path(), &|_, _| {});
        let told: Vec<&str> =
            workspace.left_out().iter().filter(|l| l.may_matter()).map(|l| l.path.as_str()).collect();
        assert_eq!(told, if refused { vec!["b.yaml", "closed"] } else { vec![] });
        std::fs::set_permissions(folder.path().join("closed"), PermissionsExt::from_mode(0o755)).unwrap();
    }
}
