//! Names of things that entries declare.

use super::offer::Offer;
use model::{Item, Key, Kind, Name, View};
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
    match kind {
        Kind::Point => CompletionItemKind::VARIABLE,
        Kind::UnitType => CompletionItemKind::CLASS,
        Kind::Schedule | Kind::Calendar => CompletionItemKind::EVENT,
        Kind::Zone | Kind::Unit | Kind::Device => CompletionItemKind::MODULE,
        Kind::Site | Kind::Requirement => CompletionItemKind::VALUE,
    }
}

/// What a thing says of itself in a few words.
fn beside(item: &Item) -> String {
    let words = |text: &Option<model::Written<Name>>| text.as_ref().map(|text| text.value.to_string());
    let said = match item {
        Item::Point(point) => words(&point.text),
        Item::UnitType(unit_type) => words(&unit_type.text),
        Item::Device(device) => device.instance.as_ref().map(|i| format!("instance {}", i.value)),
        Item::Zone(zone) => zone.schedule.as_ref().map(|s| format!("occupied by {}", s.value)),
        _ => None,
    };
    said.unwrap_or_default()
}
