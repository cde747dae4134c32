//! The published schema is the model's, and the samples fit it.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// With `DRYCALL_UPDATE=1` writes the file instead.
#[test]
fn schema_is_current() {
    let file = root().join("schemas/job.schema.json");
    let wanted = format!("{:#}\n", model::schema());
    if std::env::var_os("DRYCALL_UPDATE").is_some() {
        std::fs::write(&file, &wanted).unwrap();
    }
    let found = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(found == wanted, "schemas/ is out of step with the model: run the tests with DRYCALL_UPDATE=1");
}

/// Read by `serde-saphyr`, as other tools would, and not by our own tree.
#[test]
fn samples_and_library_fit_the_schema() {
    let validator = jsonschema::validator_for(&model::schema()).unwrap();
    let mut folders = vec![
        root().join("samples/saltmarsh-records-centre/clean"),
        root().join("server/model/library"),
        root().join("server/drycall/src/template"),
    ];
    let mut seen = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "yaml") {
                let text = std::fs::read_to_string(&path).unwrap();
                let value: serde_json::Value = serde_saphyr::from_str(&text).unwrap();
                let errors: Vec<String> = validator
                    .iter_errors(&value)
                    .map(|e| format!("{} at {}", e, e.instance_path()))
                    .collect();
                assert!(errors.is_empty(), "{}: {errors:#?}", path.display());
                seen += 1;
            }
        }
    }
    assert!(seen > 20, "only {seen} files");
}

#[test]
fn the_schema_rejects_what_the_model_rejects() {
    let validator = jsonschema::validator_for(&model::schema()).unwrap();
    for text in [
        "pionts: {}",
        "units: {HP-1: {zone: stacks}}",
        "points: {P: {objct: binary-output 3}}",
        "zones: {z: {thermostat: {fan: sometimes}}}",
    ] {
        let value: serde_json::Value = serde_saphyr::from_str(text).unwrap();
        assert!(!validator.is_valid(&value), "{text}");
    }
}
