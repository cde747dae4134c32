//! Writing YAML: what is written is read back as it was meant, and all else stays as it stood.

#![allow(clippy::unwrap_used, clippy::format_push_string)]

use proptest::prelude::*;
use saphyr_parser::{Event, Parser};
use std::sync::Arc;
use syntax::write::{Writer, scalar, scalar_in};
use syntax::{Edit, File, NodeId, NodeKind, Part};

/// What is written, without where and how.
#[derive(Clone, PartialEq, Debug)]
enum Value {
    Nothing,
    Text(String),
    List(Vec<Value>),
    Map(Vec<(String, Value)>),
}

fn entry(text: &str) -> Arc<Part> {
    let file = File::new(text);
    let part = file.pieces().iter().map(|piece| &piece.part).find(|part| part.key().is_some()).unwrap();
    assert!(part.faults().is_empty(), "{text:?}: {:?}", part.faults());
    Arc::clone(part)
}

fn value(part: &Part, node: NodeId) -> Value {
    match part.kind(node) {
        NodeKind::Null => Value::Nothing,
        NodeKind::Scalar => Value::Text(part.scalar(node).unwrap().to_owned()),
        NodeKind::List => Value::List(part.items(node).map(|item| value(part, item)).collect()),
        NodeKind::Map => Value::Map(
            part.pairs(node).map(|(key, v)| (part.scalar(key).unwrap().to_owned(), value(part, v))).collect(),
        ),
    }
}

/// The file after an edit of its one entry, which is compared with what an edit of the text gives.
fn edited(text: &str, part: &Part, edit: &Edit) -> String {
    let start = text.find(part.text()).unwrap();
    let range = start + edit.range.start as usize..start + edit.range.end as usize;
    let mut text = text.to_owned();
    text.replace_range(range, &edit.new);
    text
}

fn comments(part: &Part) -> Vec<String> {
    let text = part.text();
    let each = part.comments().iter();
    each.map(|c| text[c.range.start as usize..c.range.end as usize].to_owned()).collect()
}

/// Every line ends as all did.
fn ends_alike(text: &str, line_break: &str) -> bool {
    match line_break {
        "\r\n" => text.matches("\r\n").count() == text.matches(['\r', '\n']).count() / 2,
        _ => !text.contains('\r'),
    }
}

fn words() -> impl Strategy<Value = String> {
    const SIGNS: &[&str] = &[
        "a", "B", "7", " ", ":", ": ", " #", "#", "-", "- ", ",", "[", "]", "{", "}", "'", "\"", "\\", "|",
        ">", "&", "*", "!", "%", "@", "`", "?", "~", "null", "<<", "\n", "\r\n", "\t", "\u{1b}", "\u{85}",
        "\u{202e}", "\u{2028}", "\u{feff}", "é", "°F", "😀", "true", ".5", "---", "...", "\0", "\u{7f}",
        "\u{9b}",
    ];
    let sign = prop_oneof![8 => prop::sample::select(SIGNS).prop_map(str::to_owned), 1 => any::<char>().prop_map(String::from)];
    prop::collection::vec(sign, 0..7).prop_map(|signs| signs.concat())
}

fn values() -> impl Strategy<Value = Value> {
    let leaf =
        prop_oneof![Just(Value::Nothing), "[a-c]{1,3}".prop_map(Value::Text), words().prop_map(Value::Text)];
    leaf.prop_recursive(3, 16, 4, |inner| {
        let pairs = prop::collection::btree_map("[a-e]{1,2}", inner.clone(), 1..4);
        prop_oneof![
            prop::collection::vec(inner, 1..4).prop_map(Value::List),
            pairs.prop_map(|pairs| Value::Map(pairs.into_iter().collect())),
        ]
    })
}

/// Writes a value by hand, in brackets or as a block, with comments here and there. `dice` decides.
struct Layout<'d> {
    dice: std::iter::Cycle<std::slice::Iter<'d, u8>>,
}

impl Layout<'_> {
    fn comment(&mut self, out: &mut String) {
        if self.dice.next().is_some_and(|die| die % 4 == 0) {
            out.push_str(" # said here");
        }
    }

    fn inline(&mut self, value: &Value) -> String {
        match value {
            Value::Nothing => "null".to_owned(),
            Value::Text(text) => match self.dice.next().unwrap() % 3 {
                0 if !text.contains(|c: char| c.is_control() || "\u{2028}\u{feff}".contains(c)) => {
                    scalar_in(text, Some('\''))
                }
                1 => scalar_in(text, Some('"')),
                _ => scalar(text),
            },
            Value::List(items) => {
                let items: Vec<String> = items.iter().map(|item| self.inline(item)).collect();
                format!("[{}]", items.join(", "))
            }
            Value::Map(pairs) => {
                let pairs: Vec<String> =
                    pairs.iter().map(|(key, value)| format!("{key}: {}", self.inline(value))).collect();
                format!("{{{}}}", pairs.join(", "))
            }
        }
    }

    fn block(&mut self, out: &mut String, indent: usize, value: &Value) {
        let pad = " ".repeat(indent);
        let nested = |value: &Value, die: u8| {
            matches!(value, Value::List(_) | Value::Map(_)) && !die.is_multiple_of(3)
        };
        match value {
            Value::Map(pairs) => {
                for (key, value) in pairs {
                    out.push_str(&format!("{pad}{key}:"));
                    self.behind(out, indent, value, nested);
                }
            }
            Value::List(items) => {
                for item in items {
                    out.push_str(&format!("{pad}-"));
                    self.behind(out, indent, item, nested);
                }
            }
            Value::Nothing | Value::Text(_) => {}
        }
    }

    fn behind(&mut self, out: &mut String, indent: usize, value: &Value, nested: fn(&Value, u8) -> bool) {
        let die = *self.dice.next().unwrap();
        if nested(value, die) {
            if out.ends_with('-') && die.is_multiple_of(2) {
                // On the dash's own line.
                let mut inner = String::new();
                self.block(&mut inner, indent + 2, value);
                out.push_str(&inner[indent + 1..]);
                return;
            }
            self.comment(out);
            out.push('\n');
            self.block(out, indent + 2, value);
        } else {
            if *value != Value::Nothing || die.is_multiple_of(2) {
                out.push(' ');
                out.push_str(&self.inline(value));
            }
            self.comment(out);
            out.push('\n');
        }
    }
}

fn document(value: &Value, dice: &[u8], line_break: &str) -> String {
    let mut text = String::from("points:\n  # above\n  P:");
    Layout { dice: dice.iter().cycle() }
        .behind(&mut text, 2, value, |value, _| matches!(value, Value::List(_) | Value::Map(_)));
    text.push_str("  Q: {}\n");
    text.replace('\n', line_break)
}

/// The nodes of one kind.
fn nodes(part: &Part, kind: NodeKind) -> Vec<NodeId> {
    (1..part.nodes()).map(NodeId).filter(|n| part.kind(*n) == kind).collect()
}

/// The way from an entry's value to a node of it: numbers of children.
fn way(part: &Part, node: NodeId) -> Vec<usize> {
    let mut way = Vec::new();
    let mut at = node;
    while let Some(above) = part.parent(at) {
        let mut children: Vec<NodeId> = part.items(above).collect();
        children.extend(part.pairs(above).map(|(_, value)| value));
        way.push(children.iter().position(|child| *child == at).unwrap());
        at = above;
    }
    way.reverse();
    way
}

fn at<'v>(value: &'v mut Value, way: &[usize]) -> &'v mut Value {
    way.iter().fold(value, |value, n| match value {
        Value::List(items) => &mut items[*n],
        Value::Map(pairs) => &mut pairs[*n].1,
        _ => unreachable!(),
    })
}

/// Takes out what stands at the end of a way, and with it what would be left empty. Not if that is all.
fn without(value: &mut Value, way: &[usize]) -> bool {
    let Some((last, above)) = way.split_last() else { return false };
    let emptied = match at(value, above) {
        Value::List(items) => {
            items.remove(*last);
            items.is_empty()
        }
        Value::Map(pairs) => {
            pairs.remove(*last);
            pairs.is_empty()
        }
        _ => unreachable!(),
    };
    !emptied || without(value, above)
}

/// Whether it is some child's value and no key.
fn is_value(part: &Part, node: NodeId) -> bool {
    part.parent(node).is_none_or(|above| part.pairs(above).all(|(key, _)| key != node))
}

/// Holds an edit to what was meant by it.
fn holds(text: &str, part: &Part, edit: Option<Edit>, meant: &Value, line_break: &str, comments_stay: bool) {
    let Some(edit) = edit else { return };
    let after = edited(text, part, &edit);
    let read = entry(&after);
    assert_eq!(value(&read, read.value()), *meant, "{text:?}\n{after:?}\n{edit:?}");
    assert!(ends_alike(&after, line_break), "{after:?}");
    assert!(!comments_stay || comments(&read) == comments(part), "{text:?}\n{after:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_scalar_is_read_back(text in words(), quote in prop::sample::select(&[None, Some('\''), Some('"')])) {
        let written = scalar_in(&text, quote);
        prop_assert!(!written.contains(|c: char| c.is_control() || "\u{202e}\u{2028}".contains(c)), "{written:?}");
        for yaml in [
            format!("points:\n  P: {written} # said\n"),
            format!("points:\n  P: [{written}, a]\n"),
            format!("points:\n  P: {{k: {written}}}\n"),
            format!("points:\n  P:\n    - {written}\n"),
            format!("points:\n  P:\n    {written}: b\n"),
            format!("points:\n  P: {{{written}: b}}\n"),
        ] {
            let part = entry(&yaml);
            let found = (1..part.nodes()).filter_map(|n| part.scalar(NodeId(n))).any(|read| read == text);
            prop_assert!(found, "{text:?} in {yaml:?}");
            // Another reader of YAML agrees.
            let mut events = Parser::new_from_str(&yaml);
            let other = events.any(|event| matches!(event, Ok((Event::Scalar(read, ..), _)) if *read == *text));
            prop_assert!(other, "{text:?} in {yaml:?}");
        }
    }

    #[test]
    fn edits_change_what_they_are_to_and_nothing_else(
        meant in values(),
        new in words(),
        dice in prop::collection::vec(any::<u8>(), 1..40),
        line_break in prop::sample::select(&["\n", "\r\n"]),
        pick in any::<prop::sample::Index>(),
    ) {
        let text = document(&meant, &dice, line_break);
        let part = entry(&text);
        prop_assert_eq!(&value(&part, part.value()), &meant, "{:?}", text);
        let writer = Writer::new(&part);
        let scalars: Vec<NodeId> = nodes(&part, NodeKind::Scalar).into_iter().chain(nodes(&part, NodeKind::Null)).filter(|n| is_value(&part, *n)).collect();
        if !scalars.is_empty() {
            let node = *pick.get(&scalars);
            let mut then = meant.clone();
            *at(&mut then, &way(&part, node)) = Value::Text(new.clone());
            let edit = writer.value(node, &new);
            prop_assert!(edit.is_some());
            holds(&text, &part, edit, &then, line_break, true);
        }
        let maps = nodes(&part, NodeKind::Map);
        if !maps.is_empty() {
            let map = *pick.get(&maps);
            let path = way(&part, map);
            let mut then = meant.clone();
            let Value::Map(pairs) = at(&mut then, &path) else { unreachable!() };
            pairs.push((format!("{new}zz"), Value::Text("v".to_owned())));
            holds(&text, &part, writer.pair(map, &format!("{new}zz"), "v"), &then, line_break, true);
            let pairs: Vec<(NodeId, NodeId)> = part.pairs(map).collect();
            let n = pick.index(pairs.len());
            let mut then = meant.clone();
            if without(&mut then, &[path.as_slice(), &[n]].concat()) {
                holds(&text, &part, writer.without_pair(map, pairs[n].0), &then, line_break, true);
            }
        }
        let lists = nodes(&part, NodeKind::List);
        if !lists.is_empty() {
            let list = *pick.get(&lists);
            let path = way(&part, list);
            let items: Vec<NodeId> = part.items(list).collect();
            let n = pick.index(items.len());
            let mut then = meant.clone();
            let Value::List(values) = at(&mut then, &path) else { unreachable!() };
            values.insert(n + 1, Value::Text(new.clone()));
            holds(&text, &part, writer.item(list, items[n], &scalar(&new)), &then, line_break, true);
            let mut then = meant.clone();
            if without(&mut then, &[path.as_slice(), &[n]].concat()) {
                holds(&text, &part, writer.without_item(list, items[n]), &then, line_break, true);
            }
        }
        for n in 0..part.comments().len() {
            let edit = writer.without_comment(n).unwrap();
            let read = entry(&edited(&text, &part, &edit));
            prop_assert_eq!(&value(&read, read.value()), &meant);
            let mut left = comments(&part);
            left.remove(n);
            prop_assert_eq!(comments(&read), left);
        }
    }
}

#[test]
fn quotes_stay_as_they_were() {
    for (before, after) in [("'a'", "'it''s'"), ("\"a\"", "\"it's\""), ("a", "it's")] {
        let part = entry(&format!("points:\n  P: {before}\n"));
        assert_eq!(Writer::new(&part).value(part.value(), "it's").unwrap().new, after);
    }
}

#[test]
fn what_would_lose_a_comment_is_not_written() {
    let part = entry("points:\n  P: {a: 1, # why\n    b: 2}\n");
    let writer = Writer::new(&part);
    assert_eq!(writer.yaml(part.value(), "{}"), None);
    let (first, _) = part.pairs(part.value()).next().unwrap();
    assert_eq!(writer.without_pair(part.value(), first), None);
}
