//! Diagnostics for a client that asks for them.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, POINTS, UNITS};
use client::{Client, Folder, everything};
use serde_json::{Value, json};

fn start(folder: &Folder) -> Client {
    let mut can = everything();
    can["textDocument"]["diagnostic"] = json!({"dynamicRegistration": true});
    can["workspace"]["diagnostics"] = json!({"refreshSupport": true});
    let mut client = Client::with(&[&folder.path("")], can, Value::Null);
    let provided =
        json!({"identifier": "drycall", "interFileDependencies": true, "workspaceDiagnostics": true});
    assert_eq!(client.initialized["capabilities"]["diagnosticProvider"], provided);
    client.quiet();
    client
}

fn renamed() -> String {
    POINTS.replace("HP1-OCC:", "HP1-OCCUPIED:")
}

fn document(client: &mut Client, uri: &str, previous: &Value) -> Value {
    let params = json!({"textDocument": {"uri": uri}, "identifier": "drycall", "previousResultId": previous});
    client.request("textDocument/diagnostic", params)["result"].clone()
}

fn all(client: &mut Client, previous: &[Value]) -> Vec<Value> {
    let answer = client.request("workspace/diagnostic", json!({"previousResultIds": previous}));
    answer["result"]["items"].as_array().unwrap().clone()
}

fn refreshes(client: &mut Client) -> usize {
    client.quiet();
    let count = client.asked.iter().filter(|m| m["method"] == "workspace/diagnostic/refresh").count();
    client.asked.clear();
    count
}

#[test]
fn a_document_s_report_is_of_the_text_as_it_stands_and_told_once() {
    let folder = Folder::new(&FILES);
    let mut client = start(&folder);
    let (units, points) = (folder.uri("units.yaml"), folder.uri("points/all.yaml"));
    client.open(&units, UNITS);
    client.open(&points, POINTS);
    let clean = document(&mut client, &units, &Value::Null);
    assert_eq!((&clean["kind"], &clean["items"]), (&json!("full"), &json!([])));
    client.set(&points, 2, &renamed());
    let found = document(&mut client, &units, &clean["resultId"]);
    assert_eq!(found["kind"], "full");
    assert_eq!(found["items"][0]["code"], "name-unknown");
    let again = document(&mut client, &units, &found["resultId"]);
    assert_eq!(again, json!({"kind": "unchanged", "resultId": found["resultId"]}));
    client.set(&points, 3, POINTS);
    assert_eq!(document(&mut client, &units, &found["resultId"]), clean);
    // Never both ways.
    client.quiet();
    assert!(client.published.is_empty());
    assert!(client.shut_down());
}

#[test]
fn a_document_of_no_job_has_no_findings_and_one_that_is_not_open_has_its_own() {
    let folder = Folder::new(&FILES);
    folder.write("points/all.yaml", &renamed());
    let mut client = start(&folder);
    for uri in ["untitled:new", "file:///nowhere/units.yaml"] {
        assert_eq!(document(&mut client, uri, &Value::Null), json!({"kind": "full", "items": []}));
    }
    let units = document(&mut client, &folder.uri("units.yaml"), &Value::Null);
    assert_eq!(units["items"][0]["code"], "name-unknown");
}

#[test]
fn all_files_are_reported_where_something_is_found_or_was() {
    let folder = Folder::new(&FILES);
    folder.write("points/all.yaml", &renamed());
    let mut client = start(&folder);
    let units = folder.uri("units.yaml");
    let first = all(&mut client, &[]);
    let of = |items: &[Value], uri: &str| items.iter().find(|item| item["uri"] == uri).cloned();
    let found = of(&first, &units).unwrap();
    assert_eq!(found["items"][0]["code"], "name-unknown");
    assert!(of(&first, &folder.uri("site.yaml")).is_none());
    let held = |items: &[Value]| -> Vec<Value> {
        items.iter().map(|item| json!({"uri": item["uri"], "value": item["resultId"]})).collect()
    };
    let again = all(&mut client, &held(&first));
    assert_eq!(again.len(), first.len());
    assert!(again.iter().all(|item| item["kind"] == "unchanged"), "{again:?}");
    // Put right, and a file deleted that something was found in.
    folder.write("points/all.yaml", POINTS);
    folder.write("more.yaml", "nonsense: 1\n");
    let (points, more) = (folder.uri("points/all.yaml"), folder.uri("more.yaml"));
    client.watched(&[(&points, 2), (&more, 1)]);
    let third = all(&mut client, &held(&first));
    assert_eq!(of(&third, &units).unwrap()["items"], json!([]));
    assert_eq!(of(&third, &more).unwrap()["items"][0]["code"], "key-unknown");
    folder.delete("more.yaml");
    client.watched(&[(&more, 3)]);
    let fourth = all(&mut client, &held(&third));
    assert_eq!(
        of(&fourth, &more).unwrap(),
        json!({"kind": "full", "uri": more, "version": null, "items": []})
    );
}

#[test]
fn a_client_that_could_not_be_asked_again_is_told() {
    let folder = Folder::new(&FILES);
    let mut can = everything();
    can["textDocument"]["diagnostic"] = json!({"dynamicRegistration": false});
    let mut client = Client::with(&[&folder.path("")], can, Value::Null);
    assert_eq!(client.initialized["capabilities"]["diagnosticProvider"], Value::Null);
    let units = folder.uri("units.yaml");
    client.open(&units, UNITS);
    client.until(|c| c.published.contains_key(&units).then_some(()));
}

#[test]
fn the_client_is_asked_to_ask_again_when_what_it_did_not_edit_changes() {
    let folder = Folder::new(&FILES);
    let mut client = start(&folder);
    // Something is found in a file that is not open.
    assert_eq!(refreshes(&mut client), 1);
    let (units, points) = (folder.uri("units.yaml"), folder.uri("points/all.yaml"));
    client.open(&units, UNITS);
    client.open(&points, POINTS);
    assert_eq!(refreshes(&mut client), 0);
    client.set(&units, 2, &UNITS.replace("HP1-OCC", "HP1-NONE"));
    // The points are told that one of them is used by nobody, and did not change themselves.
    assert_eq!(refreshes(&mut client), 1);
    client.set(&units, 3, &UNITS.replace("HP1-OCC", "HP1-NONE2"));
    assert_eq!(refreshes(&mut client), 0);
}
