//! `textDocument/documentSymbol`: sections, and the entries in them.

use crate::context::Context;
use crate::convert;
use crate::entry_ranges::EntryRanges;
use model::{Entries, Entry, Item, Kind, Symbol};
use syntax::PartRole;
use tower_lsp_server::ls_types as lsp;

/// A section or an entry.
struct OutlineItem {
    name: String,
    detail: Option<String>,
    kind: lsp::SymbolKind,
    /// All of it, and its name.
    whole: lsp::Range,
    name_at: lsp::Range,
    inner: Vec<OutlineItem>,
}

/// The symbols of a document: a tree where the client takes one, else a list.
pub(super) fn symbols(context: &Context) -> Option<lsp::DocumentSymbolResponse> {
    let sections = sections(context)?;
    Some(if context.client.abilities.nested {
        lsp::DocumentSymbolResponse::Nested(sections.into_iter().map(nested).collect())
    } else {
        let mut list = Vec::new();
        sections.into_iter().for_each(|section| flat(context, section, None, &mut list));
        lsp::DocumentSymbolResponse::Flat(list)
    })
}

fn sections(context: &Context) -> Option<Vec<OutlineItem>> {
    let job = context.snapshot.workspace.job();
    let mut sections: Vec<OutlineItem> = Vec::new();
    for id in job.file(context.file)?.entries() {
        let Some(entry) = job.entry(*id) else { continue };
        let Some(place) = EntryRanges::of(job, *id, context.client.abilities.encoding) else { continue };
        let (key, value) = (entry.part.span(entry.part.key_node()), entry.part.span(entry.part.value()));
        let whole = place.range(&(key.start.min(value.start)..key.end.max(value.end)));
        let key = place.range(&key);
        if entry.part.role() == PartRole::Header {
            sections.push(OutlineItem {
                name: entry.part.section().to_owned(),
                detail: None,
                kind: lsp::SymbolKind::NAMESPACE,
                whole,
                name_at: key,
                inner: Vec::new(),
            });
        } else if let (Some(kind), Some(section)) =
            (Kind::of_section(entry.part.section()), sections.last_mut())
        {
            let (name, detail) = name_and_detail(entry);
            section.whole.end = section.whole.end.max(whole.end);
            // An item of a list has no name to stand on.
            let top = lsp::Range { start: whole.start, end: whole.start };
            let name_at = if entry.part.key().is_some() { key } else { top };
            section.inner.push(OutlineItem {
                name,
                detail,
                kind: symbol_kind(kind),
                whole,
                name_at,
                inner: Vec::new(),
            });
        }
    }
    Some(sections)
}

/// What an entry is called in the list, and a word on it.
fn name_and_detail(entry: &Entry) -> (String, Option<String>) {
    if let Some(kind) = entry.facts.item.kind().filter(|kind| kind.entries() == Entries::Listed) {
        return (entry.facts.item.brief().unwrap_or_else(|| kind.noun().to_owned()), None);
    }
    let detail = match &entry.facts.item {
        Item::Site(_) => entry.part.scalar(entry.part.value()).map(str::to_owned),
        item => item.brief(),
    };
    // The protocol allows no empty name.
    let name = entry.part.key().filter(|key| !key.trim().is_empty()).unwrap_or("(no name)");
    (name.to_owned(), detail)
}

pub(super) fn symbol_kind(kind: Kind) -> lsp::SymbolKind {
    match kind.symbol() {
        Symbol::Property => lsp::SymbolKind::PROPERTY,
        Symbol::Event => lsp::SymbolKind::EVENT,
        Symbol::Struct => lsp::SymbolKind::STRUCT,
        Symbol::Object => lsp::SymbolKind::OBJECT,
        Symbol::Module => lsp::SymbolKind::MODULE,
        Symbol::Variable => lsp::SymbolKind::VARIABLE,
        Symbol::Class => lsp::SymbolKind::CLASS,
    }
}

fn nested(symbol: OutlineItem) -> lsp::DocumentSymbol {
    let children: Vec<_> = symbol.inner.into_iter().map(nested).collect();
    #[allow(deprecated)] // the field has to be named
    lsp::DocumentSymbol {
        name: symbol.name,
        detail: symbol.detail,
        kind: symbol.kind,
        tags: None,
        deprecated: None,
        range: symbol.whole,
        selection_range: symbol.name_at,
        children: (!children.is_empty()).then_some(children),
    }
}

fn flat(
    context: &Context,
    symbol: OutlineItem,
    within: Option<&str>,
    list: &mut Vec<lsp::SymbolInformation>,
) {
    let Some(uri) = convert::file_uri(&context.snapshot, &context.client, context.file) else { return };
    #[allow(deprecated)] // the field has to be named
    list.push(lsp::SymbolInformation {
        name: symbol.name.clone(),
        kind: symbol.kind,
        tags: None,
        deprecated: None,
        location: lsp::Location { uri, range: symbol.whole },
        container_name: within.map(str::to_owned),
    });
    for inner in symbol.inner {
        flat(context, inner, Some(&symbol.name), list);
    }
}
