//! `drycall predict` on the samples, as a user runs it.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::path::Path;
use std::process::{Command, Output};

const MISTAKES: &str = "samples/saltmarsh-records-centre/with-mistakes";

fn predict(arguments: &[&str]) -> Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    Command::new(env!("CARGO_BIN_EXE_drycall"))
        .arg("predict")
        .args(arguments)
        .current_dir(root)
        .output()
        .unwrap()
}

fn text(output: Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn in_words() {
    let text = text(predict(&["stacks", "--job", MISTAKES]));
    assert!(text.lines().all(|line| line.chars().count() <= 80), "wider than 80 columns:\n{text}");
    insta::assert_snapshot!("predict", text);
}

#[test]
fn for_programs() {
    let json: serde_json::Value =
        serde_json::from_str(&text(predict(&["stacks", "--job", MISTAKES, "--format", "json"]))).unwrap();
    assert_eq!(json["prediction"], true);
    assert_eq!(json["result"]["hours"], 240);
    let above = |key: &str| json[key]["hours-above"].as_u64().unwrap();
    assert!(above("infiltration-times-0.5") <= above("result"));
    assert!(above("result") <= above("infiltration-times-2"));
    let assumptions = json["assumptions"].as_array().unwrap();
    assert!(assumptions.iter().all(|a| !a["source"].as_str().unwrap().is_empty()));
    assert!(assumptions.iter().any(|a| a["default"] == true));
}

#[test]
fn as_a_drawing() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("stacks.svg");
    let arguments = ["stacks", "--job", MISTAKES, "--format", "svg", "--out", file.to_str().unwrap()];
    assert_eq!(text(predict(&arguments)), "");
    let svg = std::fs::read_to_string(file).unwrap();
    for part in
        ["<svg ", "prediction", "prefers-color-scheme:dark", "class=\"air\"", "class=\"limit\"", "</svg>"]
    {
        assert!(svg.contains(part), "no {part}");
    }
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
}

#[test]
fn what_cannot_be_predicted_is_said() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("site.yaml"), "site: {name: Example}\nzones: {stacks: {}}\n").unwrap();
    let bare = folder.path().to_str().unwrap();
    for (arguments, words) in [
        (["stack", "--job", MISTAKES], "Did you mean `stacks`?"),
        (["stacks", "--job", bare], "there is no weather to predict by"),
        (["staff-office", "--job", MISTAKES], "cannot be told"),
    ] {
        let output = predict(&arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let message = String::from_utf8(output.stderr).unwrap();
        assert!(message.contains(words), "{arguments:?}: {message}");
    }
}
