//! `textDocument/references` and `textDocument/documentHighlight`: every use of a name.

use super::places::{Mention, Target};
use crate::context::Context;
use crate::convert;
use model::{Key, Kind, Name, Place, View};
use tower_lsp_server::ls_types as lsp;

/// Everywhere the name at a position is used, and where it is declared if that is wanted.
pub(super) fn references(context: &Context, at: lsp::Position, declared: bool) -> Option<Vec<lsp::Location>> {
    let wanted = mentions(context, at)?.into_iter().filter(|m| declared || !m.declares);
    let location = |m: Mention| convert::location(&context.snapshot, &context.client, m.entry, &m.spot());
    Some(wanted.filter_map(location).collect())
}

/// The places of the same file, the declaration marked as the one that writes.
pub(super) fn highlights(context: &Context, at: lsp::Position) -> Option<Vec<lsp::DocumentHighlight>> {
    let job = context.snapshot.workspace.job();
    let here = |m: &Mention| job.entry(m.entry).is_some_and(|entry| entry.file == context.file);
    let highlight = |m: Mention| {
        let range = convert::range(&context.snapshot, &context.client, m.entry, &m.spot())?;
        let kind =
            if m.declares { lsp::DocumentHighlightKind::WRITE } else { lsp::DocumentHighlightKind::READ };
        Some(lsp::DocumentHighlight { range, kind: Some(kind) })
    };
    Some(mentions(context, at)?.into_iter().filter(here).filter_map(highlight).collect())
}

fn mentions(context: &Context, at: lsp::Position) -> Option<Vec<Mention>> {
    let (id, offset) = context.entry_at(at)?;
    let view = View::new(context.snapshot.workspace.job());
    Some(Target::at(&view, id, offset)?.1.mentions(&view))
}

/// The places that declare a name.
pub(super) fn declarations(view: &View<'_>, kind: Kind, name: &Name) -> Vec<Place> {
    let ids = view.contributors(Key::Define(kind, name.clone()));
    let place = |id| Some(Place { entry: id, spot: view.entry(id)?.part.key_node().into() });
    ids.into_iter().filter_map(place).collect()
}
