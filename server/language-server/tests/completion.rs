//! Completion over the wire.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::FILES;
use client::{Client, Folder, everything};
use serde_json::{Value, json};

/// The items at the end of a text, which is a file of the job.
fn items(client: &mut Client, uri: &str, text: &str) -> Vec<Value> {
    client.open(uri, text);
    let line = text.matches('\n').count() as u32;
    let character = text.rsplit('\n').next().unwrap().encode_utf16().count() as u32;
    let answer = client.at("textDocument/completion", uri, line, character);
    answer["items"].as_array().cloned().unwrap_or_default()
}

#[test]
fn an_item_replaces_the_word_and_tells_more_when_looked_at() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let items = items(&mut client, &folder.uri("more.yaml"), "units:\n  𝄞é: {zone: sta");
    assert_eq!(items.len(), 1);
    let item = &items[0];
    assert_eq!(item["label"], "stacks");
    let range = json!({"start": {"line": 1, "character": 14}, "end": {"line": 1, "character": 17}});
    assert_eq!(item["textEdit"], json!({"range": range, "newText": "stacks"}));
    assert_eq!(item["documentation"], Value::Null);
    let resolved = client.request("completionItem/resolve", item.clone())["result"].clone();
    let said = resolved["documentation"]["value"].as_str().unwrap();
    assert!(said.contains("occupied by schedule") && said.contains("served by"), "{said}");
    assert_eq!(resolved["documentation"]["kind"], "markdown");
    // What was made by somebody else comes back as it is.
    let strange = json!({"label": "x", "data": {"uri": 3}});
    assert_eq!(client.request("completionItem/resolve", strange.clone())["result"], strange);
}

#[test]
fn blanks_are_for_clients_that_fill_them_in() {
    let folder = Folder::new(&FILES);
    let written = |can: Value, text: &str| {
        let mut client = Client::with(&[&folder.path("")], can, Value::Null);
        let items = items(&mut client, &folder.uri("more.yaml"), text);
        let words = |item: &Value| {
            (item["textEdit"]["newText"].as_str().unwrap().to_owned(), item["insertTextFormat"].clone())
        };
        items.first().map(words)
    };
    let mut plain = everything();
    plain["textDocument"]["completion"] = json!({});
    let key = "zones:\n  a:\n    occupied: {";
    assert_eq!(written(everything(), key), Some(("heat-below: ${1:70 °F}".to_owned(), json!(2))));
    assert_eq!(written(plain.clone(), key), Some(("heat-below: ".to_owned(), Value::Null)));
    let entry = "schedules:\n  ";
    let whole = "${1:name}: {values: ${2:occupancy}, default: $3\\}";
    assert_eq!(written(everything(), entry), Some((whole.to_owned(), json!(2))));
    assert_eq!(written(plain, entry), None);
}
