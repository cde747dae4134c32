//! Names of things that entries declare.

use super::offer::Offer;
use model::{Item, Key, Kind, Name, Symbol, View};
use rustc_hash::FxHashSet;
use tower_lsp_server::ls_types::CompletionItemKind;

/// The names of a kind, each once, but for `own`. Points that carry a number come last: nearly everywhere that
/// a point is named, it is to be on or off.
pub(super) fn names(view: &View<'_>, kind: Kind, own: Option<&str>) -> Vec<Offer> {
    let mut seen: FxHashSet<&str> = FxHashSet::default();
    let (mut offers, mut numbers) = (Vec::new(), Vec::new());
    for id in view.contributors(Key::All(kind)) {
        let Some(entry) = view.entry(id) else { continue };
        let Some(name) = entry.part.key().filter(|name| own != Some(name) && seen.insert(name)) else {
            continue;
        };
        let item = &entry.facts.item;
        let offer = Offer {
            names: Some((kind, Name::new(name))),
            ..Offer::word(name, icon(kind)).beside(beside(item))
        };
        if is_number(item) { numbers.push(offer) } else { offers.push(offer) }
    }
    offers.append(&mut numbers);
    offers
}

fn is_number(item: &Item) -> bool {
    matches!(item, Item::Point(point) if point.object.is_some_and(|object| object.value.kind.is_analog()))
}

fn icon(kind: Kind) -> CompletionItemKind {
    match kind.symbol() {
        Symbol::Variable => CompletionItemKind::VARIABLE,
        Symbol::Class => CompletionItemKind::CLASS,
        Symbol::Event => CompletionItemKind::EVENT,
        Symbol::Struct | Symbol::Object | Symbol::Module => CompletionItemKind::MODULE,
        Symbol::Property => CompletionItemKind::VALUE,
    }
}

/// What a thing says of itself in a few words.
fn beside(item: &Item) -> String {
    let brief = match item {
        Item::Zone(zone) => zone.schedule.as_ref().map(|s| format!("occupied by {}", s.value)),
        // A unit's type is offered where it is wanted.
        Item::Unit(_) => None,
        _ => item.brief(),
    };
    brief.unwrap_or_default()
}
