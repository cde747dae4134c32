//! The samples and the generated campus, through the program as a user runs it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

mod left_out;

use left_out::leave_out;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

fn drycall(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_drycall")).args(arguments).current_dir(root()).output().unwrap()
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn review(job: &str) -> Value {
    serde_json::from_str(&text(&drycall(&["review", job, "--format", "json"]))).unwrap()
}

const CLEAN: &str = "samples/saltmarsh-records-centre/clean";
const MISTAKES: &str = "samples/saltmarsh-records-centre/with-mistakes";

#[test]
fn the_clean_job_is_clean() {
    let output = drycall(&["review", CLEAN]);
    assert_eq!(output.status.code(), Some(0));
    insta::assert_snapshot!("clean", text(&output));
}

#[test]
fn the_job_with_mistakes_shows_them() {
    let output = drycall(&["review", MISTAKES]);
    assert_eq!(output.status.code(), Some(1));
    insta::assert_snapshot!("with-mistakes", text(&output));
}

/// The picture in the README is the review's head, its first finding and its summary. `DRYCALL_UPDATE=1` puts it there.
#[test]
fn the_picture_in_the_readme_is_current() {
    const MARKS: [&str; 2] = ["<!-- review-picture -->\n", "<!-- /review-picture -->"];
    let samples = root().join("samples/saltmarsh-records-centre");
    let output = Command::new(env!("CARGO_BIN_EXE_drycall"))
        .args(["review", "with-mistakes", "--format", "text"])
        .env("COLUMNS", "100")
        .current_dir(&samples)
        .output();
    let review = text(&output.unwrap());
    let (summary, second) = (review.find("\nRequirements\n").unwrap(), "\n  error: ");
    let first = review.find(second).unwrap() + 1;
    let next = first + review[first..].find(second).unwrap() + 1;
    let picture = format!(
        "```text\n$ cd samples/saltmarsh-records-centre && drycall review with-mistakes\n{}…\n{}```\n",
        &review[..next],
        &review[summary..]
    );
    let readme = readme();
    let [from, to] = MARKS.map(|mark| readme.find(mark).unwrap());
    let from = from + MARKS[0].len();
    if std::env::var_os("DRYCALL_UPDATE").is_some() {
        let new = format!("{}{picture}{}", &readme[..from], &readme[to..]);
        std::fs::write(root().join("README.md"), new).unwrap();
    } else {
        assert_eq!(readme[from..to], picture, "run this with DRYCALL_UPDATE=1");
    }
}

fn readme() -> String {
    std::fs::read_to_string(root().join("README.md")).unwrap()
}

/// What the README shows of each section is the example that `drycall explain` shows, which reviews without an error.
#[test]
fn the_readme_has_an_example_of_each_section() {
    let readme = readme();
    for section in reports::EXAMPLE.trim_end().split("\n\n") {
        assert!(readme.contains(section), "not in the README:\n{section}");
    }
    let wide: Vec<&str> = readme.lines().filter(|line| line.chars().count() > 120).collect();
    assert!(wide.is_empty(), "wider than 120 columns: {wide:#?}");
}

/// `mistakes.md` beside the sample says what was planted where. What follows from a mistake is not
/// in the table; the snapshot pins it.
#[test]
fn every_planted_mistake_is_found_where_it_was_planted() {
    let table = std::fs::read_to_string(root().join("samples/saltmarsh-records-centre/mistakes.md")).unwrap();
    let planted: Vec<(String, u64, String)> = table
        .lines()
        .filter_map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
            Some(((*cells.first()?).to_owned(), cells.get(1)?.parse().ok()?, (*cells.get(2)?).to_owned()))
        })
        .collect();
    assert!(planted.len() >= 25, "{}", planted.len());
    let review = review(MISTAKES);
    let found: Vec<(String, u64, String)> = review["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| {
            let string = |v: &Value| v.as_str().unwrap().to_owned();
            (string(&f["file"]), f["range"]["from"]["line"].as_u64().unwrap(), string(&f["check"]))
        })
        .collect();
    let missing: Vec<_> = planted.iter().filter(|p| !found.contains(p)).collect();
    assert!(missing.is_empty(), "missing {missing:#?}");
}

/// `tests/bench/campus.py` plants known mistakes: each must be reported at its unit, and no error
/// elsewhere.
#[test]
fn a_campus_of_a_thousand_units() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("campus");
    let python = std::env::var("DRYCALL_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    // It needs no packages.
    if !Command::new(&python).arg("--version").output().is_ok_and(|output| output.status.success()) {
        return leave_out("a_campus_of_a_thousand_units", "there is no `python3` to write it");
    }
    let made = Command::new(python)
        .arg(root().join("tests/bench/campus.py"))
        .args(["--units", "1000", "--out"])
        .arg(&job)
        .output()
        .expect("the campus is written");
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let expected: Value =
        serde_json::from_str(&std::fs::read_to_string(job.join("expect.json")).unwrap()).unwrap();
    let review = review(job.to_str().unwrap());
    let errors: Vec<&Value> =
        review["findings"].as_array().unwrap().iter().filter(|f| f["severity"] == "error").collect();
    // Every name of a unit's own holds its number.
    let about = |finding: &Value, number: &str| {
        finding["message"].as_str().unwrap().to_lowercase().contains(number)
            || finding["because"]
                .as_array()
                .unwrap()
                .iter()
                .any(|b| b["text"].as_str().unwrap().contains(number))
            || at_line(&job, finding).to_lowercase().contains(number)
    };
    let mistakes = expected["mistakes"].as_array().unwrap();
    assert_eq!(mistakes.len(), 50);
    for mistake in mistakes {
        let number = mistake["unit"].as_str().unwrap().trim_start_matches("U-");
        let hit = errors.iter().any(|f| f["check"] == mistake["check"] && about(f, number));
        assert!(hit, "{mistake} is not reported");
    }
    let planted: Vec<&str> =
        mistakes.iter().map(|m| m["unit"].as_str().unwrap().trim_start_matches("U-")).collect();
    let stray: Vec<&&Value> = errors.iter().filter(|f| !planted.iter().any(|n| about(f, n))).collect();
    assert!(stray.is_empty(), "{stray:#?}");
}

/// The lines a finding covers, and the name of its entry above them.
fn at_line(job: &Path, finding: &Value) -> String {
    let text = std::fs::read_to_string(job.join(finding["file"].as_str().unwrap())).unwrap();
    let line = finding["range"]["from"]["line"].as_u64().unwrap() as usize;
    let lines: Vec<&str> = text.lines().take(line).collect();
    let head = lines.iter().rev().find(|l| l.starts_with("  ") && !l.starts_with("   ")).copied();
    format!("{} {}", lines.last().copied().unwrap_or(""), head.unwrap_or(""))
}

#[test]
fn a_new_job_reviews_clean() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job");
    let job = job.to_str().unwrap();
    assert_eq!(drycall(&["new", job]).status.code(), Some(0));
    let review = drycall(&["review", job, "--level", "note"]);
    assert_eq!(review.status.code(), Some(0), "{}", text(&review));
    assert_eq!(drycall(&["new", job]).status.code(), Some(2), "a folder in use is left alone");
}

/// Only what is safe is written, only where it stands, and a second run has nothing left to do.
#[test]
fn repairs_are_shown_and_the_safe_ones_written() {
    let clean = drycall(&["repair", CLEAN]);
    assert_eq!((clean.status.code(), text(&clean).as_str()), (Some(0), "nothing is found wrong\n"));
    let shown = drycall(&["repair", MISTAKES]);
    let json = review(MISTAKES);
    let proven: usize =
        json["findings"].as_array().unwrap().iter().map(|f| f["repairs"].as_array().unwrap().len()).sum();
    let titles = text(&shown).lines().filter(|l| l.starts_with("  ") && !l.starts_with("   ")).count();
    assert_eq!(proven, titles, "the report has what the command shows");
    assert_eq!(shown.status.code(), Some(1));
    assert!(text(&shown).lines().filter(|l| l.starts_with('+') && !l.starts_with("+++")).count() > 20);
    let folder = tempfile::tempdir().unwrap();
    let copied =
        Command::new("cp").arg("-r").arg(root().join(MISTAKES)).arg(folder.path().join("job")).status();
    assert!(copied.unwrap().success());
    let job = folder.path().join("job");
    let job = job.to_str().unwrap();
    let before = review(job)["findings"].as_array().unwrap().len();
    assert_eq!(drycall(&["repair", job, "--write"]).status.code(), Some(1), "faults are left to decide on");
    let after = review(job)["findings"].as_array().unwrap().len();
    assert!(after < before, "{before} findings before, {after} after");
    assert!(text(&drycall(&["repair", job, "--write"])).starts_with("nothing that is safe"));
}

/// A report goes over no file that it is about.
#[test]
fn no_report_is_written_over_the_job() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job");
    assert!(Command::new("cp").arg("-r").arg(root().join(MISTAKES)).arg(&job).status().unwrap().success());
    for name in ["units.yaml", "points/../units.yaml", "closures.ics"] {
        let file = job.join(name);
        let before = std::fs::read(&file).unwrap();
        let output = drycall(&["review", job.to_str().unwrap(), "--out", file.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        assert!(String::from_utf8_lossy(&output.stderr).contains("is a file of the job"));
        assert_eq!(std::fs::read(&file).unwrap(), before, "{name}");
    }
    let report = job.join("review.txt");
    assert_eq!(
        drycall(&["review", job.to_str().unwrap(), "--out", report.to_str().unwrap()]).status.code(),
        Some(1)
    );
    assert!(report.is_file());
}

/// Many editors add the option; that its input ends at once is no orderly end.
#[test]
fn the_server_takes_the_usual_option() {
    assert_eq!(drycall(&["serve", "--stdio"]).status.code(), Some(1));
}

#[test]
fn a_week_outside_the_review_period_is_told() {
    let unit = ["hours", "CR-1", "--job", MISTAKES, "--week"];
    let outside = drycall(&[&unit[..], &["1999-01-01"]].concat());
    assert!(text(&outside).contains("the week from 1999-01-01 lies outside the review period"));
    assert!(!text(&outside).contains("blank"));
    assert!(
        text(&drycall(&[&unit[..], &["2026-12-28"]].concat())).contains("blank outside the review period")
    );
}

#[test]
fn what_cannot_be_done_is_said() {
    for (arguments, words) in [
        (&["review", "/"][..], "site.yaml"),
        (&["explain", "dehumidification-never-run"], "Did you mean `dehumidification-never-runs`?"),
        (&["explain", "yaml-broken"], "It was renamed to `syntax-error`."),
        (&["explain", "units.input"], "Did you mean `units.inputs`?"),
        (&["review", "--form", "json"], "`--form` was renamed to `--format`"),
        (&["drift", "stacks"], "`drift` was renamed to `predict`"),
        (&["chart", "HP-9", "--job", CLEAN], "Did you mean"),
        (&["hours", "HP-1", "--job", CLEAN, "--week", "June"], "year-month-day"),
    ] {
        let output = drycall(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let message = String::from_utf8(output.stderr).unwrap();
        assert!(message.contains(words), "{arguments:?}: {message}");
    }
}

#[test]
fn charts_and_hours() {
    let mut all = String::new();
    for arguments in [
        &["chart", "HP-1", "--job", CLEAN][..],
        &["chart", "AC-2", "--job", CLEAN],
        &["hours", "AC-2", "--job", CLEAN, "--week", "2027-03-08"],
    ] {
        let output = drycall(arguments);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        all += &text(&output);
        all.push('\n');
    }
    assert!(all.lines().all(|line| line.chars().count() <= 80), "wider than 80 columns:\n{all}");
    insta::assert_snapshot!("charts-and-hours", all);
}

/// What follows from what in the job with mistakes: each chain ends at a mistake that was planted.
#[test]
fn one_cause_is_told_once() {
    let review = text(&drycall(&["review", MISTAKES, "--format", "json"]));
    let review: serde_json::Value = serde_json::from_str(&review).unwrap();
    let findings = review["findings"].as_array().unwrap();
    let called = |f: &serde_json::Value| {
        format!(
            "{}:{} {}",
            f["file"].as_str().unwrap(),
            f["range"]["from"]["line"],
            f["check"].as_str().unwrap()
        )
    };
    let cause = |f: &serde_json::Value| findings.iter().find(|other| other["id"] == f["follows-from"]);
    let mut lines = String::new();
    for finding in findings {
        let (mut chain, mut at) = (called(finding), finding);
        for _ in 0..findings.len() {
            assert!(at["follows-from"].is_null() || cause(at).is_some(), "{at}");
            let Some(next) = cause(at) else { break };
            chain += &format!("\n    from {}", called(next));
            at = next;
        }
        assert!(at["follows-from"].is_null(), "{chain}");
        if !finding["follows-from"].is_null() {
            lines += &(chain + "\n");
        }
    }
    insta::assert_snapshot!("follows", lines);
}
