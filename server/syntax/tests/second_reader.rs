//! Whole documents against an independent reader: crate `saphyr-parser`, which is another author's
//! and reads the file at once.

#![allow(clippy::unwrap_used, clippy::format_push_string, clippy::format_collect)]

mod common;

use proptest::prelude::*;
use saphyr_parser::{Event, Parser, ScalarStyle};
use syntax::{File, PartRole};

/// What the other reader makes of `text`, as `common::node` would show it.
fn other(text: &str) -> Option<String> {
    // Open lists and maps: what they hold so far, and whether it is a map.
    let mut open: Vec<(Vec<String>, bool)> = vec![(Vec::new(), false)];
    for event in Parser::new_from_str(text) {
        let done = match event.ok()?.0 {
            Event::Scalar(value, style, ..) => {
                let nothing =
                    style == ScalarStyle::Plain && matches!(&*value, "" | "~" | "null" | "Null" | "NULL");
                if nothing { "~".into() } else { format!("{value:?}") }
            }
            Event::SequenceStart(..) => {
                open.push((Vec::new(), false));
                continue;
            }
            Event::MappingStart(..) => {
                open.push((Vec::new(), true));
                continue;
            }
            Event::SequenceEnd => format!("[{}]", open.pop()?.0.join(", ")),
            Event::MappingEnd => {
                let pairs: Vec<String> = open.pop()?.0.chunks(2).map(|pair| pair.join(": ")).collect();
                format!("{{{}}}", pairs.join(", "))
            }
            _ => continue,
        };
        open.last_mut()?.0.push(done);
    }
    open.pop()?.0.pop()
}

/// The sections of the file put together again.
fn ours(text: &str) -> String {
    let file = File::new(text);
    let mut sections: Vec<(String, Vec<String>, bool)> = Vec::new();
    for piece in file.pieces() {
        let part = &piece.part;
        assert!(part.faults().is_empty(), "{:?} in {text:?}", part.faults());
        match (part.role(), sections.last_mut()) {
            (PartRole::Header, _) => {
                sections.push((common::node(part, part.key_node()), Vec::new(), false));
            }
            (PartRole::Entry, Some((_, entries, map))) => {
                *map = part.key().is_some();
                let value = common::node(part, part.value());
                entries.push(if *map {
                    format!("{}: {value}", common::node(part, part.key_node()))
                } else {
                    value
                });
            }
            _ => {}
        }
    }
    let section = |(name, entries, map): &(String, Vec<String>, bool)| match (entries.is_empty(), map) {
        (true, _) => format!("{name}: ~"),
        (_, true) => format!("{name}: {{{}}}", entries.join(", ")),
        (_, false) => format!("{name}: [{}]", entries.join(", ")),
    };
    format!("{{{}}}", sections.iter().map(section).collect::<Vec<_>>().join(", "))
}

/// A value, written in flow or block style; block style begins on the key's line where it can.
fn value(depth: u32) -> BoxedStrategy<Value> {
    let scalar = prop_oneof![
        "[a-z][a-z0-9 -]{0,12}[a-z0-9]".prop_map(Value::Plain),
        "[0-9]{1,3}(\\.[0-9])? (°F|kPa|%RH)".prop_map(Value::Plain),
        "[ -~°🧊]{0,12}".prop_map(Value::Single),
        "[ -~°🧊\t\n]{0,12}".prop_map(Value::Double),
        prop::collection::vec("[a-z#:{\\-\"][ -~]{0,10}[a-z]", 1..4).prop_map(Value::Literal),
        prop::collection::vec("[a-z][ -~]{0,10}[a-z]", 1..4).prop_map(Value::Folded),
        Just(Value::Nothing),
    ];
    if depth == 0 {
        return scalar.boxed();
    }
    let key = "[a-z]{3,7}(-[a-z]{2})?";
    prop_oneof![
        3 => scalar,
        1 => prop::collection::vec(value(depth - 1), 1..4).prop_map(Value::List),
        1 => prop::collection::btree_map(key, value(depth - 1), 1..4).prop_map(|map| Value::Map(map.into_iter().collect())),
    ]
    .boxed()
}

#[derive(Clone, Debug)]
enum Value {
    Plain(String),
    Single(String),
    Double(String),
    Literal(Vec<String>),
    Folded(Vec<String>),
    Nothing,
    List(Vec<Value>),
    Map(Vec<(String, Value)>),
}

impl Value {
    fn flow(&self) -> String {
        let join = |all: Vec<String>| all.join(", ");
        match self {
            Value::Plain(text) => text.clone(),
            Value::Single(text) => format!("'{}'", text.replace('\'', "''")),
            Value::Double(text) => format!("{text:?}"),
            Value::Literal(lines) | Value::Folded(lines) => format!("{:?}", lines.join(" ")),
            Value::Nothing => "~".into(),
            Value::List(items) => format!("[{}]", join(items.iter().map(Value::flow).collect())),
            Value::Map(pairs) => {
                format!("{{{}}}", join(pairs.iter().map(|(k, v)| format!("{k}: {}", v.flow())).collect()))
            }
        }
    }

    /// Behind a key or a dash, in a block indented by `indent`.
    fn block(&self, indent: usize, styles: &mut impl Iterator<Item = bool>) -> String {
        let pad = " ".repeat(indent + 2);
        match self {
            Value::Literal(lines) | Value::Folded(lines) => {
                let sign = if matches!(self, Value::Folded(_)) { ">-" } else { "|" };
                format!(" {sign}\n{}", lines.iter().map(|line| format!("{pad}{line}\n")).collect::<String>())
            }
            Value::Nothing => "\n".into(),
            Value::List(items) if styles.next() == Some(true) => {
                let items = items.iter().map(|item| format!("{pad}-{}", item.block(indent + 2, styles)));
                format!("  # a list\n{}", items.collect::<String>())
            }
            Value::Map(pairs) if styles.next() == Some(true) => {
                let pairs = pairs
                    .iter()
                    .map(|(k, v)| format!("{pad}# {k}\n{pad}{k}:{}", v.block(indent + 2, styles)));
                format!("\n{}", pairs.collect::<String>())
            }
            _ => format!(" {}\n", self.flow()),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn both_readers_agree(
        sections in prop::collection::btree_map("[a-z]{4,9}", prop::collection::btree_map("[A-Z]{1,3}-[0-9]{1,3}", value(3), 1..6), 1..5),
        styles in prop::collection::vec(any::<bool>(), 40),
        list in any::<bool>(),
        crlf in any::<bool>(),
    ) {
        let mut text = String::from("# a job\n");
        let mut styles = styles.into_iter().cycle();
        for (name, entries) in &sections {
            text += &format!("\n# section\n{name}:\n");
            for (key, value) in entries {
                text += &if list { format!("-{}", value.block(0, &mut styles)) } else { format!("  {key}:{}", value.block(2, &mut styles)) };
            }
        }
        if crlf {
            text = text.replace('\n', "\r\n");
        }
        let other = other(&text);
        prop_assume!(other.is_some());
        prop_assert_eq!(ours(&text), other.unwrap(), "{}", text);
    }
}

#[test]
fn flow_files_and_odd_corners() {
    for text in [
        "{\"points\": {\"A\": {\"x\": 1},\n\"B\": [1, {}]},\n \"zones\": {\"Z\": null}}\n",
        "points: {A: {x: 1}, B: [1, 2]}\nzones: {Z: 'it''s'}\n",
        "---\npoints:\n  ? A\n  : x\n  ? B\n  : [y]\n",
        "points:\n  A: {x: 1,\n    y: 2\n  }\n  B: [\n    1\n  ]\n",
        "\"points\":\n  \"A\": \"\\u263A\\\n    x\"\n  'B': plain\n    goes on\n",
        "points:\n  A: |+\n    kept\n\n\n  B: >2\n      deeper\n    less\n",
        "points:\n- - a\n  - b\n-\n  c: 1\n- ? d\n  : e\nzones:\n  -  f: 1\n     g: 2\n",
        "points:\n  A: !!str 5\n  B: ! x\n  C: \"\"\n  D: ''\n",
        "points:\n  A:\n\n  # between\n\n    x: 1\n  B: {x: , y}\n",
    ] {
        assert_eq!(Some(ours(text)), other(text), "{text}");
    }
}
