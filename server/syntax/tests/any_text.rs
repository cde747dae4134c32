//! Whatever is written: nothing panics, every byte is in a part, every span in its text.

#![allow(clippy::unwrap_used, clippy::format_push_string, clippy::format_collect)]

use proptest::prelude::*;
use syntax::{File, NodeId, NodeKind, Part};

fn fits(part: &Part) {
    let text = part.text();
    let inside = |range: std::ops::Range<u32>| text.get(range.start as usize..range.end as usize).is_some();
    for n in (0..part.nodes()).map(NodeId) {
        let span = part.span(n);
        assert!(inside(span.clone()), "node {n:?} {span:?} of {text:?}");
        match part.kind(n) {
            NodeKind::Scalar => {
                let value = part.scalar(n).unwrap();
                if part.is_plain(n) {
                    assert_eq!(value, &text[span.start as usize..span.end as usize]);
                }
            }
            _ => assert!(part.scalar(n).is_none()),
        }
        let below: Vec<NodeId> = part.items(n).chain(part.pairs(n).flat_map(|(k, v)| [k, v])).collect();
        assert!(below.iter().all(|m| part.parent(*m) == Some(n)));
    }
    assert!(part.value().0 < part.nodes().max(1) && part.parent(part.value()).is_none());
    assert!(
        part.comments()
            .iter()
            .all(|c| inside(c.range.clone()) && text[c.range.start as usize..].starts_with('#'))
    );
    assert!(
        part.faults().iter().all(|f| inside(f.range.clone()) && !f.message.is_empty()),
        "{:?} of {text:?}",
        part.faults()
    );
    for at in 0..=text.len() as u32 {
        if let Some(n) = part.node_at(at) {
            assert!(part.span(n).start <= at && at <= part.span(n).end);
        }
    }
}

fn whole(text: &str) {
    let file = File::new(text);
    let mut end = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let mut start = end;
    for piece in file.pieces() {
        // Entries that come out of one alias share its text.
        assert!(piece.start == end || piece.start == start || piece.start == 0, "gap at {end} of {text:?}");
        (start, end) = (piece.start, piece.start + piece.part.text().len() as u32);
        assert_eq!(&text[start as usize..end as usize], piece.part.text());
        fits(&piece.part);
    }
    assert!(end == text.len() as u32 || file.pieces().is_empty(), "{text:?}");
}

/// Signs that mean something to YAML, and others.
fn signs() -> impl Strategy<Value = String> {
    const SIGNS: &[&str] = &[
        "a", "b", "1", " ", "  ", "\n", "\n  ", "\n    ", "\n- ", "\r\n", "\r", "\t", ": ", ":", "- ", "-",
        "? ", "{", "}", "[", "]", ", ", "#", " # c", "'", "\"", "\\", "\\u263", "|", ">-", "|2", "&x ", "*x",
        "<<: *x", "!t ", "!!", "%", "@", "`", "---\n", "...\n", "~", "null", "°", "🧊", "\u{feff}", "\0",
        "\u{85}", "\u{2028}", "p:\n", "\np:\n  ",
    ];
    prop::collection::vec(prop::sample::select(SIGNS), 0..60).prop_map(|bits| bits.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn signs_of_yaml(text in signs()) {
        whole(&text);
        whole(&format!("points:\n  A: {text}"));
        whole(&format!("points: {text}"));
    }

    #[test]
    fn any_characters(text in any::<String>()) {
        whole(&text);
    }

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        whole(&String::from_utf8_lossy(&bytes));
    }
}

#[test]
fn deep_nesting_is_a_fault_and_no_crash() {
    for open in ["[", "{a: ", "- ", "? ", "{[", "!t [", "[\n"] {
        for text in [
            format!("points:\n  A: {}", open.repeat(100_000)),
            format!("points: {}", open.repeat(100_000)),
            open.repeat(100_000),
        ] {
            let file = File::new(&text);
            assert!(file.pieces().iter().any(|piece| !piece.part.faults().is_empty()), "{open}");
        }
    }
    let steps: String = (1..200).map(|n| format!("{}a:\n", " ".repeat(n))).collect();
    let file = File::new(&format!("points:\n{steps}"));
    let fault = file.pieces().iter().flat_map(|piece| piece.part.faults()).next().unwrap();
    assert!(fault.message.contains("64 levels"), "{}", fault.message);
}

#[test]
fn a_few_lines_of_aliases_do_not_fill_the_memory() {
    let mut text = String::from("points:\n  A0: &a0 [x, x, x, x, x, x, x, x, x, x]\n");
    for n in 1..30 {
        let below = format!("*a{}", n - 1);
        text += &format!("  A{n}: &a{n} [{}]\n", [below.as_str(); 10].join(", "));
    }
    let file = File::new(&text);
    let nodes: u32 = file.pieces().iter().map(|piece| piece.part.nodes()).sum();
    assert!(nodes < 2_000_000, "{nodes}");
    let faults = file.pieces().iter().flat_map(|piece| piece.part.faults());
    assert!(faults.filter(|fault| fault.message.contains("more text than can be read")).count() > 0);
}

#[test]
fn a_file_too_long_is_not_read_and_says_so() {
    let text = "points:\n".to_owned() + &"# long\n".repeat(10 << 20);
    let file = File::new(&text);
    assert_eq!(file.pieces().len(), 1);
    assert!(file.pieces()[0].part.faults()[0].message.contains("64 MiB"));
    assert_eq!(file.text().len() as usize, text.len());
}
