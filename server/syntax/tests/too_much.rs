//! Text that stands for far more than it says, and text that is no job: bounded by its own length, and told.
//!
//! Nothing here is timed. Each takes hours, or all memory, where it is not bounded.

#![allow(clippy::unwrap_used)]

use std::fmt::Write;
use syntax::{Edit, FaultKind, File, NodeId, alike};

/// The nodes of all parts, and how many faults say that something is too large.
fn size(file: &File) -> (usize, usize) {
    let parts = || file.pieces().iter().map(|piece| &piece.part);
    let faults = parts().flat_map(|part| part.faults()).filter(|fault| fault.kind == FaultKind::TooLarge);
    (parts().map(|part| part.nodes() as usize).sum(), faults.count())
}

/// Anchors of ten each, one in the other.
fn bomb(levels: usize) -> String {
    let mut text = String::from("devices:\n  x: &a0 [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]\n");
    for level in 1..levels {
        let below = vec![format!("*a{}", level - 1); 10].join(", ");
        let _ = writeln!(text, "  x{level}: &a{level} [{below}]");
    }
    text
}

#[test]
fn aliases_stand_for_no_more_than_the_text_is_long() {
    for levels in [2, 5, 9, 20] {
        let text = bomb(levels);
        let (nodes, told) = size(&File::new(&text));
        assert!(nodes <= 10_000 + 2 * text.len(), "{nodes} nodes of {} bytes", text.len());
        assert_eq!(told > 0, levels > 4, "{levels}");
    }
}

#[test]
fn an_alias_costs_nothing_when_too_much_was_copied() {
    for uses in [100, 100_000] {
        let mut apart = bomb(4);
        let mut together = bomb(4);
        together.push_str("  all: [");
        for number in 0..uses {
            let _ = writeln!(apart, "  u{number}: *a3");
            together.push_str("*a3, ");
        }
        together.push_str("1]\n");
        for text in [apart, together] {
            let file = File::new(&text);
            let (nodes, told) = size(&file);
            assert!(nodes <= 10_000 + 3 * text.len(), "{nodes} nodes of {} bytes", text.len());
            assert!((1..=10).contains(&told), "{told}");
        }
    }
}

#[test]
fn many_aliases_in_one_place_are_told_once_and_counted() {
    let text = format!("{}  all: [{}1]\n", bomb(3), "*a2, ".repeat(50));
    let file = File::new(&text);
    let part = &file.pieces().last().unwrap().part;
    assert_eq!(part.faults().len(), 1);
    let message = &part.faults()[0].message;
    assert!(message.contains("`*a2` repeats more text than can be read here"), "{message}");
    assert!(message.ends_with("The same goes for 41 more below."), "{message}");
    assert!(part.broken());
}

/// What an alias would stand for is not whole where one below it stands for too much.
#[test]
fn what_was_not_read_is_not_copied() {
    let file = File::new(&format!("{}  u: *a4\n  v: *a1\n", bomb(5)));
    let [u, v] = file.pieces().last_chunk().unwrap();
    assert_eq!((u.part.nodes(), u.part.faults().len(), v.part.faults().len()), (2, 1, 0));
    assert!(v.part.nodes() > 100);
}

/// An asterisk is no alias in a comment, a text or a section, whatever stands around it.
#[test]
fn entries_with_an_asterisk_are_read_as_all_others() {
    for text in ["a: 2 * 3", "a: '*'", "a: [*b, 1]", "# *\n  a: 1", "a: 1 # &c *d", "- *a", "*a : 1", "*"] {
        let alone = format!("points:\n  {text}\n  P: {{use: monitor}}\n");
        let mut edited = File::new(&alone.replace('*', "+"));
        let edits =
            alone.match_indices('*').map(|(at, _)| Edit { range: at as u32..at as u32 + 1, new: "*".into() });
        for edit in edits {
            edited.edit(&edit);
        }
        let file = File::new(&alone);
        assert_eq!(file.pieces().len(), edited.pieces().len(), "{text}");
        let pairs = file.pieces().iter().zip(edited.pieces());
        assert!(pairs.clone().all(|(a, b)| a.start == b.start && alike(&a.part, &b.part)), "{text}");
    }
}

/// Many short files share what none would need alone.
#[test]
fn the_files_of_a_job_share_what_aliases_stand_for() {
    let text = bomb(3);
    assert_eq!(size(&File::among(&text, 1)).1, 0);
    assert!(size(&File::among(&text, 1_000)).1 > 0);
    let ordinary = "devices:\n  x: &x {network: 1}\n  y: {<<: *x, instance: 2}\n  z: {<<: *x, instance: 3}\n";
    assert_eq!(size(&File::among(ordinary, 100_000)).1, 0);
}

#[test]
fn what_stands_outside_of_sections_without_end_is_not_read() {
    for line in ["a:\n", "nothing here\n", "---\n"] {
        let text = line.repeat(300_000);
        let file = File::new(&text);
        let last = &file.pieces().last().unwrap().part;
        assert!(file.pieces().len() <= 10_001);
        assert_eq!(last.faults()[0].kind, FaultKind::TooLarge);
        assert!(
            last.faults()[0].message.contains("The last 290000 lines are not read"),
            "{:?}",
            last.faults()
        );
        let whole: String = file.pieces().iter().map(|piece| piece.part.text()).collect();
        assert_eq!(whole, text);
    }
    // As many entries of a section are an ordinary list.
    let text = format!("points:\n{}", "  A: {}\n".repeat(20_000));
    assert_eq!(File::new(&text).pieces().len(), 20_001);
}

/// The same whether the text came at once or by edits.
#[test]
fn edits_into_and_out_of_too_much_read_the_same() {
    let mut file = File::new(&"a:\n".repeat(9_999));
    for (range, new) in [
        (0..0, "b:\n".repeat(5)),
        (3..3, "c".to_owned()),
        (0..3_000, String::new()),
        (0..u32::MAX, "points:\n  A: {}\n".to_owned()),
        (0..u32::MAX, String::new()),
        (0..0, "points:\n".to_owned()),
    ] {
        file.edit(&Edit { range, new });
        let fresh = File::new(&file.text().to_string());
        assert_eq!(file.pieces().len(), fresh.pieces().len());
        let pairs = file.pieces().iter().zip(fresh.pieces());
        assert!(pairs.clone().all(|(a, b)| a.start == b.start && alike(&a.part, &b.part)));
    }
}

/// What stands around a node is the same whether there are few or many of them.
#[test]
fn parents_and_keys_are_found_among_many_nodes() {
    let few = "  A: {a: [1, {b: 2, c: [3, 4]}], d: ~, e: {f: {g: 5}}}\n";
    let many = format!(
        "  A: {{a: [1, {{b: 2, c: [3, 4]}}], d: ~, e: {{f: {{g: 5}}}}, z: [{}1]}}\n",
        "0, ".repeat(1_000)
    );
    let of = |text: &str| {
        let file = File::new(&format!("points:\n{text}"));
        let part = file.pieces()[1].part.clone();
        let around = |n: u32| (part.parent(NodeId(n)), part.key_of(NodeId(n)));
        (0..17).map(around).collect::<Vec<_>>()
    };
    assert_eq!(of(few), of(&many));
    let file = File::new(&format!("points:\n{many}"));
    let part = &file.pieces()[1].part;
    for n in (0..part.nodes()).map(NodeId) {
        for (key, value) in part.pairs(n) {
            assert_eq!([part.parent(key), part.parent(value)], [Some(n); 2]);
            assert_eq!([part.key_of(key), part.key_of(value)], [Some(key); 2]);
        }
        for item in part.items(n) {
            assert_eq!((part.parent(item), part.key_of(item)), (Some(n), None));
        }
    }
    assert_eq!([part.key_node(), part.value()].map(|n| (part.parent(n), part.key_of(n))), [(None, None); 2]);
}
