//! Shows parts as one line of text, for comparison.

#![allow(dead_code, unreachable_pub, clippy::unwrap_used, clippy::format_push_string)]

use syntax::{File, NodeId, NodeKind, Part, PartRole};

/// A node as JSON-like text: scalars quoted, nothing as `~`.
pub fn node(part: &Part, n: NodeId) -> String {
    let join = |all: Vec<String>| all.join(", ");
    match part.kind(n) {
        NodeKind::Null => "~".into(),
        NodeKind::Scalar => format!("{:?}", part.scalar(n).unwrap()),
        NodeKind::List => format!("[{}]", join(part.items(n).map(|item| node(part, item)).collect())),
        NodeKind::Map => {
            let pairs = part.pairs(n).map(|(k, v)| format!("{}: {}", node(part, k), node(part, v)));
            format!("{{{}}}", join(pairs.collect()))
        }
    }
}

/// `role section key = value`
pub fn line(part: &Part) -> String {
    let value = node(part, part.value());
    match part.role() {
        PartRole::Entry => format!("entry {}.{} = {value}", part.section(), part.key().unwrap_or("-")),
        PartRole::Header => format!("header {} = {value}", node(part, part.key_node())),
        PartRole::Stray => format!("stray {:?}", part.text()),
    }
}

/// All parts of a file, each with its faults under it.
pub fn show(text: &str) -> String {
    let mut out = String::new();
    for piece in File::new(text).pieces() {
        out += &line(&piece.part);
        out += "\n";
        for fault in piece.part.faults() {
            let at = fault.range.start as usize..fault.range.end as usize;
            out += &format!("  ! {:?}: {}\n", &piece.part.text()[at], fault.message);
        }
    }
    out
}
