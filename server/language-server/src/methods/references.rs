//! `textDocument/references` and `textDocument/documentHighlight`: every use of a name.

use super::Reading;
use super::subject::{Subject, subject};
use crate::convert;
use model::{Key, Kind, Name, Place, View};
use tower_lsp_server::ls_types as lsp;

/// Everywhere the name at a position is used, and where it is declared if that is wanted.
pub(super) fn references(reading: &Reading, at: lsp::Position, declared: bool) -> Option<Vec<lsp::Location>> {
    let view = View::new(reading.held.workspace.job());
    let (kind, name) = named(reading, &view, at)?;
    let mut places = if declared { declarations(&view, kind, &name) } else { Vec::new() };
    places.extend(uses(&view, kind, &name));
    let location = |p: &Place| convert::location(&reading.held, &reading.outlet, p.entry, &p.spot);
    Some(places.iter().filter_map(location).collect())
}

/// The places of the same file, the declaration marked as the one that writes.
pub(super) fn highlights(reading: &Reading, at: lsp::Position) -> Option<Vec<lsp::DocumentHighlight>> {
    let view = View::new(reading.held.workspace.job());
    let (kind, name) = named(reading, &view, at)?;
    let marked = |places: Vec<Place>, kind| {
        let here = |p: &Place| view.entry(p.entry).is_some_and(|e| e.file == reading.file);
        let range = |p: &Place| convert::range(&reading.held, &reading.outlet, p.entry, &p.spot);
        let ranges: Vec<lsp::Range> = places.iter().filter(|p| here(p)).filter_map(range).collect();
        ranges.into_iter().map(move |range| lsp::DocumentHighlight { range, kind: Some(kind) })
    };
    let written = marked(declarations(&view, kind, &name), lsp::DocumentHighlightKind::WRITE);
    Some(written.chain(marked(uses(&view, kind, &name), lsp::DocumentHighlightKind::READ)).collect())
}

/// The name of something that an entry declares, at a position.
fn named(reading: &Reading, view: &View<'_>, at: lsp::Position) -> Option<(Kind, Name)> {
    let (id, offset) = reading.entry_at(at)?;
    match subject(view, id, offset)?.1 {
        Subject::Used(used) => Some((used.kind, used.name.clone())),
        Subject::Own(kind, name) => Some((kind, name)),
        _ => None,
    }
}

/// The places that declare a name.
pub(super) fn declarations(view: &View<'_>, kind: Kind, name: &Name) -> Vec<Place> {
    let ids = view.contributors(Key::Define(kind, name.clone()));
    let place = |id| Some(Place { entry: id, spot: view.entry(id)?.part.key_node().into() });
    ids.into_iter().filter_map(place).collect()
}

/// Every use, in the order of files and lines.
fn uses(view: &View<'_>, kind: Kind, name: &Name) -> Vec<Place> {
    let ids = view.contributors(Key::Refer(kind, name.clone()));
    let of_entry = |id| {
        let uses = view.entry(id).map_or(&[][..], |e| &e.facts.uses);
        let same = uses.iter().filter(|used| used.kind == kind && used.name == *name);
        same.map(move |used| Place { entry: id, spot: used.spot.clone() })
    };
    ids.into_iter().flat_map(of_entry).collect()
}
