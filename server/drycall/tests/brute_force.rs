//! Verdicts of random jobs against an oracle that walks every minute and every allowed state.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods, missing_docs)]

use std::path::Path;
use std::process::Command;

/// A fresh seed each time, which the script prints with any difference. `DRYCALL_PYTHON` names a Python
/// with time zone data, where the system's has none.
#[test]
fn five_hundred_random_units_agree_with_plain_enumeration() {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracles/brute_force.py");
    let python = std::env::var("DRYCALL_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let output = Command::new(python)
        .arg(script)
        .arg(env!("CARGO_BIN_EXE_drycall"))
        .args(["--units", "500"])
        .output()
        .expect("python3 runs the oracle");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    assert!(said.contains("500 units") && said.contains(" 0 differences"), "{said}");
}
