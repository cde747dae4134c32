//! Positions against an oracle that counts characters one by one.

#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use syntax::{Edit, Encoding, File, Position, Text};

const ENCODINGS: [Encoding; 3] = [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32];

fn width(c: char, encoding: Encoding) -> u32 {
    (match encoding {
        Encoding::Utf8 => c.len_utf8(),
        Encoding::Utf16 => c.len_utf16(),
        Encoding::Utf32 => 1,
    }) as u32
}

/// Every character's offset and position; those of a line break all stand at the line's end.
fn places(text: &str, encoding: Encoding) -> Vec<(u32, Position)> {
    let (mut line, mut character, mut places) = (0, 0, Vec::new());
    for (at, c) in text.char_indices() {
        let next = text[at + c.len_utf8()..].chars().next();
        places.push((at as u32, Position { line, character }));
        let breaks = c == '\n' || c == '\r' && next != Some('\n');
        if breaks {
            (line, character) = (line + 1, 0);
        } else if c != '\r' {
            character += width(c, encoding);
        }
    }
    places.push((text.len() as u32, Position { line, character }));
    places
}

/// The offset of a position by the protocol's words: lines beyond the last are the end, characters
/// beyond a line's end are that end, and one inside a character is its start.
fn offset(text: &str, position: Position, encoding: Encoding) -> u32 {
    let places = places(text, encoding);
    let on_line = places.iter().filter(|(_, p)| p.line == position.line);
    let mut found = None;
    for (at, place) in on_line {
        // The first place of a line's end stands before its break.
        if found.is_none()
            || place.character <= position.character && found.is_some_and(|(_, c)| place.character > c)
        {
            found = Some((*at, place.character));
        }
    }
    found.map_or(text.len() as u32, |(at, _)| at)
}

fn texts() -> impl Strategy<Value = String> {
    let bits = prop::sample::select(
        &[
            "a", "bc", " ", "°", "🧊", "𝄞", "e\u{301}", "\n", "\r", "\r\n", "\u{2028}", "\u{85}", "\u{b}",
            "\u{feff}",
        ][..],
    );
    prop::collection::vec(bits, 0..40).prop_map(|bits| bits.concat())
}

/// The text as it was read, and as it came to be by an edit: the two are held differently.
fn forms(text: &str) -> [Text; 2] {
    let mut edited = File::new(&format!("{text}x"));
    let length = text.len() as u32;
    edited.edit(&Edit { range: length..length + 1, new: String::new() });
    [Text::new(text), edited.text().clone()]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_offset_has_its_position(text in texts()) {
        for (read, encoding) in forms(&text).iter().flat_map(|read| ENCODINGS.map(|encoding| (read, encoding))) {
            for (at, position) in places(&text, encoding) {
                prop_assert_eq!(read.position(at, encoding), position, "at {} of {:?}", at, text);
            }
            // Inside a character: its start. Beyond the end: the end.
            for at in (0..text.len()).filter(|at| !text.is_char_boundary(*at)) {
                let start = (0..at).rev().find(|at| text.is_char_boundary(*at)).unwrap();
                prop_assert_eq!(read.position(at as u32, encoding), read.position(start as u32, encoding));
            }
            prop_assert_eq!(read.position(u32::MAX, encoding), read.position(text.len() as u32, encoding));
        }
    }

    #[test]
    fn every_position_has_its_offset(text in texts(), far in any::<u32>()) {
        for (read, encoding) in forms(&text).iter().flat_map(|read| ENCODINGS.map(|encoding| (read, encoding))) {
            for line in (0..read.lines() + 2).chain([far, u32::MAX]) {
                for character in (0..24).chain([far, u32::MAX]) {
                    let position = Position { line, character };
                    prop_assert_eq!(read.offset(position, encoding), offset(&text, position, encoding), "{:?} of {:?}", position, text);
                }
            }
        }
    }

    #[test]
    fn lines_are_cut_at_their_breaks(text in texts()) {
        let plain = text.replace("\r\n", "\n").replace('\r', "\n");
        let lines: Vec<&str> = plain.split('\n').collect();
        for read in forms(&text) {
            prop_assert_eq!(read.lines() as usize, lines.len());
            for (n, line) in lines.iter().enumerate() {
                prop_assert_eq!(&read.line_text(n as u32), line);
                prop_assert!(text[..read.line_start(n as u32) as usize].ends_with(['\n', '\r']) || n == 0);
            }
            prop_assert_eq!(read.line_text(u32::MAX), "");
        }
    }
}

#[test]
fn a_long_line_counts_like_any_other() {
    for long in [65_535, 65_536, 65_537, 200_000] {
        let text = format!("a\n{}°b\r\nc", "x".repeat(long));
        let read = Text::new(&text);
        let long = long as u32;
        assert_eq!((read.lines(), read.line_start(2)), (3, long + 7));
        for (offset, character) in [(long + 2, long), (long + 4, long + 1), (long + 5, long + 2)] {
            let position = Position { line: 1, character };
            assert_eq!(read.position(offset, Encoding::Utf16), position);
            assert_eq!(read.offset(position, Encoding::Utf16), offset);
        }
        assert_eq!(read.position(long + 7, Encoding::Utf32), Position { line: 2, character: 0 });
    }
}
