//! `textDocument/definition`: from any use of a name to where it is declared.

use super::references::declarations;
use super::subject::{Detail, Subject, subject};
use crate::context::Context;
use crate::convert;
use model::{Found, Place, Unit, UnitType, View};
use syntax::NodeId;
use tower_lsp_server::ls_types as lsp;

/// Where the name at a position is declared: every place, where there are several.
pub(super) fn definition(context: &Context, at: lsp::Position) -> Option<lsp::GotoDefinitionResponse> {
    let (id, offset) = context.entry_at(at)?;
    let view = View::new(context.snapshot.workspace.job());
    let places = match subject(&view, id, offset)?.1 {
        Subject::Used(used) => declarations(&view, used.kind, &used.name),
        Subject::Own(kind, name) => declarations(&view, kind, &name),
        Subject::OfUnit(unit, detail) => in_type_of(&view, unit, &detail).into_iter().collect(),
        Subject::OfType(unit_type, detail) => {
            let node = node_of(unit_type.is, &detail);
            node.map(|node| unit_type.place(node)).into_iter().collect()
        }
        Subject::Key(path) if path.field.key == "import" => {
            let part = &view.entry(id)?.part;
            return imported(context, part.scalar(part.node_at(offset)?)?);
        }
        Subject::Key(_) => Vec::new(),
    };
    let locations: Vec<lsp::Location> = places
        .iter()
        .filter_map(|place| convert::location(&context.snapshot, &context.client, place.entry, &place.spot))
        .collect();
    (!locations.is_empty()).then_some(lsp::GotoDefinitionResponse::Array(locations))
}

/// The place in a unit's type that declares a part of the unit.
fn in_type_of(view: &View<'_>, unit: Found<'_, Unit>, detail: &Detail) -> Option<Place> {
    let unit_type: Found<'_, UnitType> = view.find(&unit.is.type_.as_ref()?.value)?;
    Some(unit_type.place(node_of(unit_type.is, detail)?))
}

/// The node of a unit type that declares a part of it.
fn node_of(unit_type: &UnitType, detail: &Detail) -> Option<NodeId> {
    match detail {
        Detail::Option(name) => unit_type.option(name).map(|o| o.name.at),
        Detail::Choice { option, choice } => {
            let choices = &unit_type.option(option)?.choices;
            choices.iter().find(|c| c.value == *choice).map(|c| c.at)
        }
        Detail::Input(name) => unit_type.input(name).map(|i| i.name.at),
        Detail::Output(name) => unit_type.output(name).map(|o| o.name.at),
        Detail::Logic(name) => unit_type.declaration(name),
    }
}

/// The start of a file that a calendar imports.
fn imported(context: &Context, path: &str) -> Option<lsp::GotoDefinitionResponse> {
    let workspace = &context.snapshot.workspace;
    workspace.job().imports().get(path)?.as_ref().ok()?;
    let uri = crate::uri::of_path(&workspace.named(path)?)?;
    Some(lsp::GotoDefinitionResponse::Scalar(lsp::Location { uri, range: lsp::Range::default() }))
}
