//! Broken entries: what is said, and what is read all the same.

#![allow(clippy::format_collect)]

mod common;

use common::show;

/// Checks what a file with `text` as the section `p` is read as. Lines with `!` are faults.
fn check(text: &str, expected: &str) {
    let shown = show(&format!("p:\n{text}"));
    let shown = shown.strip_prefix("header \"p\" = ~\n").unwrap_or(&shown);
    let trim = |text: &str| text.lines().map(str::trim).collect::<Vec<_>>().join("\n");
    assert_eq!(trim(shown), trim(expected), "\n{text}");
}

#[test]
fn a_sign_that_starts_no_value() {
    check(
        "  A: {units: %RH, range: 0..100}\n  B: 1\n",
        r#"entry p.A = {"units": "%RH", "range": "0..100"}
           ! "%RH": A value cannot start with `%` in YAML. Put the value in quotes.
           entry p.B = "1""#,
    );
    check(
        "  A:\n    x: 50 %RH\n    y: @b\n    z: `c`  # why\n    v: > 50\n    w: & more\n",
        r#"entry p.A = {"x": "50 %RH", "y": "@b", "z": "`c`", "v": "> 50", "w": "& more"}
           ! "@b": A value cannot start with `@` in YAML. Put the value in quotes.
           ! "`c`": A value cannot start with a backtick in YAML. Put the value in quotes.
           ! "> 50": A value cannot start with `>` in YAML. Put the value in quotes.
           ! "& more": A value cannot start with `&` in YAML. Put the value in quotes."#,
    );
    check(
        "  A: {description: !urgent call}\n",
        r#"entry p.A = {"description": "call"}
           ! "!urgent": `!urgent` is an instruction to YAML, so this value is not read as written. Put the whole value in quotes."#,
    );
}

#[test]
fn tabs_are_as_wide_as_they_look() {
    check(
        "  A:\n\tb: 1\n\tc:\n\t  d: 2\n  B: 1\n",
        r#"entry p.A = {"b": "1", "c": {"d": "2"}}
           ! "\t": This line is indented with a tab, and YAML allows only spaces. Use spaces.
           entry p.B = "1""#,
    );
    // With the tab stop at which the line stands under its neighbours.
    check(
        "  A:\n    b: 1\n\tc: 2\n    d: {e: 3}\n  B: 1\n",
        r#"entry p.A = {"b": "1", "c": "2", "d": {"e": "3"}}
           ! "\t": This line is indented with a tab, and YAML allows only spaces. Use spaces.
           entry p.B = "1""#,
    );
    check(
        "\tA: 1\n",
        r#"entry p.A = "1"
           ! "\t": This line is indented with a tab, and YAML allows only spaces. Use spaces."#,
    );
}

#[test]
fn brackets_never_closed() {
    check(
        "  A: {b: {c: 1}  # why\n  B: 1\n",
        r#"entry p.A = {"b": {"c": "1"}}
           ! "{": `{` is opened here and never closed. Put `}` where it ends.
           entry p.B = "1""#,
    );
    check(
        "  A:\n    b: {c: [1, 2\n    d: 2\n",
        r#"entry p.A = {"b": {"c": ["1", "2"]}, "d": "2"}
           ! "{": `{` is opened here and never closed. Put `}` where it ends."#,
    );
    check(
        "  A: {b: {schedule: \n  B: 1\n",
        r#"entry p.A = {"b": {"schedule": ~}}
           ! "{": `{` is opened here and never closed. Put `}` where it ends.
           entry p.B = "1""#,
    );
    check(
        "  A: {b: 1, c: [1, 2}\n",
        r#"entry p.A = {"b": "1", "c": ["1", "2"]}
           ! "[": `[` is opened here but closed by a different bracket. Put `]` where it ends."#,
    );
    check(
        "  A: {a: 1}}\n",
        r#"entry p.A = {"a": "1"}
           ! "}": `}` closes nothing. Delete it, or open its bracket before it."#,
    );
}

#[test]
fn quotes_never_closed() {
    check(
        "  A:\n    t: \"abc\n    u: 1\n",
        r#"entry p.A = {"t": "abc", "u": "1"}
           ! "\"abc": This quote is never closed. Put `"` at the end of its text."#,
    );
    check(
        "  A: {t: 'x, y: {z: 1}}\n  B: 1\n",
        r#"entry p.A = {"t": "x, y: {z: 1}}"}
           ! "'x, y: {z: 1}}": This quote is never closed. Put `'` at the end of its text.
           entry p.B = "1""#,
    );
    check(
        "  A: {a: 'x' y, b: 2}\n",
        r#"entry p.A = {"a": "x", "b": "2"}
           ! "y": There is text after the closing quote. Put all of it inside the quotes, or none."#,
    );
    check(
        "  A: \"C:\\quay\"\n",
        r#"entry p.A = "C:\\quay"
           ! "\"C:\\quay\"": A `\` in double quotes starts an escape, and YAML does not know this one. Write `\\`, or use single quotes."#,
    );
}

#[test]
fn colons() {
    check(
        "  A:\n    device:controller-1\n    u: 1\n  B: {device:controller-1, u: 1}\n  C:{x: 1, y: 2}\n",
        r#"entry p.A = {"device": "controller-1", "u": "1"}
           ! "device:": There is no space after the colon of `device`, so it is not read as a key. Write `device: ` and the value.
           entry p.B = {"device": "controller-1", "u": "1"}
           ! "device:": There is no space after the colon of `device`, so it is not read as a key. Write `device: ` and the value.
           entry p.C = {"x": "1", "y": "2"}
           ! "C:": There is no space after the colon of `C`, so it is not read as a key. Write `C: ` and the value."#,
    );
    check(
        "  A:\n    b: c: d\n    e: 08:00-17:30\n  B: device: c, object: x\n",
        r#"entry p.A = {"b": "c: d", "e": "08:00-17:30"}
           ! "c: d": This line has a second `: `, so the value has no clear end. Put the value in quotes.
           entry p.B = "device: c, object: x"
           ! "device: c, object: x": This line has a second `: `, so the value has no clear end. Put the value in quotes."#,
    );
    check(
        "  HP1-OCC\n  B: 1\n",
        r#"entry p.- = "HP1-OCC"
           ! "HP1-OCC": This entry has no colon. Write `HP1-OCC: ` and its value.
           entry p.B = "1""#,
    );
}

#[test]
fn commas() {
    check(
        "  A: {a: 1 b: 2}\n  B: {a: {b: 1} c: 2}\n  C: [1, 2, , 3]\n",
        r#"entry p.A = {"a": "1", "b": "2"}
           ! "b:": A comma is missing before this. Put one between the two items.
           entry p.B = {"a": {"b": "1"}, "c": "2"}
           ! "c": A comma is missing before this. Put one between the two items.
           entry p.C = ["1", "2", "3"]
           ! ",": There is nothing between these two commas. Delete one of them."#,
    );
}

#[test]
fn keys_written_twice() {
    check(
        "  A: {a: 1, b: 2, a: 3}\n",
        r#"entry p.A = {"a": "1", "b": "2"}
           ! "a": `a` is here twice, and only the first is read. Delete one of them."#,
    );
    let many: String = (0..40).map(|n| format!("k{n}: 1, ")).collect();
    let shown = show(&format!("p:\n  A: {{{many}k3: 2, k30: 2}}\n"));
    assert_eq!(shown.matches("is here twice").count(), 2, "{shown}");
}

#[test]
fn lines_out_of_line() {
    check(
        "  A:\n    b: 1\n   c: 2\n    d: 3\n  B:\n    b: 1\n      c: 2\n    d: 3\n",
        r#"entry p.A = {"b": "1", "d": "3"}
           ! "c: 2": Wrong indentation. Line it up with the lines above and below, and put a space after the colon.
           entry p.B = {"b": "1", "d": "3"}
           ! "c: 2": Wrong indentation. Line it up with the lines above and below, and put a space after the colon."#,
    );
    check(
        "  A: 1\n B: 2\n  - x\n",
        r#"entry p.A = "1"
           entry p.B = "2"
           ! "B: 2": This entry is indented by 1, but the first of its section by 2. Line it up with that one.
           entry p.- = "x"
           ! "- x": The first entry of this section is a name with `:`, but this one starts with `- `. Write them all the same way."#,
    );
}

#[test]
fn aliases() {
    check(
        "  A: &a {x: [1, 2]}\n  B: *a\n  C: {<<: *a, y: 3}\n  D: {<<: [{x: 4, z: 5}, *a], z: 6}\n",
        r#"entry p.A = {"x": ["1", "2"]}
           entry p.B = {"x": ["1", "2"]}
           entry p.C = {"y": "3", "x": ["1", "2"]}
           entry p.D = {"z": "6", "x": "4"}"#,
    );
    check(
        "  A: *b\n  B: &b {x: *b}\n",
        r#"entry p.A = ~
           ! "*b": Nothing above is marked `&b`, so `*b` has no value. Write the value itself, in quotes if the `*` belongs to it.
           entry p.B = {"x": ~}
           ! "*b": `*b` is inside what `&b` marks, so it would never end. Write the value itself."#,
    );
}
