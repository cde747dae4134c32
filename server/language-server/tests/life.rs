//! Beginning, end, and messages nobody should send.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, UNITS};
use client::{Client, Folder, everything};
use serde_json::{Value, json};

#[test]
fn it_ends_in_order_when_asked_and_out_of_order_when_the_client_hangs_up() {
    let folder = Folder::new(&FILES);
    assert!(Client::start(&[&folder.path("")]).shut_down());
    assert!(!Client::start(&[&folder.path("")]).hang_up());
}

/// Every capability of the protocol that is about a method, and the method.
/// Source: Language Server Protocol 3.17, `ServerCapabilities`.
const PROVIDERS: [(&str, &str); 30] = [
    ("callHierarchyProvider", "textDocument/prepareCallHierarchy"),
    ("codeActionProvider", "textDocument/codeAction"),
    ("codeLensProvider", "textDocument/codeLens"),
    ("colorProvider", "textDocument/documentColor"),
    ("completionProvider", "textDocument/completion"),
    ("declarationProvider", "textDocument/declaration"),
    ("definitionProvider", "textDocument/definition"),
    ("diagnosticProvider", "textDocument/diagnostic"),
    ("documentFormattingProvider", "textDocument/formatting"),
    ("documentHighlightProvider", "textDocument/documentHighlight"),
    ("documentLinkProvider", "textDocument/documentLink"),
    ("documentOnTypeFormattingProvider", "textDocument/onTypeFormatting"),
    ("documentRangeFormattingProvider", "textDocument/rangeFormatting"),
    ("documentSymbolProvider", "textDocument/documentSymbol"),
    ("executeCommandProvider", "workspace/executeCommand"),
    ("foldingRangeProvider", "textDocument/foldingRange"),
    ("hoverProvider", "textDocument/hover"),
    ("implementationProvider", "textDocument/implementation"),
    ("inlayHintProvider", "textDocument/inlayHint"),
    ("inlineValueProvider", "textDocument/inlineValue"),
    ("linkedEditingRangeProvider", "textDocument/linkedEditingRange"),
    ("monikerProvider", "textDocument/moniker"),
    ("referencesProvider", "textDocument/references"),
    ("renameProvider", "textDocument/rename"),
    ("selectionRangeProvider", "textDocument/selectionRange"),
    ("semanticTokensProvider", "textDocument/semanticTokens/full"),
    ("signatureHelpProvider", "textDocument/signatureHelp"),
    ("typeDefinitionProvider", "textDocument/typeDefinition"),
    ("typeHierarchyProvider", "textDocument/prepareTypeHierarchy"),
    ("workspaceSymbolProvider", "workspace/symbol"),
];

#[test]
fn it_announces_what_it_does_and_no_more() {
    let folder = Folder::new(&FILES);
    let mut can = everything();
    can["textDocument"]["diagnostic"] = json!({});
    can["workspace"]["diagnostics"] = json!({"refreshSupport": true});
    let mut client = Client::with(&[&folder.path("")], can, Value::Null);
    let announced = client.initialized["capabilities"].as_object().unwrap().clone();
    let known =
        |name: &String| !name.ends_with("Provider") || PROVIDERS.iter().any(|(known, _)| known == name);
    assert!(announced.keys().all(known), "{announced:?}");
    // What any of the methods needs; each takes its own.
    let at = json!({"line": 0, "character": 0});
    let range = json!({"start": at, "end": at});
    let params = json!({
        "textDocument": {"uri": folder.uri("units.yaml")}, "position": at, "positions": [at], "range": range,
        "context": {"diagnostics": [], "includeDeclaration": true, "frameId": 0, "stoppedLocation": range,
            "triggerKind": 1, "isRetrigger": false},
        "options": {"tabSize": 2, "insertSpaces": true}, "ch": "x", "newName": "x", "query": "x", "command": "x"
    });
    for (provider, method) in PROVIDERS {
        let answer = client.request(method, params.clone());
        let unheard_of = answer["error"]["code"] == -32601;
        assert_eq!(announced.contains_key(provider), !unheard_of, "{method}: {answer}");
    }
    assert_eq!(announced["textDocumentSync"], json!({"openClose": true, "save": true, "change": 2}));
    assert_eq!(client.initialized["serverInfo"]["name"], "drycall");
}

#[test]
fn files_are_watched_where_the_client_can() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let asked = client.until(|c| c.asked.first().cloned());
    assert_eq!(asked["method"], "client/registerCapability");
    let registration = &asked["params"]["registrations"][0];
    assert_eq!(registration["method"], "workspace/didChangeWatchedFiles");
    // Of folders only that they come and go.
    let kinds = registration["registerOptions"]["watchers"].as_array().unwrap().iter();
    assert_eq!(
        kinds.map(|watcher| watcher["kind"].clone()).collect::<Vec<_>>(),
        [Value::Null, Value::Null, json!(5)]
    );
    let mut can = everything();
    can["workspace"] = json!({});
    let mut client = Client::with(&[&folder.path("")], can, Value::Null);
    client.quiet();
    assert!(client.asked.is_empty());
}

#[test]
fn a_cancelled_request_says_so_or_was_quicker() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("units.yaml");
    client.open(&uri, UNITS);
    let params = json!({"textDocument": {"uri": uri}, "position": {"line": 1, "character": 3}});
    let ids: Vec<i64> = (0..100)
        .map(|_| {
            let id = client.ask("textDocument/hover", params.clone());
            client.notify("$/cancelRequest", json!({"id": id}));
            id
        })
        .collect();
    for id in ids {
        let answer = client.answer(id);
        assert!(answer["error"]["code"] == -32800 || answer["result"]["contents"].is_object(), "{answer}");
    }
    assert!(client.shut_down());
}

#[test]
fn what_it_does_not_know_does_not_stop_it() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    assert_eq!(client.request("textDocument/unheardOf", json!({}))["error"]["code"], -32601);
    assert_eq!(client.request("textDocument/hover", json!({"position": 3}))["error"]["code"], -32602);
    assert_eq!(client.request("$/unheardOf", json!({}))["error"]["code"], -32601);
    client.notify("$/whatever", json!({}));
    client.notify("textDocument/didOpen", json!({"textDocument": {"uri": "not a uri"}}));
    client.notify("textDocument/didChange", json!([]));
    client.watched(&[("file:///nowhere/site.yaml", 3), ("untitled:a", 1)]);
    let uri = folder.uri("units.yaml");
    client.open(&uri, UNITS);
    client.until(|c| c.published.contains_key(&uri).then_some(()));
    assert!(client.shut_down());
}
