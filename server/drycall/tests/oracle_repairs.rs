//! Repairs held against a catalogue of changes that are tried one by one.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

mod left_out;

use left_out::leave_out;
use std::path::Path;
use std::process::Command;

/// Source: `tests/oracles/repairs_check.py`, which judges by the enumeration of `verdicts_check.py`. The seed is
/// `DRYCALL_SEED`, or always the same; the script prints it, and the job that differs. `DRYCALL_PYTHON` names a Python that has
/// `PyYAML` and `tzdata`.
#[test]
fn where_a_change_of_the_catalogue_is_a_repair_one_is_offered() {
    let python = std::env::var("DRYCALL_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let has_packages = Command::new(&python).args(["-c", "import yaml, tzdata"]).output();
    if !has_packages.is_ok_and(|output| output.status.success()) {
        return leave_out(
            "where_a_change_of_the_catalogue_is_a_repair_one_is_offered",
            &format!("{python} lacks PyYAML or tzdata"),
        );
    }
    let seed = std::env::var("DRYCALL_SEED").unwrap_or_else(|_| "20270101".to_owned());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracles/repairs_check.py");
    let output = Command::new(python)
        .arg(script)
        .args([env!("CARGO_BIN_EXE_drycall"), "--units", "200", "--seed", &seed])
        .output()
        .expect("the catalogue is tried");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    assert!(said.contains("\n200 units, ") && said.contains("no difference"), "{said}");
    assert!(!said.contains(" never run, 0 with a repair"), "the catalogue repaired nothing: {said}");
}
