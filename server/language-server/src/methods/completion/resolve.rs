//! `completionItem/resolve`: what there is to say of the thing that an item names, once it is looked at.

use crate::context::Context;
use crate::methods::hover;
use model::{Kind, Name};
use serde::{Deserialize, Serialize};
use tower_lsp_server::ls_types as lsp;

/// What an item names; travels to the client and back.
#[derive(Serialize, Deserialize)]
struct Named {
    /// The document it was offered in, which tells the job.
    uri: lsp::Uri,
    section: String,
    name: String,
}

/// What an item is to bring back.
pub(super) fn data(uri: &lsp::Uri, kind: Kind, name: &Name) -> Option<serde_json::Value> {
    let named = Named { uri: uri.clone(), section: kind.section().to_owned(), name: name.to_string() };
    serde_json::to_value(named).ok()
}

/// The document that an item was offered in, if there is more to say of it.
pub(crate) fn document(item: &lsp::CompletionItem) -> Option<lsp::Uri> {
    Some(named(item)?.uri)
}

/// The item with what there is to say of the thing it names.
pub(in crate::methods) fn resolve(context: &Context, mut item: lsp::CompletionItem) -> lsp::CompletionItem {
    let can = &context.client.abilities;
    if let Some(named) = named(&item)
        && let Some(kind) = Kind::of_section(&named.section)
    {
        let name = Name::new(named.name);
        let sheet = hover::of_thing(&context.snapshot.workspace, kind, &name, can.markdown_items);
        item.documentation = sheet.map(lsp::Documentation::MarkupContent);
    }
    item
}

fn named(item: &lsp::CompletionItem) -> Option<Named> {
    serde_json::from_value(item.data.clone()?).ok()
}
