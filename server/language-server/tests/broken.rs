//! Messages that cannot be read are answered, and the server goes on.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, POINTS};
use client::{Client, Folder};
use serde_json::{Value, json};

/// Source: JSON-RPC 2.0, section 5.1, for the codes.
#[test]
fn each_is_refused_by_itself() {
    const NO_JSON: i64 = -32700;
    const NO_REQUEST: i64 = -32600;
    let nested =
        format!("{{\"jsonrpc\":\"2.0\",\"method\":\"x\",\"params\":{}{}}}", "[".repeat(300), "]".repeat(300));
    let huge = r#"{"jsonrpc":"2.0","method":"x","params":[1e999]}"#;
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("points/all.yaml");
    client.open(&uri, POINTS);
    for (body, code) in [
        (&b"{\"a\":,}"[..], NO_JSON),
        (b"", NO_JSON),
        (b"\xff\xfe", NO_JSON),
        (b"{\"jsonrpc\":\"2.0\",\"method\":\"\xed\xa0\x80\"}", NO_JSON),
        (nested.as_bytes(), NO_JSON),
        (huge.as_bytes(), NO_JSON),
        (br#""\ud83"#, NO_JSON),
        (b"[]", NO_REQUEST),
        (b"3", NO_REQUEST),
        (b"{}", NO_REQUEST),
        (br#"{"jsonrpc":"1.0","method":"x"}"#, NO_REQUEST),
        (br#"{"jsonrpc":"2.0","id":1.5,"method":"x"}"#, NO_REQUEST),
        (br#"[{"jsonrpc":"2.0","id":1,"method":"shutdown"}]"#, NO_REQUEST),
    ] {
        client.send_body(body);
        // The request behind it has its answer, from the text as it was.
        assert!(client.hover(&uri, 3, 3).contains("Cooling call"), "{}", String::from_utf8_lossy(body));
        assert_eq!(client.refusal(), code, "{}", String::from_utf8_lossy(body));
        assert_eq!(client.refusals, Vec::<Value>::new());
    }
    assert!(client.shut_down());
}

/// What a client's text holds where half a character was typed, deleted or pasted.
#[test]
fn half_a_character_counts_one_unit_and_positions_stay_in_step() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("points/all.yaml");
    client.open(&uri, "points:\n  A: {description: x}\n");
    let change = |version: i32, start: u32, end: u32, text: &str| {
        let (start, end) = (json!({"line": 1, "character": start}), json!({"line": 1, "character": end}));
        let message = json!({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
            "textDocument": {"uri": uri, "version": version},
            "contentChanges": [{"range": {"start": start, "end": end}, "text": "TEXT"}]
        }});
        message.to_string().replace("TEXT", text)
    };
    let shown = |client: &mut Client| {
        let hover = client.hover(&uri, 1, 3);
        hover.lines().next().unwrap_or_default().trim_end().to_owned()
    };
    // One half, the text behind it, and the other half where the client sees one character.
    client.send_body(change(2, 19, 19, r"\ud83d").as_bytes());
    assert_eq!(shown(&mut client), "**A**: \u{fffd}x");
    client.send_body(change(3, 21, 21, "y").as_bytes());
    assert_eq!(shown(&mut client), "**A**: \u{fffd}xy");
    client.send_body(change(4, 20, 20, r"\ude00").as_bytes());
    assert_eq!(shown(&mut client), "**A**: \u{fffd}\u{fffd}xy");
    client.send_body(change(5, 19, 21, r"\ud83d\ude00").as_bytes());
    assert_eq!(shown(&mut client), "**A**: \u{1f600}xy");
    client.send_body(change(6, 22, 23, "").as_bytes());
    assert_eq!(shown(&mut client), "**A**: \u{1f600}x");
    assert_eq!(client.refusals, Vec::<Value>::new());
    assert!(client.shut_down());
}

/// Headers as some clients write them.
#[test]
fn headers_are_read_whatever_their_case_and_company() {
    let mut client = Client::start(&[]);
    let body = |id: u32| {
        format!(r#"{{"jsonrpc":"2.0","id":{id},"method":"workspace/symbol","params":{{"query":"x"}}}}"#)
    };
    for (id, header) in [
        (101, "content-length: LENGTH\r\n\r\n"),
        (102, "Content-Type: application/vscode-jsonrpc; charset=utf-8\r\nContent-Length: LENGTH\r\n\r\n"),
        (103, "Content-Length:LENGTH\r\nX-Other: a:b\r\nX-More: c\r\n\r\n"),
    ] {
        let body = body(id);
        client.send_bytes(header.replace("LENGTH", &body.len().to_string()).as_bytes());
        client.send_bytes(body.as_bytes());
        assert_eq!(client.answer(i64::from(id))["result"], json!([]));
    }
    // Without a length nobody can tell where the next message begins.
    client.send_bytes(b"Content-Long: 3\r\n\r\n{}");
    assert!(!client.hang_up());
}
