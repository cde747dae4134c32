//! Whatever a job says, what an editor shows of it has no picture, no link and no HTML.

#![allow(clippy::unwrap_used, clippy::panic)]

mod client;

use client::{Client, Folder, everything};
use pulldown_cmark::{Event, Options, Parser, Tag};
use serde_json::Value;

const TEXT: &str =
    "![x](http://evil.example/p.png) [c](command:x) <img src=x onerror=alert(1)> *fan* <spare> _x_ `";

/// A job whose names and texts are all hostile.
const JOB: &str = r#"site: {name: Saltmarsh Records Centre, time-zone: America/New_York, review: {from: 2027-01-01, days: 7}}
calendars:
  "![c](http://evil.example/c.png)": [{date: 2027-12-25}]
schedules:
  "![s](http://evil.example/s.png)":
    values: occupancy
    default: unoccupied
    week: {mon-fri: 08:00-17:00}
    exceptions: [{on: "![c](http://evil.example/c.png)", hours: none}]
zones:
  "<img src=z>":
    schedule: "![s](http://evil.example/s.png)"
    occupied: {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 55 %RH}
requirements:
  - {zone: "<img src=z>", dehumidification: always}
unit-types:
  "<b>[t](command:x)":
    description: "TEXT"
    options:
      "[o](command:x)": {description: "TEXT", choices: ["![a](b)", "<i>"], default: "<i>"}
    inputs:
      cool-1: {terminal: "<Y>", description: "TEXT"}
      dehumidify: {description: "TEXT"}
    terms: {run: cool-1 or dehumidify}
    outputs:
      fan: {when: run, description: "TEXT"}
    serves: {cooling: fan}
units:
  "![u](http://evil.example/u.png)":
    type: "<b>[t](command:x)"
    zone: "<img src=z>"
    options: {"[o](command:x)": "![a](b)"}
    inputs: {cool-1: "![p](http://evil.example/p.png)", dehumidify: {tied-to: cool-1}}
    outputs: {fan: "</p>`"}
devices:
  "[d](http://evil.example)": {instance: 1, network: 1}
points:
  "![p](http://evil.example/p.png)": {device: "[d](http://evil.example)", object: binary-output 1, description: "TEXT", driven-by: {point: "![q](http://evil.example/q.png)"}}
  "![q](http://evil.example/q.png)": {device: "[d](http://evil.example)", object: binary-output 2, description: "TEXT", driven-by: {call: cool-1, zone: "<img src=z>"}}
  "</p>`": {device: "[d](http://evil.example)", object: binary-input 1, description: "TEXT", driven-by: {contact: "<s>`![x](y)"}}
"#;

/// The words that a hover shows; it is text, code, bold and lists, and nothing else.
fn shown(markdown: &str) -> String {
    let mut shown = String::new();
    for event in Parser::new_ext(markdown, Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH) {
        match event {
            Event::Text(text) | Event::Code(text) => shown.push_str(&text),
            Event::HardBreak | Event::SoftBreak => shown.push('\n'),
            Event::Start(Tag::Paragraph | Tag::Strong | Tag::List(None) | Tag::Item) | Event::End(_) => {}
            odd => panic!("{odd:?} in {markdown}"),
        }
    }
    // Many clients make links of bare addresses, but not in code.
    assert!(!bare(markdown).contains("http://"), "{markdown}");
    shown
}

/// The Markdown without its code.
fn bare(markdown: &str) -> String {
    let words = Parser::new(markdown).into_offset_iter();
    let code = words.filter(|(event, _)| matches!(event, Event::Code(_)));
    let mut bare = markdown.to_owned();
    code.for_each(|(_, range)| bare.replace_range(range.clone(), &"x".repeat(range.len())));
    bare
}

#[test]
fn hovers_and_documentation_are_words() {
    let job = JOB.replace("TEXT", TEXT);
    let folder = Folder::new(&[("site.yaml", &job)]);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("site.yaml");
    client.open(&uri, &job);
    let mut hovers = std::collections::BTreeSet::new();
    for (line, text) in job.lines().enumerate() {
        let line = u32::try_from(line).unwrap();
        for column in 0..u32::try_from(text.encode_utf16().count()).unwrap() {
            let hover = client.hover(&uri, line, column);
            if !hover.is_empty() {
                hovers.insert(hover);
            }
        }
    }
    assert!(hovers.len() > 40, "{}", hovers.len());
    let shown: Vec<String> = hovers.iter().map(|hover| shown(hover)).collect();
    // As it is written, but for what a single backquote would do.
    for name in [
        "![p](http://evil.example/p.png)",
        "<img src=z>",
        "[o](command:x)",
        "<b>[t](command:x)",
        "[d](http://evil.example)",
    ] {
        assert!(shown.iter().any(|words| words.contains(name)), "{name} in {shown:#?}");
    }
    assert!(shown.iter().any(|words| words.contains("*fan* <spare> _x_ `")), "{shown:#?}");
    // Documentation beside a completion.
    let more = folder.uri("more.yaml");
    client.open(&more, "units:\n  X: {zone: ");
    let list = client.at("textDocument/completion", &more, 1, 12)["items"].clone();
    let mut resolved = 0;
    for item in list.as_array().unwrap() {
        let item = client.request("completionItem/resolve", item.clone())["result"].clone();
        if item["documentation"]["kind"] == "markdown" {
            self::shown(item["documentation"]["value"].as_str().unwrap());
            resolved += 1;
        }
    }
    assert!(resolved > 0);
    // A client without Markdown is shown the same words.
    let mut can = everything();
    can["textDocument"]["hover"] = Value::Null;
    let mut client = Client::with(&[&folder.path("")], can, Value::Null);
    client.open(&uri, &job);
    let line = job.lines().position(|line| line.starts_with("  \"![p]")).unwrap();
    let plain = client.hover(&uri, u32::try_from(line).unwrap(), 5);
    assert!(plain.starts_with(&format!("![p](http://evil.example/p.png): {TEXT}\n")), "{plain}");
    assert!(plain.contains("follows ![q](http://evil.example/q.png)"), "{plain}");
}
