//! Reads a chunk of lines into parts.

use std::sync::Arc;

use crate::{
    anchors::Marks,
    cut::cut,
    line::width,
    mend::read_on,
    node::{Comment, Fault, FaultKind, NodeKind, Style, value_of},
    part::{Part, PartRole, first_word, part},
    slice::Slice,
    split::{ChunkShape, HeaderForm, Items},
    tree::Tree,
};

/// What reading a chunk depends on besides its text.
#[derive(Clone, Debug)]
pub(crate) struct ReadContext {
    pub(crate) shape: ChunkShape,
    /// Empty outside any section.
    pub(crate) section: Arc<str>,
    /// Whether the section was opened before in the same file.
    pub(crate) again: bool,
}

/// Reads `text`, the lines of a chunk, and hands on its parts in order, each with its start in `text`.
pub(crate) fn read(context: &ReadContext, text: &Slice, marks: &mut Marks, add: &mut impl FnMut(u32, Part)) {
    let shape = context.shape;
    if !matches!(
        shape,
        ChunkShape::Header(_) | ChunkShape::Whole(_) | ChunkShape::Entry(_) | ChunkShape::Root
    ) {
        return add(0, stray(shape, text));
    }
    let (tree, broken) = read_on(text, marks);
    of_tree(context, text, tree, broken, add);
}

/// Hands on the parts of a chunk whose lines were read into `tree`.
pub(crate) fn of_tree(
    context: &ReadContext,
    text: &Slice,
    mut tree: Tree,
    broken: bool,
    add: &mut impl FnMut(u32, Part),
) {
    let section = &context.section;
    tree.faults.extend(context.faults(text, &tree));
    tree.faults.sort_by_key(|fault| (fault.range.start, fault.range.end));
    match context.shape {
        ChunkShape::Whole(_) | ChunkShape::Root => {
            cut(section, text, tree, broken).into_iter().for_each(|(at, part)| add(at, part));
        }
        ChunkShape::Header(_) => add(0, header(section, text, tree, broken)),
        _ => add(0, entry(section, text, tree, broken)),
    }
}

fn entry(section: &Arc<str>, text: &Slice, mut tree: Tree, mut broken: bool) -> Part {
    let keyed = tree.outer == Some(NodeKind::Map);
    let size = |tree: &Tree, at: usize| tree.nodes.get(at).map_or(0, |node| node.size as usize);
    let mut used = size(&tree, 0);
    if keyed {
        used += size(&tree, used);
    }
    if let Some(node) = tree.nodes.get(used) {
        let message = "This does not belong to the entry above. Line it up with the other entries.";
        tree.faults.push(Fault {
            kind: FaultKind::Broken,
            range: node.start..node.end,
            message: message.into(),
        });
        tree.nodes.truncate(used);
        broken = true;
    }
    if tree.faults.is_empty()
        && let Some(fault) = lone(text, &tree)
    {
        tree.faults.push(fault);
        broken = true;
    }
    part(PartRole::Entry, keyed, section, text, tree, broken)
}

fn header(section: &Arc<str>, text: &Slice, mut tree: Tree, broken: bool) -> Part {
    tree.nodes.truncate(2);
    part(PartRole::Header, true, section, text, tree, broken)
}

impl ReadContext {
    /// What is wrong with how the chunk stands in its file.
    fn faults(&self, text: &str, tree: &Tree) -> Vec<Fault> {
        let mut faults = Vec::new();
        let section = &self.section;
        let mut say = |message: String| {
            faults.push(Fault { kind: FaultKind::Broken, range: first_word(text), message });
        };
        if self.again {
            say(format!(
                "This file already has a section `{section}`. Move these entries there, and delete this line."
            ));
        }
        match self.shape {
            ChunkShape::Header(HeaderForm::Bare) => {
                say(format!("This section has no colon. Write `{section}:`."));
            }
            ChunkShape::Header(HeaderForm::Indented) | ChunkShape::Whole(HeaderForm::Indented) => {
                say(format!("A section starts at the left margin. Delete what is before `{section}`."));
            }
            ChunkShape::Entry(Some(first)) => say(misfit(first, first_word(text).start, text)),
            _ => {}
        }
        if let ChunkShape::Entry(_) = self.shape
            && tree.faults.is_empty()
            && memchr::memchr(b'\t', text.as_bytes()).is_some()
        {
            faults.extend(tab_before(text, first_word(text).start));
        }
        faults
    }
}

/// How an entry stands unlike the first of its section.
fn misfit(first: Items, start: u32, text: &str) -> String {
    let before = text.get(..start as usize).unwrap_or_default();
    let blank = before.trim_end_matches([' ', '\t']).len();
    let indent = width(before.get(blank..).unwrap_or_default());
    if indent != first.indent {
        let spaces = first.indent;
        return format!(
            "This entry is indented by {indent}, but the first of its section by {spaces}. Line it up with that one."
        );
    }
    if first.list {
        "The first entry of this section starts with `- `, but this one does not. Write them all the same way.".into()
    } else {
        "The first entry of this section is a name with `:`, but this one starts with `- `. Write them all the same way.".into()
    }
}

/// A value where an entry should be, or a merge key among the entries of a section.
fn lone(text: &str, tree: &Tree) -> Option<Fault> {
    let node = tree.nodes.first()?;
    let range = node.start..node.end;
    let value = value_of(node, text, &tree.cooked);
    let message = match (tree.outer, value) {
        (None, Some(value)) if !value.contains(char::is_whitespace) => {
            format!("This entry has no colon. Write `{value}: ` and its value.")
        }
        (None, _) => "This entry has no name. Write a name and a colon before it.".into(),
        (Some(NodeKind::Map), Some("<<")) if node.style == Style::Plain => {
            "`<<` cannot bring in entries of a section. Write them out, or use it inside an entry.".into()
        }
        _ => return None,
    };
    Some(Fault { kind: FaultKind::Broken, range, message })
}

fn tab_before(text: &str, start: u32) -> Option<Fault> {
    let before = text.get(..start as usize)?;
    let indent = before.rsplit(['\n', '\r']).next()?;
    let tab = start - indent.len() as u32 + indent.find('\t')? as u32;
    let message = "This line is indented with a tab, and YAML allows only spaces. Use spaces.".into();
    Some(Fault { kind: FaultKind::Broken, range: tab..tab + 1, message })
}

fn stray(shape: ChunkShape, text: &Slice) -> Part {
    let message = match shape {
        ChunkShape::DocumentStart { first: false } => Some(
            "This line starts a second document, but its sections are read as part of this file. Delete it.",
        ),
        ChunkShape::Directive => {
            Some("A line that starts with `%` is an instruction to YAML and is not used here. Delete it.")
        }
        ChunkShape::Stray => Some("This is outside any section. Put it under a section, or delete it."),
        _ => None,
    };
    let faults = message.map(|message| Fault {
        kind: FaultKind::Broken,
        range: first_word(text),
        message: message.into(),
    });
    let tree = Tree { comments: comments(text), faults: faults.into_iter().collect(), ..Tree::default() };
    part(PartRole::Stray, false, &"".into(), text, tree, shape == ChunkShape::Stray)
}

/// The comments on lines of their own.
fn comments(text: &str) -> Vec<Comment> {
    let mut comments = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive(['\n', '\r']) {
        if line.trim_start().starts_with('#') {
            let at = start + line.len() - line.trim_start().len();
            let end = start + line.trim_end_matches(['\n', '\r']).len();
            comments.push(Comment { range: at as u32..end as u32, own_line: true });
        }
        start += line.len();
    }
    comments
}
