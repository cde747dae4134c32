//! The server's text stays the client's: order, encodings, ranges that do not fit.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, POINTS, UNITS};
use client::{Client, Folder};
use serde_json::{Value, json};

/// The detail of the first point in the list of symbols: its text, as the server has it.
fn first_text(client: &mut Client, uri: &str) -> String {
    let symbols = client.request("textDocument/documentSymbol", json!({"textDocument": {"uri": uri}}));
    let points = symbols["result"].as_array().unwrap().iter().find(|s| s["name"] == "points").unwrap();
    points["children"][0]["detail"].as_str().unwrap().to_owned()
}

fn range(line: u32, from: u32, to: u32) -> Value {
    json!({"start": {"line": line, "character": from}, "end": {"line": line, "character": to}})
}

#[test]
fn rapid_edits_are_applied_in_order() {
    let text = "points:\n  A: {description: x}\n";
    let folder = Folder::new(&FILES);
    folder.write("more.yaml", text);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("more.yaml");
    client.open(&uri, text);
    // Each letter goes in behind the one before, so any two swapped would show.
    let typed: String = ('a'..='z').cycle().take(200).collect();
    let mut hovers = Vec::new();
    for (i, letter) in typed.chars().enumerate() {
        let at = 20 + i as u32;
        client.change(&uri, 2 + i as i32, json!([{"range": range(1, at, at), "text": letter.to_string()}]));
        if i % 20 == 19 {
            let params = json!({"textDocument": {"uri": uri}, "position": {"line": 1, "character": 3}});
            hovers.push((i, client.ask("textDocument/hover", params)));
        }
    }
    assert_eq!(first_text(&mut client, &uri), format!("x{typed}"));
    // A hover sees exactly the edits before it.
    for (i, id) in hovers {
        let hover = client.answer(id);
        let shown = hover["result"]["contents"]["value"]
            .as_str()
            .unwrap()
            .lines()
            .next()
            .unwrap()
            .trim_end()
            .to_owned();
        assert_eq!(shown, format!("**A**: x{}", &typed[..=i]));
    }
    assert!(client.shut_down());
}

#[test]
fn positions_count_what_was_agreed_on() {
    // Beyond the basic plane, line ends of both kinds, a byte-order mark.
    let text =
        "\u{feff}points:\r\n  A: {description: 𝄞é x}\r\n  𝄞B: {description: y, driven-by: {point: C}}\n";
    for (offered, chosen, column, point) in [
        (json!(["utf-8"]), "utf-8", 26, 45),
        (json!(["utf-32", "utf-8"]), "utf-8", 26, 45),
        (json!(["utf-16"]), "utf-16", 23, 43),
        (json!(["utf-32"]), "utf-32", 22, 42),
        (json!(["strange", "utf-32", "utf-16"]), "utf-32", 22, 42),
        (json!([]), "utf-16", 23, 43),
        (Value::Null, "utf-16", 23, 43),
    ] {
        let folder = Folder::new(&FILES);
        let mut can = client::everything();
        can["general"]["positionEncodings"] = offered.clone();
        let mut client = Client::with(&[&folder.path("")], can, Value::Null);
        assert_eq!(client.initialized["capabilities"]["positionEncoding"], chosen, "{offered}");
        let uri = folder.uri("more.yaml");
        client.open(&uri, text);
        client.finds(&uri, "name-unknown");
        let all = client.published[&uri]["diagnostics"].as_array().unwrap().clone();
        let unknown = all.iter().find(|d| d["code"] == "name-unknown").unwrap();
        assert_eq!(unknown["range"], range(2, point, point + 1), "{chosen}");
        client.change(&uri, 2, json!([{"range": range(1, column, column + 1), "text": "z"}]));
        assert_eq!(first_text(&mut client, &uri), "𝄞é z", "{chosen}");
    }
}

#[test]
fn ranges_outside_the_text_are_cut_to_it() {
    let text = "points:\n  A: {description: x}\n";
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("more.yaml");
    client.open(&uri, text);
    let far = json!({"start": {"line": 9999, "character": 4_000_000_000_u32}, "end": {"line": 4_294_967_295_u32, "character": 0}});
    let reversed = json!({"start": {"line": 1, "character": 20}, "end": {"line": 1, "character": 19}});
    client.change(
        &uri,
        2,
        json!([{"range": far, "text": "  B: {description: y}\n"}, {"range": reversed, "text": "z"}]),
    );
    assert_eq!(first_text(&mut client, &uri), "z");
    assert_eq!(client.at("textDocument/hover", &uri, 9999, 9999), Value::Null);
    assert!(client.hover(&uri, 2, 3).starts_with("**B**: y"));
}

#[test]
fn changes_to_what_is_not_open_are_left_out() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let (units, points) = (folder.uri("units.yaml"), folder.uri("points/all.yaml"));
    client.set(&points, 2, "");
    client.close(&points);
    client.set("untitled:new", 2, "");
    client.open("untitled:new", "points: {}\n");
    client.open(&units, UNITS);
    client.lacks(&units, "name-unknown");
    client.quiet();
    client.lacks(&units, "name-unknown");
    // Opened twice, closed once: the last text, then the disk's.
    client.open(&points, "");
    client.open(&points, &POINTS.replace("HP1-OCC:", "X:"));
    client.finds(&units, "name-unknown");
    client.close(&points);
    client.lacks(&units, "name-unknown");
}
