//! Verdicts and what blocks them, held against plain enumeration of every minute and every allowed state.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

mod left_out;

use left_out::leave_out;
use std::path::Path;
use std::process::Command;

/// Source: `tests/oracles/verdicts_check.py`, under the versions of its `requirements.txt`. The seed is
/// `DRYCALL_SEED`, or always the same; the script prints it, and the smallest job that differs. `DRYCALL_PYTHON` names a Python that has
/// `PyYAML` and `tzdata`.
#[test]
fn five_hundred_random_units_have_the_verdicts_of_an_enumeration() {
    let python = std::env::var("DRYCALL_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let has_packages = Command::new(&python).args(["-c", "import yaml, tzdata"]).output();
    if !has_packages.is_ok_and(|output| output.status.success()) {
        return leave_out(
            "five_hundred_random_units_have_the_verdicts_of_an_enumeration",
            &format!("{python} lacks PyYAML or tzdata"),
        );
    }
    let seed = std::env::var("DRYCALL_SEED").unwrap_or_else(|_| "20270101".to_owned());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracles/verdicts_check.py");
    let output = Command::new(python)
        .arg(script)
        .args([env!("CARGO_BIN_EXE_drycall"), "--units", "500", "--seed", &seed])
        .output()
        .expect("the enumeration runs");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    assert!(said.contains("\n500 units, ") && said.contains("no difference"), "{said}");
}
