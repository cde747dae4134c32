//! The types of a unit's page in the extension for VS Code are made from those that write it.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use reports::drawing::{link, pieces};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use workspace::Workspace;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

const MADE_FROM: &str = "server/reports/src/drawing/page.rs";

const LOCATION: &str = "\
/** A place in a file, as the protocol writes it. */
export interface Location {
  uri: string;
  range: { start: { line: number; character: number }; end: { line: number; character: number } };
}
";

/// A public struct of the source: its words, and of each field its words, its name in JSON and its type.
struct Shape {
    name: String,
    words: String,
    fields: Vec<(String, String, String)>,
}

/// The shapes of a source file as `rustfmt` lays it out: a field a line.
fn shapes(source: &str) -> Vec<Shape> {
    let (mut shapes, mut open): (Vec<Shape>, bool) = (Vec::new(), false);
    let (mut words, mut renamed): (Vec<&str>, Option<&str>) = (Vec::new(), None);
    for line in source.lines().map(str::trim) {
        if let Some(said) = line.strip_prefix("/// ") {
            words.push(said);
        } else if let Some(name) = line.strip_prefix("#[serde(rename = \"") {
            renamed = name.split('"').next();
        } else if let Some(head) = line.strip_prefix("pub struct ").and_then(|head| head.strip_suffix(" {")) {
            let name = head.split('<').next().unwrap_or(head).to_owned();
            shapes.push(Shape { name, words: words.join(" "), fields: Vec::new() });
            (open, words) = (true, Vec::new());
        } else if let (true, Some((name, of))) =
            (open, line.strip_prefix("pub ").and_then(|l| l.split_once(": ")))
        {
            let name = renamed.take().map_or_else(|| name.replace('_', "-"), str::to_owned);
            let field = (words.join(" "), name, of.trim_end_matches(',').to_owned());
            shapes.last_mut().unwrap().fields.push(field);
            words.clear();
        } else if line == "}" || line.is_empty() {
            (open, words) = (open && line.is_empty(), Vec::new());
        }
    }
    shapes
}

/// What stands between the brackets of `Vec<…>` or `Option<…>`.
fn inside<'t>(of: &'t str, what: &str) -> Option<&'t str> {
    of.strip_prefix(what)?.strip_prefix('<')?.strip_suffix('>')
}

fn typescript(of: &str) -> String {
    if let Some(inner) = inside(of, "Vec") {
        return format!("{}[]", typescript(inner));
    }
    if let Some(inner) = inside(of, "Option") {
        return format!("{} | null", typescript(inner));
    }
    match of {
        "String" => "string".to_owned(),
        "bool" => "boolean".to_owned(),
        "u32" | "i64" | "usize" | "f64" => "number".to_owned(),
        "P" => "Location".to_owned(),
        other => other.split('<').next().unwrap_or(other).to_owned(),
    }
}

fn file(shapes: &[Shape]) -> String {
    let mut text = format!(
        "// Made from `{MADE_FROM}` by `DRYCALL_UPDATE=1 cargo test -p reports --test typescript`.\n\n{LOCATION}"
    );
    for shape in shapes {
        text += &format!("\n/** {} */\nexport interface {} {{\n", shape.words, shape.name);
        for (words, name, of) in &shape.fields {
            let quoted = if name.contains('-') { format!("\"{name}\"") } else { name.clone() };
            text += &format!("  /** {words} */\n  {quoted}: {};\n", typescript(of));
        }
        text += "}\n";
    }
    text
}

fn source() -> Vec<Shape> {
    shapes(&std::fs::read_to_string(root().join(MADE_FROM)).unwrap())
}

/// With `DRYCALL_UPDATE=1` writes the file instead.
#[test]
fn types_of_the_extension_are_current() {
    let file = (root().join("editors/vscode/src/week/sheet.ts"), file(&source()));
    if std::env::var_os("DRYCALL_UPDATE").is_some() {
        std::fs::write(&file.0, &file.1).unwrap();
    }
    let found = std::fs::read_to_string(&file.0).unwrap_or_default();
    assert!(found == file.1, "the extension's types are out of step: run the tests with DRYCALL_UPDATE=1");
}

/// Whether a value is of a type, and how often each struct was met.
fn fits(value: &Value, of: &str, shapes: &[Shape], met: &mut BTreeMap<String, usize>) -> bool {
    if let Some(inner) = inside(of, "Option") {
        return value.is_null() || fits(value, inner, shapes, met);
    }
    if let Some(inner) = inside(of, "Vec") {
        return value.as_array().is_some_and(|all| all.iter().all(|one| fits(one, inner, shapes, met)));
    }
    match typescript(of).as_str() {
        "string" | "Location" => value.is_string(),
        "boolean" => value.is_boolean(),
        "number" => value.is_number(),
        name => {
            let Some(shape) = shapes.iter().find(|shape| shape.name == name) else { return false };
            *met.entry(name.to_owned()).or_default() += 1;
            let Some(object) = value.as_object() else { return false };
            let mut field = |(_, name, of): &(String, String, String)| {
                object.get(name).is_some_and(|value| fits(value, of, shapes, met))
            };
            object.len() == shape.fields.len() && shape.fields.iter().all(&mut field)
        }
    }
}

/// What is written has the fields that the types name, and no other.
#[test]
fn pages_are_of_these_types() {
    let folder = root().join("samples/saltmarsh-records-centre/with-mistakes");
    let workspace = Workspace::load(&folder, &|_, _| {});
    let (shapes, mut met) = (source(), BTreeMap::new());
    let locate = |place: &model::Place| link(&workspace, place);
    for unit in workspace.unit_names() {
        let Ok(page) = workspace.unit_page(&unit, None, None, &locate) else { continue };
        let made = serde_json::to_value(pieces(&page, None, None)).unwrap();
        assert!(fits(&made, "Pieces", &shapes, &mut met), "{made:#}");
    }
    for shape in shapes {
        assert!(met.contains_key(&shape.name), "no {} is met", shape.name);
    }
}
