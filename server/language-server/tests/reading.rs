//! What helps reading and renaming, as a client sees it.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, POINTS, UNITS};
use client::{Client, Folder, everything};
use serde_json::{Value, json};

fn opened(folder: &Folder, capabilities: Value) -> Client {
    let mut client = Client::with(&[&folder.path("")], capabilities, Value::Null);
    for (name, text) in FILES {
        client.open(&folder.uri(name), text);
    }
    client
}

/// Where a word first stands in a text; a text plain enough to count characters.
fn find(text: &str, word: &str) -> Value {
    let at = text.find(word).unwrap();
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    json!({"line": text[..at].matches('\n').count(), "character": text[start..at].chars().count()})
}

#[test]
fn a_point_is_renamed_in_every_file() {
    let folder = Folder::new(&FILES);
    let (units, points) = (folder.uri("units.yaml"), folder.uri("points/all.yaml"));
    let mut can = everything();
    can["workspace"]["workspaceEdit"] = json!({});
    let asked = |new: &str| json!({"textDocument": {"uri": points}, "position": find(POINTS, "HP1-OCC"), "newName": new});
    let mut client = opened(&folder, can.clone());
    let edit = client.request("textDocument/rename", asked("HP1-BUSY"))["result"].clone();
    assert!(edit.get("documentChanges").is_none());
    assert_eq!(edit["changes"][&units][0]["newText"], "HP1-BUSY");
    assert_eq!(edit["changes"][&points].as_array().unwrap().len(), 1);
    can["workspace"]["workspaceEdit"] = json!({"documentChanges": true});
    let mut client = opened(&folder, can);
    let edit = client.request("textDocument/rename", asked("HP1-BUSY"))["result"].clone();
    assert!(edit.get("changes").is_none());
    for change in edit["documentChanges"].as_array().unwrap() {
        assert_eq!(change["textDocument"]["version"], 1);
    }
    let refused = client.request("textDocument/rename", asked("HP1-HEAT1"))["error"].clone();
    assert_eq!(refused["code"], -32803);
    assert!(refused["message"].as_str().unwrap().contains("already, in points/all.yaml"));
    let at = |word: &str| json!({"textDocument": {"uri": units}, "position": find(UNITS, word)});
    let here = client.request("textDocument/prepareRename", at("HP1-OCC"))["result"].clone();
    assert_eq!(here["placeholder"], "HP1-OCC");
    assert_eq!(here["range"]["start"], find(UNITS, "HP1-OCC"));
    assert_eq!(client.request("textDocument/prepareRename", at("inputs"))["result"], Value::Null);
    let library = client.request("textDocument/prepareRename", at("heat-pump"))["error"].clone();
    assert!(library["message"].as_str().unwrap().contains("built-in"));
}

/// The words that tokens mark, by a reading of the protocol that shares no code with the server.
fn marked(text: &str, data: &Value, legend: &Value, encoding: &str) -> Vec<(String, String)> {
    let units = |line: &str, from: usize, length: usize| -> String {
        match encoding {
            "utf-8" => line[from..from + length].to_owned(),
            "utf-16" => {
                let wide: Vec<u16> = line.encode_utf16().skip(from).take(length).collect();
                String::from_utf16(&wide).unwrap()
            }
            _ => line.chars().skip(from).take(length).collect(),
        }
    };
    let lines: Vec<&str> = text.lines().collect();
    let numbers: Vec<usize> =
        data.as_array().unwrap().iter().map(|n| usize::try_from(n.as_u64().unwrap()).unwrap()).collect();
    let (mut line, mut column) = (0, 0);
    let word = |token: &[usize]| {
        column = if token[0] == 0 { column + token[1] } else { token[1] };
        line += token[0];
        let sort = legend["tokenTypes"][token[3]].as_str().unwrap().to_owned();
        (units(lines[line], column, token[2]), sort)
    };
    numbers.chunks(5).map(word).collect()
}

#[test]
fn tokens_stand_where_the_client_counts_and_changes_of_them_are_small() {
    let text = "# 𝄞é\r\npoints:\r\n  𝄞é: {description: 𝄞 é, object: binary-output 3, driven-by: {point: é𝄞}}\r\n  B: {description: b}\r\n";
    for encoding in ["utf-8", "utf-16", "utf-32"] {
        let folder = Folder::new(&[("site.yaml", "site: {name: a, time-zone: UTC}\n"), ("a.yaml", text)]);
        let mut can = everything();
        can["general"]["positionEncodings"] = json!([encoding]);
        can["textDocument"]["semanticTokens"] = json!({
            "requests": {"full": {"delta": true}}, "tokenTypes": [], "tokenModifiers": [], "formats": ["relative"]
        });
        let mut client = Client::with(&[&folder.path("")], can, Value::Null);
        let uri = folder.uri("a.yaml");
        client.open(&uri, text);
        let legend = client.initialized["capabilities"]["semanticTokensProvider"]["legend"].clone();
        let document = json!({"textDocument": {"uri": uri}});
        let full = client.request("textDocument/semanticTokens/full", document)["result"].clone();
        let words = marked(text, &full["data"], &legend, encoding);
        let words: Vec<&str> = words.iter().map(|(word, _)| word.as_str()).collect();
        let wanted = [
            "points",
            "𝄞é",
            "description",
            "𝄞 é",
            "object",
            "binary-output 3",
            "driven-by",
            "point",
            "é𝄞",
            "B",
            "description",
            "b",
        ];
        assert_eq!(words, wanted);
        let line = json!({"start": {"line": 3, "character": 0}, "end": {"line": 3, "character": 1}});
        let asked = json!({"textDocument": {"uri": uri}, "range": line});
        let part = client.request("textDocument/semanticTokens/range", asked)["result"].clone();
        assert_eq!(marked(text, &part["data"], &legend, encoding).len(), 3);
        let end = json!({"line": 3, "character": 3});
        client.change(&uri, 2, json!([{"range": {"start": end, "end": end}, "text": "2"}]));
        let asked = json!({"textDocument": {"uri": uri}, "previousResultId": full["resultId"]});
        let delta = client.request("textDocument/semanticTokens/full/delta", asked.clone())["result"].clone();
        let edit = &delta["edits"][0];
        assert_eq!((edit["start"].as_u64(), edit["deleteCount"].as_u64()), (Some(45), Some(10)), "{delta}");
        // What it does not hold any more it cannot change.
        let again = client.request("textDocument/semanticTokens/full/delta", asked)["result"].clone();
        assert!(again["data"].is_array());
    }
}

#[test]
fn things_are_found_folded_selected_linked_and_lined_up() {
    let folder = Folder::new(&FILES);
    folder.write("days.ics", "BEGIN:VCALENDAR\nEND:VCALENDAR\n");
    let calendars = "# one\n# two\ncalendars:\n  a:\n    - {import: ./days.ics}\n    - {import: none.ics}\n";
    folder.write("calendars.yaml", calendars);
    let mut client = opened(&folder, everything());
    let uri = folder.uri("calendars.yaml");
    client.open(&uri, calendars);
    let document = json!({"textDocument": {"uri": uri}});
    let links = client.request("textDocument/documentLink", document.clone())["result"].clone();
    assert_eq!(links.as_array().unwrap().len(), 1);
    assert_eq!(links[0]["target"], folder.uri("days.ics"));
    assert_eq!(links[0]["range"]["start"], find(calendars, "./days.ics"));
    let folds = client.request("textDocument/foldingRange", document.clone())["result"].clone();
    let lines = |fold: &Value| (fold["startLine"].as_u64().unwrap(), fold["endLine"].as_u64().unwrap());
    let folds: Vec<(u64, u64)> = folds.as_array().unwrap().iter().map(lines).collect();
    assert_eq!(folds, [(0, 1), (2, 5), (3, 5)]);
    let asked = json!({"textDocument": {"uri": uri}, "positions": [find(calendars, "none"), {"line": 99, "character": 9}]});
    let steps = client.request("textDocument/selectionRange", asked)["result"].clone();
    assert_eq!(steps[0]["range"]["start"], find(calendars, "none.ics"));
    assert_eq!(steps[0]["parent"]["range"]["start"], find(calendars, "import: none"));
    assert_eq!(steps.as_array().unwrap().len(), 2);
    let found = client.request("workspace/symbol", json!({"query": "h1oc"}))["result"].clone();
    assert_eq!(found[0]["name"], "HP1-OCC", "{found}");
    assert_eq!(found[0]["location"]["uri"], folder.uri("points/all.yaml"));
    let points = json!({"textDocument": {"uri": folder.uri("points/all.yaml")}, "options": {"tabSize": 2, "insertSpaces": true}});
    let edits = client.request("textDocument/formatting", points.clone())["result"].clone();
    assert!(edits.as_array().unwrap().len() > 3, "{edits}");
    let mut few = points;
    few["range"] = json!({"start": {"line": 4, "character": 0}, "end": {"line": 4, "character": 3}});
    let edits = client.request("textDocument/rangeFormatting", few)["result"].clone();
    assert!(edits.as_array().unwrap().iter().all(|e| e["range"]["start"]["line"] == 4), "{edits}");
}

/// A limit that follows a schedule is a use of it like any other.
#[test]
fn a_schedule_behind_a_limit_is_found_and_renamed() {
    const JOB: &str = "site: {name: Saltmarsh Records Centre, time-zone: America/New_York}\nzones:\n  stacks: {occupied: {heat-below: 64 °F, cool-above: {schedule: cooling}}}\nschedules:\n  cooling: {values: °F, default: 75 °F, week: {sat: {06:00-08:00: 70 °F}}}\n";
    let folder = Folder::new(&[("site.yaml", JOB)]);
    let uri = folder.uri("site.yaml");
    let mut client = Client::with(&[&folder.path("")], everything(), Value::Null);
    client.open(&uri, JOB);
    let at = |word: &str| json!({"textDocument": {"uri": uri}, "position": find(JOB, word)});
    let answer = client.request("textDocument/hover", at("cool-above"));
    let hover = answer.to_string();
    assert!(hover.contains("goes by schedule `cooling`: 70 °F, 75 °F"), "{hover}");
    let there = client.request("textDocument/definition", at("cooling"))["result"].to_string();
    assert!(there.contains("\"line\":4"), "{there}");
    let mut asked = at("cooling");
    asked["context"] = json!({"includeDeclaration": true});
    assert_eq!(client.request("textDocument/references", asked)["result"].as_array().unwrap().len(), 2);
    let mut asked = at("cooling");
    asked["newName"] = json!("stacks-cooling");
    let renamed = client.request("textDocument/rename", asked)["result"].to_string();
    assert_eq!(renamed.matches("stacks-cooling").count(), 2, "{renamed}");
    let offered = client.request("textDocument/completion", at("cooling"))["result"].to_string();
    assert!(offered.contains("cooling"), "{offered}");
}
