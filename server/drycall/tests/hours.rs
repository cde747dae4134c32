//! `drycall hours` as a drawing and for programs.

#![allow(clippy::unwrap_used, clippy::disallowed_methods, missing_docs)]

use std::process::{Command, Output};

const JOB: &str =
    concat!(env!("CARGO_MANIFEST_DIR"), "/../../samples/saltmarsh-records-centre/with-mistakes");

fn hours(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_drycall"));
    command.args(["hours", "--job", JOB]).args(arguments).output().unwrap()
}

fn text(output: Output) -> String {
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn a_drawing_stands_alone() {
    let svg = text(hours(&["CR-1", "--format", "svg"]));
    assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
    assert!(svg.contains("<title id=\"title\">CR-1, week from Fri Mar 5, 2027: dehumidification</title>"));
    assert!(svg.contains(".dry-drawing") && svg.contains("id=\"dry-hatch\""));
    for elsewhere in ["href", "@import", "<script", "url(http", "<image"] {
        assert!(!svg.contains(elsewhere), "{elsewhere}");
    }
    assert_eq!(svg, text(hours(&["CR-1", "--format", "svg"])));
    let asked = text(hours(&["CR-1", "--format", "svg", "--week", "2027-06-07", "--service", "cooling"]));
    assert!(asked.contains("CR-1, week from Mon Jun 7, 2027: cooling"));
}

#[test]
fn programs_have_the_same() {
    let json: serde_json::Value = serde_json::from_str(&text(hours(&["CR-1", "--format", "json"]))).unwrap();
    assert_eq!((&json["unit"], &json["service"]), (&"CR-1".into(), &"dehumidification".into()));
    assert_eq!(json["longest-gap"]["hours"], 228.5);
    assert_eq!(json["week"]["from"], "2027-03-05");
    assert_eq!(json["week"]["days"].as_array().unwrap().len(), 7);
    assert_eq!(json["year"]["hours"].as_array().unwrap().len(), 365);
    assert_eq!(json["because"][0]["at"]["file"], "units.yaml");
}

#[test]
fn a_service_there_is_not_is_told() {
    let output = hours(&["CR-1", "--format", "json", "--service", "singing"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("`CR-1` has no service `singing`"));
}
