//! Edits against reading the whole text anew.

#![allow(clippy::unwrap_used, clippy::format_push_string, clippy::format_collect)]

mod common;

use std::sync::Arc;

use proptest::prelude::*;
use syntax::{Edit, Encoding, File, Piece};

/// Lines as they occur in jobs, whole and broken.
const LINES: &[&str] = &[
    "points:",
    "zones:",
    "requirements:",
    "schedules:  # of the reading room",
    "points",
    "site: Saltmarsh",
    "",
    "  HP1-OCC: {device: controller-1, object: binary-output 3, description: Occupied command}",
    "  HP1-HUM: {units: %RH, range: 0..100, measures: {zone: reading-room, quantity: humidity}}",
    "  reading-room:",
    "    schedule: reading-room-hours",
    "    occupied: {heat-below: 70 °F, cool-above: 75 °F}",
    "    unoccupied:",
    "      heat-below: 60 °F",
    "  # deviation: dehumidification-gap, emptied every summer 🧊",
    "# above a section",
    "      # deep",
    "- {zone: stacks, dew-point-at-most: 58 °F}",
    "  - {on: 2027-06-12, also: 18:00-22:00}",
    "    text: |",
    "      two lines",
    "      # of text",
    "    text: \"never closed",
    "  A: {b: [1, 2}",
    "  B: {c: {d: 1}",
    "}",
    "  }",
    " C: 1",
    "   D: {x: 1}",
    "\tE: 1",
    "---",
    "...",
    "%YAML 1.2",
    "stray words here",
    "  F: &f {x: 1}",
    "  G: *f",
    "  H: {<<: *f, y: 2}",
    "  I: *nowhere",
    "zones: *z",
    "points: &z",
    "{points: {A: {x: 1}}}",
    "{",
    "  dev:x",
    "    key: value: value",
    "  <<: *f",
    "    ? a",
    "    : b",
    "  'quoted': \"\\u263A\"",
    "calendars: {closures: [{date: 2027-12-25}]}",
    "  J: {a: 1, a: 2}",
    "    - - x",
    "  K: [",
    "\u{feff}",
    "  L: 𝄞 clef",
    "  word",
];
const BREAKS: &[&str] = &["\n", "\n", "\n", "\r\n", "\r"];

fn lines(most: usize) -> impl Strategy<Value = String> {
    let line = (prop::sample::select(LINES), prop::sample::select(BREAKS));
    prop::collection::vec(line.prop_map(|(line, end)| format!("{line}{end}")), 0..most)
        .prop_map(|lines| lines.concat())
}

fn snippet() -> impl Strategy<Value = String> {
    const BITS: &[&str] = &[
        "", " ", "  ", "\t", ":", ": ", "#", "\n", "\r", "\r\n", "{", "}", "[", "]", "\"", "'", "-", "- ",
        "x", "°", "🧊", "*f", "&f ", "|", "%", "\u{feff}", "---\n", "word",
    ];
    prop_oneof![
        3 => prop::sample::select(BITS).prop_map(str::to_owned),
        1 => lines(3),
    ]
}

/// Where an edit begins and how far it reaches, as shares of the text; and what it puts there.
fn edits() -> impl Strategy<Value = Vec<(prop::sample::Index, u32, String)>> {
    let reach = prop_oneof![4 => Just(0), 3 => 1..4_u32, 1 => 4..200_u32];
    prop::collection::vec((any::<prop::sample::Index>(), reach, snippet()), 1..8)
}

fn same(edited: &File, text: &str) {
    let fresh = File::new(text);
    let show = |pieces: &[Piece]| {
        pieces
            .iter()
            .map(|p| format!("{} {} {:?}", p.start, common::line(&p.part), p.part.faults()))
            .collect::<Vec<_>>()
    };
    assert_eq!(show(edited.pieces()), show(fresh.pieces()), "text: {text:?}");
    for (a, b) in edited.pieces().iter().zip(fresh.pieces()) {
        assert!(syntax::alike(&a.part, &b.part) && *a.part == *b.part, "text: {text:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn an_edited_file_is_the_file_read_anew(text in lines(25), edits in edits()) {
        let mut file = File::new(&text);
        let mut plain = text;
        for (at, reach, new) in edits {
            let mut from = at.index(plain.len() + 1);
            let mut to = (from + reach as usize).min(plain.len());
            while !plain.is_char_boundary(from) { from -= 1; }
            while !plain.is_char_boundary(to) { to -= 1; }
            // A position inside `\r\n` means the end of its line.
            let inside = |at: usize| plain[..at].ends_with('\r') && plain[at..].starts_with('\n');
            for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
                for at in [from, to].into_iter().filter(|at| !inside(*at)) {
                    let position = file.text().position(at as u32, encoding);
                    prop_assert_eq!(file.text().offset(position, encoding), at as u32);
                }
            }
            let before: Vec<Piece> = file.pieces().to_vec();
            let to = to.max(from);
            let change = file.edit(&Edit { range: from as u32..to as u32, new: new.clone() });
            plain.replace_range(from..to, &new);
            prop_assert_eq!(file.text().to_string(), &plain[..]);
            same(&file, &plain);

            let now = file.pieces();
            let later = before.len() - change.removed.end;
            prop_assert_eq!(change.removed.start + change.added + later, now.len());
            let kept = before[..change.removed.start].iter().zip(now)
                .chain(before.iter().rev().zip(now.iter().rev()).take(later));
            for (old, new) in kept {
                prop_assert!(Arc::ptr_eq(&old.part, &new.part));
            }
        }
    }
}

/// Entries as they stand in a section one below the other.
const ENTRIES: &[&str] = &[
    "  HP1-OCC: {device: controller-1, object: binary-output 3, description: Occupied command}",
    "  HP1-HUM: {units: %RH, range: 0..100, text: \"said \\\"so\\\"\"}",
    "  reading-room:\n    occupied: {heat-below: 70 °F, cool-above: 75 °F}\n    unoccupied:\n      heat-below: 60 °F",
    "  F: it''s 'quoted'",
    "  stacks: {\n    a: 1,\n    b: [x, 'it''s']\n  }",
];

/// What may stand between them out of the ordinary.
const ODD: &[&str] = &[
    "",
    "# a note",
    "  # deviation: point-unused, kept for later",
    "  G: {a: 1} # behind it",
    "  G: # behind the colon\n    - 1",
    "  H: &h {x: 1}",
    "  I: *h",
    "  H: &h {x: 1}\n  I: *h",
    "  H: &h {x: 1}\n  I: {<<: *h}",
    "  J:",
    "  J:\n",
    "  J:\n    # nothing",
    "  J:\n    a:\n    b:",
    "  J:\n    -",
    "  K: {a: , b: 1}",
    "  K: {a, b: }",
    "  L: |\n    two\n    lines\n",
    "  L: |+\n    two\n    lines\n\n",
    "  L: >-\n    two\n\n    lines\n\n",
    "  L: |2\n      two\n",
    "  M: {a: 1, a: 2}",
    "  N: !tag x",
    "  O: \"open",
    "  O: 'open",
    "  O: \"two\n\n    lines\"\n",
    "  P: {a: 1",
    "  P: {a: 1\n  Q: 2}",
    "  P: [a\n  Q: 2]",
    "  P: 'a\n  Q: b'",
    "  Q: 1}",
    "  \u{feff}R: 1",
    "\u{feff}  R: 1",
    "\u{feff}",
    "  S: two\n    lines",
    "  S: two\n    lines\n\n",
    "  <<: {x: 1}",
    "  ? T\n  : 1",
    "  ? T",
    "  ? [a, b]\n  : 1",
    "  {a: b}: 1",
    "  : 1",
    "  U: ~",
    "  word",
    "  - item",
    "zones:",
    "zones:\n  - a\n  - b\n  - {c: 1}",
    "zones:\n- a: 1\n  b: 2\n-\n- - x\n- {c: 'it''s', d: 'it''s'} # d\n# e\n- e",
    "  V: {a: {b: {c: [1, {d: 2}]}}}",
    "  W:x: 1",
    "   X: 1",
    "\tY: 1",
    "---",
];

/// A whole new text is read entry by entry in an edit, and many entries at once where a file is opened.
fn entries_read_at_once_are_those_read_one_by_one(text: &str) {
    let mut file = File::new("words\n");
    file.edit(&Edit { range: 0..6, new: text.into() });
    same(&file, text);
}

#[test]
fn an_odd_entry_among_others() {
    for (i, odd) in ODD.iter().enumerate() {
        for end in ["\n", "\r\n", "\r"] {
            for (before, after) in [(2, 2), (1, 0), (0, 1), (33, 1)] {
                let entries = ENTRIES.iter().cycle().skip(i).copied();
                let entries = entries.clone().take(before).chain([*odd]).chain(entries.take(after));
                let text = entries.map(|entry| format!("{entry}\n")).collect::<String>();
                entries_read_at_once_are_those_read_one_by_one(
                    &format!("points:\n{text}").replace('\n', end),
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn odd_entries_among_others(
        entries in prop::collection::vec(
            prop_oneof![20 => prop::sample::select(ENTRIES), 1 => prop::sample::select(ODD)],
            0..50,
        ),
        end in prop::sample::select(BREAKS),
    ) {
        let text = format!("points:\n{}\n", entries.join("\n"));
        entries_read_at_once_are_those_read_one_by_one(&text.replace('\n', end));
    }
}

#[test]
fn an_edit_inside_an_entry_reads_only_that_entry() {
    let mut text = String::from("points:\n");
    for n in 0..100 {
        text += &format!("  P{n}: {{device: controller-1, object: binary-output {n}}}\n");
    }
    let mut file = File::new(&text);
    let at = text.find("P50: {device").unwrap() as u32 + 6;
    let before = file.pieces().to_vec();
    let change = file.edit(&Edit { range: at..at, new: "x".into() });
    assert_eq!((change.removed.clone(), change.added), (51..52, 1));
    let other = |n: usize| n != 51;
    assert!((0..101).filter(|n| other(*n)).all(|n| Arc::ptr_eq(&before[n].part, &file.pieces()[n].part)));
    assert_eq!(file.pieces()[52].start, before[52].start + 1);
}

#[test]
fn the_same_text_again_changes_nothing() {
    let text = "# of the annex\npoints:\n  A: {x: 1}\n  B: {x: 2}\nzones:\n  Z: 1\n";
    let mut file = File::new(text);
    let change = file.edit(&Edit { range: 0..text.len() as u32, new: text.into() });
    assert_eq!((change.removed.len(), change.added), (0, 0));
    // Moved lines keep what was read from them.
    let moved = "points:\n  B: {x: 2}\n  A: {x: 1}\nzones:\n  Z: 1\n";
    let before = file.pieces().to_vec();
    file.edit(&Edit { range: 0..text.len() as u32, new: moved.into() });
    assert!(Arc::ptr_eq(&before[2].part, &file.pieces()[1].part));
}

#[test]
fn a_range_that_does_not_fit_is_cut_to_the_text() {
    let mut file = File::new("a:\n  b: 🧊\n");
    file.edit(&Edit { range: 9..4_000_000, new: "c\n".into() });
    assert_eq!(file.text().to_string(), "a:\n  b: c\n");
    #[allow(clippy::reversed_empty_ranges)]
    file.edit(&Edit { range: 8..5, new: "x".into() });
    assert_eq!(file.text().to_string(), "a:\n  xc\n");
}

#[test]
fn a_file_that_was_not_read_is_read_once_it_has_a_text() {
    let mut file = File::unreadable("it is no text");
    assert!(!file.pieces()[0].part.faults().is_empty());
    let change = file.edit(&Edit { range: 0..0, new: "a:\n  b: 1\n".into() });
    assert_eq!((change.removed, change.added), (0..1, 2));
    same(&file, "a:\n  b: 1\n");
}
