//! A file with more findings than an editor can use.

#![allow(clippy::unwrap_used)]

mod client;

use client::{Client, Folder, everything};
use serde_json::{Value, json};

const SITE: &str = "site: {name: Saltmarsh Records Centre, time-zone: America/New_York}\n";

/// So many points, in each of which there is an error, a warning and a note.
fn text(points: usize) -> String {
    let mut text = "points:\n".to_owned();
    (0..points).for_each(|n| text += &format!("  P{n}: {{device: nowhere-{n}}}\n"));
    text
}

/// The lines of the diagnostics of a severity.
fn lines(diagnostics: &Value, severity: u32) -> Vec<usize> {
    let of_severity = diagnostics.as_array().unwrap().iter().filter(|d| d["severity"] == severity);
    of_severity.map(|d| usize::try_from(d["range"]["start"]["line"].as_u64().unwrap()).unwrap()).collect()
}

fn published(client: &mut Client, uri: &str, version: i32) -> Value {
    let told = |c: &mut Client| c.published.get(uri).filter(|p| p["version"] == version).cloned();
    client.until(told)["diagnostics"].clone()
}

#[test]
fn the_worst_are_published_and_the_rest_counted() {
    let folder = Folder::new(&[("site.yaml", SITE), ("points.yaml", "")]);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("points.yaml");
    client.open(&uri, &text(333));
    let all = published(&mut client, &uri, 1);
    assert_eq!([1, 2, 3].map(|severity| lines(&all, severity).len()), [333; 3]);
    client.set(&uri, 2, &text(700));
    let all = published(&mut client, &uri, 2);
    assert_eq!(all.as_array().unwrap().len(), 1001);
    // What is left out counts with the worst of it.
    let more = &all[0];
    assert!(more["message"].as_str().unwrap().starts_with("1100 more findings"), "{more}");
    assert_eq!(more["severity"], 2);
    assert_eq!(lines(&all, 1), (1..=700).collect::<Vec<_>>());
    assert_eq!(lines(&all, 2), (0..=300).collect::<Vec<_>>());
    assert_eq!(lines(&all, 3), Vec::<usize>::new());
    // Whoever asks gets the same.
    let mut can = everything();
    can["textDocument"]["diagnostic"] = json!({});
    can["workspace"]["diagnostics"] = json!({"refreshSupport": true});
    let mut asking = Client::with(&[&folder.path("")], can, Value::Null);
    asking.open(&uri, &text(700));
    let asked = asking.request("textDocument/diagnostic", json!({"textDocument": {"uri": uri}}));
    assert_eq!(asked["result"]["items"], all);
    // An action is offered for what is not shown, too.
    let line = json!({"line": 600, "character": 3});
    let range = json!({"start": line, "end": line});
    let params = json!({"textDocument": {"uri": uri}, "range": range, "context": {"diagnostics": []}});
    let actions = client.request("textDocument/codeAction", params)["result"].clone();
    let of_severity = |severity: u32| {
        let is = |action: &&Value| action["diagnostics"][0]["severity"] == severity;
        actions.as_array().unwrap().iter().filter(is).count()
    };
    assert!([2, 3].iter().all(|severity| of_severity(*severity) > 0), "{actions}");
    // Put right again, nothing is left to count.
    client.set(&uri, 3, "points: {}\n");
    assert_eq!(published(&mut client, &uri, 3), json!([]));
}
