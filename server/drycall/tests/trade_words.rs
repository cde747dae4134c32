//! The trade's words stand in one table, and no other source spells them out.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use model::{Call, LimitKey, Mode, Role, Service};
use std::path::{Path, PathBuf};

/// The table itself, and words that are spelt alike and mean something else: the thermostat's own key, and a
/// file of the library.
const LEFT_OUT: [(&str, &str); 3] =
    [("model/src/trade.rs", ""), ("model/src/lower/zone.rs", "fan"), ("model/src/library.rs", "humidifier")];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// The code of a file, without comments and without its tests.
fn code(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let code = text.lines().take_while(|line| !line.starts_with("#[cfg(test)]"));
    (1..).zip(code).filter(|(_, line)| !line.trim_start().starts_with("//"))
}

#[test]
fn no_source_spells_out_a_word_of_the_trade() {
    let words: Vec<&str> = [Call::NAMES, LimitKey::NAMES, Service::NAMES, Mode::NAMES, Role::NAMES].concat();
    let server = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let (mut files, mut wrong) = (Vec::new(), Vec::new());
    for member in std::fs::read_dir(&server).unwrap() {
        let src = member.unwrap().path().join("src");
        if src.is_dir() {
            sources(&src, &mut files);
        }
    }
    assert!(files.len() > 300, "only {} files", files.len());
    for file in files {
        let name = file.strip_prefix(&server).unwrap().to_string_lossy().replace('\\', "/");
        // Tests have words of their own.
        if name.ends_with("/tests.rs") || name.contains("/tests/") {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        for (n, line) in code(&text) {
            for word in &words {
                let spelt = ["\"", "`"].iter().any(|quote| line.contains(&format!("{quote}{word}{quote}")));
                let left_out =
                    LEFT_OUT.iter().any(|(file, of)| name == *file && (of.is_empty() || of == word));
                if spelt && !left_out {
                    wrong.push(format!("{name}:{n}: `{word}`"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "say these by `model::trade`:\n{}", wrong.join("\n"));
}
