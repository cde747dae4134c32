//! Every message of every check, as `drycall explain --messages` prints it.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::process::Command;

#[test]
fn messages() {
    let output =
        Command::new(env!("CARGO_BIN_EXE_drycall")).args(["explain", "--messages"]).output().unwrap();
    assert!(output.status.success());
    insta::assert_snapshot!("messages", String::from_utf8(output.stdout).unwrap());
}
