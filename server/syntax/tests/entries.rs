//! How a file falls into parts, and what a part tells of its nodes.

#![allow(clippy::unwrap_used)]

mod common;

use common::show;
use syntax::{File, NodeId, NodeKind, Part};

fn check(text: &str, expected: &str) {
    let trim = |text: &str| text.lines().map(str::trim).collect::<Vec<_>>().join("\n");
    assert_eq!(trim(&show(text)), trim(expected), "\n{text}");
}

/// The text of each part.
fn texts(text: &str) -> Vec<String> {
    File::new(text).pieces().iter().map(|piece| piece.part.text().to_owned()).collect()
}

#[test]
fn comments_belong_to_what_follows_and_blank_lines_to_what_stands_before() {
    let text = "# file\npoints:  # inline\n\n  # of A\n  A: 1\n    # inside A\n\n  # of B\n  B:\n  # inside B\n    x: 1\n# of zones\nzones:\n  Z: 1\n# last\n";
    assert_eq!(
        texts(text),
        [
            "# file\npoints:  # inline\n\n",
            "  # of A\n  A: 1\n    # inside A\n\n",
            "  # of B\n  B:\n  # inside B\n    x: 1\n",
            "# of zones\nzones:\n",
            "  Z: 1\n# last\n",
        ]
    );
    let file = File::new(text);
    let comments: Vec<usize> = file.pieces().iter().map(|piece| piece.part.comments().len()).collect();
    assert_eq!(comments, [2, 2, 2, 1, 1]);
    assert!(!file.pieces()[0].part.comments()[1].own_line);
}

#[test]
fn a_list_may_stand_no_deeper_than_its_key() {
    let text =
        "calendars:\n  closures:\n  - {date: 2027-12-25}\n  # and\n  - {date: 2027-12-26}\n  other: []\n";
    let closures = "  closures:\n  - {date: 2027-12-25}\n  # and\n  - {date: 2027-12-26}\n";
    assert_eq!(texts(text), ["calendars:\n", closures, "  other: []\n"]);
    let part = File::new(text).pieces()[1].part.clone();
    assert_eq!((part.kind(part.value()), part.items(part.value()).count()), (NodeKind::List, 2));
}

#[test]
fn a_hash_in_a_block_scalar_is_content() {
    check(
        "points:\n  A:\n    description: |\n      one\n      # two\n  B: 1\nsite:\n  name: >-\n    # a\n    b\n",
        r##"header "points" = ~
           entry points.A = {"description": "one\n# two\n"}
           entry points.B = "1"
           header "site" = ~
           entry site.name = "# a b""##,
    );
}

#[test]
fn sections_read_at_once() {
    check(
        "points: {A: {x: 1},  # of A\n  B: [1]}\nlist: [a, {b: c}]\nq: 5\nr: {}\ns: |\n  text\n",
        r#"header "points" = ~
           entry points.A = {"x": "1"}
           entry points.B = ["1"]
           header "list" = ~
           entry list.- = "a"
           entry list.- = {"b": "c"}
           header "q" = ~
           entry q.- = "5"
           ! "5": `q` is a section, but this is a single value. Write each entry on its own indented line below.
           header "r" = ~
           header "s" = ~
           entry s.- = "text\n"
           ! "text": `s` is a section, but this is a single value. Write each entry on its own indented line below."#,
    );
    check(
        "{\"points\": {\"A\": {\"x\": 1},\n\"B\": [1]},\n\"zones\": {}}\n",
        r#"header "points" = ~
           entry points.A = {"x": "1"}
           entry points.B = ["1"]
           header "zones" = ~"#,
    );
    check(
        "zones: &z\n  A: 1\n  B: 2\npoints: *z\n",
        r#"header "zones" = ~
           entry zones.A = "1"
           entry zones.B = "2"
           header "points" = ~
           entry points.A = "1"
           entry points.B = "2""#,
    );
}

#[test]
fn what_stands_outside_any_section() {
    check(
        "%YAML 1.2\n---\nzones\n  A: 1\nhello there\npoints:\n  B: 1\n---\npoints:\n- a\n-\n  b: 1\n...\n",
        r#"stray "%YAML 1.2\n"
           ! "%YAML 1.2": A line that starts with `%` is an instruction to YAML and is not used here. Delete it.
           stray "---\n"
           header "zones" = ~
           ! "zones": This section has no colon. Write `zones:`.
           entry zones.A = "1"
           stray "hello there\n"
           ! "hello there": This is outside any section. Put it under a section, or delete it.
           header "points" = ~
           entry points.B = "1"
           stray "---\n"
           ! "---": This line starts a second document, but its sections are read as part of this file. Delete it.
           header "points" = ~
           ! "points:": This file already has a section `points`. Move these entries there, and delete this line.
           entry points.- = "a"
           entry points.- = {"b": "1"}
           stray "...\n""#,
    );
    check("", r#"stray """#);
    check("# only this\n\n", r##"stray "# only this\n\n""##);
    check(
        " points:\n   A: 1\n",
        r#"header "points" = ~
           ! "points:": A section starts at the left margin. Delete what is before `points`.
           entry points.A = "1""#,
    );
}

#[test]
fn a_closing_bracket_ends_its_entry_at_any_indentation() {
    check(
        "points:\n  A: {x: 1,\n    y: 2\n  }\n  B: [\n1\n  ]\nr:\n- {a: 1\n}\n",
        r#"header "points" = ~
           entry points.A = {"x": "1", "y": "2"}
           entry points.B = []
           ! "[": `[` is opened here and never closed. Put `]` where it ends.
           stray "1\n  ]\n"
           ! "1": This is outside any section. Put it under a section, or delete it.
           header "r" = ~
           entry r.- = {"a": "1"}"#,
    );
}

fn entry(text: &str) -> std::sync::Arc<Part> {
    File::new(&format!("p:\n{text}")).pieces()[1].part.clone()
}

#[test]
fn spans_are_where_things_are_written() {
    let part = entry("  A: {a: , b: 'x''y', c: \"z\", d: ~}  # tail\n");
    let at = |n: u32| &part.text()[part.span(NodeId(n)).start as usize..part.span(NodeId(n)).end as usize];
    let shown: Vec<&str> = (0..part.nodes()).map(at).collect();
    assert_eq!(
        shown,
        ["A", "{a: , b: 'x''y', c: \"z\", d: ~}", "a", "", "b", "'x''y'", "c", "\"z\"", "d", "~"]
    );
    // Nothing stands behind the colon and a space.
    assert_eq!(part.span(NodeId(3)).start, 9);
    assert!(part.is_plain(NodeId(2)) && !part.is_plain(NodeId(5)) && !part.is_plain(NodeId(9)));
    assert_eq!(part.scalar(NodeId(5)), Some("x'y"));
    assert_eq!(part.node_at(9), Some(NodeId(3)));
    assert_eq!((part.parent(NodeId(5)), part.parent(NodeId(1))), (Some(NodeId(1)), None));

    let part = entry("  A:\n    - b: 1\n      c: [2]\n    - d\n  # tail\n");
    let value = part.span(part.value());
    assert_eq!(&part.text()[value.start as usize..value.end as usize], "b: 1\n      c: [2]\n    - d");
    assert_eq!(part.items(part.value()).count(), 2);
    assert_eq!(part.pairs(part.value()).count(), 0);

    // A list's item is its own name; what is not there is nothing.
    let part = entry("- {b: 1}\n");
    assert_eq!((part.key(), part.key_node(), part.value()), (None, NodeId(0), NodeId(0)));
    assert_eq!((part.kind(NodeId(99)), part.scalar(NodeId(99))), (NodeKind::Null, None));
}

#[test]
fn nodes_keep_their_numbers_through_white_space_and_comments() {
    let tight = entry("  A: {a: 1, b: [x, y]}\n");
    let loose = entry("  # above\n  A:   {a:   1,  # of a\n    b: [ x , y ]}\n");
    assert!(syntax::alike(&tight, &loose));
    assert!(!syntax::alike(&tight, &entry("  A: {a: 1, b: [x, z]}\n")));
}

#[test]
fn aliases_stand_where_they_are_written() {
    let file = File::new("p:\n  A: &a {x: 1}\n  B: {c: *a}\n");
    let part = &file.pieces()[2].part;
    let (_, copy) = part.pairs(part.value()).next().unwrap();
    let (key, _) = part.pairs(copy).next().unwrap();
    for n in [copy, key] {
        let span = part.span(n);
        assert_eq!(&part.text()[span.start as usize..span.end as usize], "*a");
    }
    assert_eq!(part.scalar(key), Some("x"));
    assert!(!part.is_plain(key));
}

#[test]
fn parts_go_between_threads() {
    fn shared<T: Send + Sync>(_: &T) {}
    shared(&File::new("p:\n  A: 1\n"));
}
