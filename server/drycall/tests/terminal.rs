//! `drycall review` as somebody at a terminal sees it, and as a pipe does.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::path::Path;
use std::process::Command;

const MISTAKES: &str = "samples/saltmarsh-records-centre/with-mistakes";

/// Standard output of a review of the sample, in a window of this many columns.
fn review(columns: &str, arguments: &[&str]) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let output = Command::new(env!("CARGO_BIN_EXE_drycall"))
        .args(["review", MISTAKES])
        .args(arguments)
        .env("COLUMNS", columns)
        .current_dir(root)
        .output()
        .unwrap();
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_sample_in_a_window() {
    insta::assert_snapshot!("window", review("100", &["--format", "text"]));
}

#[test]
fn no_line_is_wider_than_the_window() {
    for width in [80, 100, 160] {
        for more in [&[][..], &["--reasons"], &["--level", "error"]] {
            let text = review(&width.to_string(), &[&["--format", "text"], more].concat());
            assert!(text.lines().count() > 100, "{text}");
            for line in text.lines() {
                let word = line.split_whitespace().count() == 1;
                assert!(word || line.chars().count() <= width, "{width}: {line}");
            }
        }
    }
}

/// In a pipe, each finding is a line of the form that compilers use.
#[test]
fn a_pipe_gets_lines() {
    let text = review("100", &[]);
    assert_eq!(text, review("80", &["--format", "lines"]));
    let (found, summary): (Vec<&str>, Vec<&str>) =
        text.lines().partition(|line| line.starts_with(MISTAKES) && line.ends_with(']'));
    assert!(found.len() > 50 && summary.len() < 40, "{text}");
    for line in found {
        let rest = line.strip_prefix(MISTAKES).unwrap();
        let parts: Vec<&str> = rest.splitn(4, ':').collect();
        assert!(parts[1].parse::<u32>().is_ok() && parts[2].parse::<u32>().is_ok(), "{line}");
        assert!(
            [" error: ", " warning: ", " note: "].iter().any(|level| parts[3].starts_with(level)),
            "{line}"
        );
    }
    let errors = review("100", &["--level", "error"]);
    assert!(!errors.contains(": warning: ") && errors.contains("below the level, and not shown"), "{errors}");
    assert!(review("100", &["--reasons"]).contains("    library:"));
}
