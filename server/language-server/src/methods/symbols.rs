//! `textDocument/documentSymbol`: sections, and the entries in them.

use crate::context::Context;
use crate::convert;
use crate::entry_ranges::EntryRanges;
use model::{Entry, Item, Kind};
use syntax::PartRole;
use tower_lsp_server::ls_types as lsp;

/// A section or an entry.
struct Symbol {
    name: String,
    detail: Option<String>,
    kind: lsp::SymbolKind,
    /// All of it, and its name.
    whole: lsp::Range,
    name_at: lsp::Range,
    inner: Vec<Symbol>,
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

fn sections(context: &Context) -> Option<Vec<Symbol>> {
    let job = context.snapshot.workspace.job();
    let mut sections: Vec<Symbol> = Vec::new();
    for id in job.file(context.file)?.entries() {
        let Some(entry) = job.entry(*id) else { continue };
        let Some(place) = EntryRanges::of(job, *id, context.client.abilities.encoding) else { continue };
        let (key, value) = (entry.part.span(entry.part.key_node()), entry.part.span(entry.part.value()));
        let whole = place.range(&(key.start.min(value.start)..key.end.max(value.end)));
        let key = place.range(&key);
        if entry.part.role() == PartRole::Header {
            sections.push(Symbol {
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
            section.inner.push(Symbol {
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
    let text = |name: &model::Written<model::Name>| name.value.to_string();
    let detail = match &entry.facts.item {
        Item::Unit(unit) => unit.type_.as_ref().map(text),
        Item::UnitType(unit_type) => unit_type.text.as_ref().map(text),
        Item::Point(point) => point.text.as_ref().map(text),
        Item::Zone(zone) => zone.schedule.as_ref().map(text),
        Item::Device(device) => device.instance.map(|instance| format!("instance {}", instance.value)),
        Item::Site(_) => entry.part.scalar(entry.part.value()).map(str::to_owned),
        Item::Requirement(requirement) => {
            let zone = requirement.zone.as_ref().map_or_else(|| "requirement".to_owned(), text);
            return (zone, None);
        }
        Item::Calendar(_) | Item::Schedule(_) | Item::Header | Item::Stray => None,
    };
    // The protocol allows no empty name.
    let name = entry.part.key().filter(|key| !key.trim().is_empty()).unwrap_or("(no name)");
    (name.to_owned(), detail)
}

pub(super) fn symbol_kind(kind: Kind) -> lsp::SymbolKind {
    match kind {
        Kind::Site | Kind::Requirement => lsp::SymbolKind::PROPERTY,
        Kind::Calendar | Kind::Schedule => lsp::SymbolKind::EVENT,
        Kind::Zone => lsp::SymbolKind::STRUCT,
        Kind::Unit => lsp::SymbolKind::OBJECT,
        Kind::Device => lsp::SymbolKind::MODULE,
        Kind::Point => lsp::SymbolKind::VARIABLE,
        Kind::UnitType => lsp::SymbolKind::CLASS,
    }
}

fn nested(symbol: Symbol) -> lsp::DocumentSymbol {
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

fn flat(context: &Context, symbol: Symbol, within: Option<&str>, list: &mut Vec<lsp::SymbolInformation>) {
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
