//! `textDocument/completion`: what may be written at a place, of the right kind only.

mod cursor;
mod keys;
mod likely;
mod names;
mod offer;
mod own;
pub(crate) mod resolve;
mod slot;
#[cfg(test)]
mod tests;

use crate::context::Context;
use crate::convert;
use crate::methods::find::distance;
use cursor::{At, Cursor, Items, Scalar};
use model::bacnet::{ENGINEERING_UNITS, ObjectType};
use model::{Facts, FileId, Item, Key, Kind, Name, ValueShape, View};
use offer::Offer;
use own::{Own, words};
use rustc_hash::FxHashSet;
use slot::{Role, Slot};
use syntax::{File, Position};
use tower_lsp_server::ls_types as lsp;
use tower_lsp_server::ls_types::CompletionItemKind as Icon;
use workspace::Workspace;

/// So many are shown; of more, the nearest to what is typed, and the client asks again with each letter.
const MAX_ITEMS: usize = 256;

/// What may be written at a position.
pub(super) fn completion(
    context: &Context,
    at: lsp::Position,
    typed: Option<&lsp::CompletionContext>,
) -> Option<lsp::CompletionResponse> {
    let workspace = &context.snapshot.workspace;
    let file = workspace.job().file(context.file)?.file();
    let cursor = Cursor::find(file, convert::offset(file.text(), at, context.client.abilities.encoding))?;
    // A space typed to indent a line asks nothing.
    let typed = typed.and_then(|typed| typed.trigger_character.as_deref());
    if typed == Some(" ") && cursor.line.trim().is_empty() {
        return None;
    }
    let can = &context.client.abilities;
    let mut offers = offers(workspace, context.file, &cursor);
    offers.retain(|offer| offer.plain.is_some() || can.snippets);
    let is_incomplete = offers.len() > MAX_ITEMS;
    if is_incomplete {
        nearest(&mut offers, &cursor.typed);
    }
    let position = |offset: u32| {
        let Position { line, character } = file.text().position(offset, can.encoding);
        lsp::Position { line, character }
    };
    let range = lsp::Range { start: position(cursor.word.start), end: position(cursor.word.end) };
    let uri = convert::file_uri(&context.snapshot, &context.client, context.file);
    let items = offers.into_iter().enumerate().map(|(i, offer)| {
        let names = offer.names.as_ref().zip(uri.as_ref());
        let data = names.and_then(|((kind, name), uri)| resolve::data(uri, *kind, name));
        lsp::CompletionItem { data, ..item(offer, i, range, can.snippets) }
    });
    Some(lsp::CompletionResponse::List(lsp::CompletionList { is_incomplete, items: items.collect() }))
}

/// What may be written at a cursor of a file, the likeliest first.
fn offers(workspace: &Workspace, file: FileId, cursor: &Cursor) -> Vec<Offer> {
    match &cursor.at {
        At::Margin => workspace.job().file(file).map_or_else(Vec::new, |f| sections(f.file(), cursor)),
        At::Comment(before) => in_comment(workspace, file, before),
        At::Scalar(scalar) => {
            let mut offers = in_entry(&View::new(workspace.job()), cursor, scalar);
            if cursor.items == Items::Around {
                offers.iter_mut().for_each(Offer::become_item);
            }
            offers
        }
    }
}

/// Sections that the file does not open yet: a second time is a mistake.
fn sections(file: &File, cursor: &Cursor) -> Vec<Offer> {
    let open = |section: &str| {
        file.pieces().iter().any(|p| p.part.role() == syntax::PartRole::Header && p.part.section() == section)
    };
    let missing = Kind::ALL.into_iter().map(Kind::section).filter(|section| !open(section));
    let colon = if cursor.colon { "" } else { ":" };
    let section =
        |name: &str| Offer { plain: Some(format!("{name}{colon}")), ..Offer::word(name, Icon::MODULE) };
    missing.map(section).collect()
}

/// The check that a deviation is from; first those that find something in the file.
fn in_comment(workspace: &Workspace, file: FileId, before: &str) -> Vec<Offer> {
    let words = before.trim_start_matches('#').trim_start();
    if words.is_empty() {
        return vec![Offer {
            plain: Some("deviation: ".to_owned()),
            ..Offer::word("deviation", Icon::KEYWORD)
        }];
    }
    if words.strip_prefix("deviation:").is_none_or(|rest| !rest.trim().is_empty()) {
        return Vec::new();
    }
    let check = |check: &&'static checks::Check| Offer {
        plain: Some(format!("{}, ", check.id)),
        ..Offer::word(check.id, Icon::REFERENCE).beside(check.summary())
    };
    let finds: FxHashSet<&str> = workspace.findings(file).map(|(_, finding)| finding.check.id).collect();
    let mut checks = checks::ALL.to_vec();
    checks.sort_by_key(|check| !finds.contains(check.id));
    checks.iter().map(check).collect()
}

fn in_entry(view: &View<'_>, cursor: &Cursor, scalar: &Scalar) -> Vec<Offer> {
    let Some(place) = Slot::of(scalar) else { return Vec::new() };
    let facts = Facts::of(&scalar.part);
    let own = Own { view, part: &scalar.part, item: &facts.item, place: &place };
    let values = |shape: ValueShape| Values { own: &own, scalar }.of(shape);
    match &place.role {
        Role::Own if place.kind == Kind::Site => {
            let written = |field: &str| view.any(&Key::Define(Kind::Site, Name::new(field)));
            let mut fields = keys::keys(model::entry_shape(Kind::Site), &[], cursor.colon);
            fields.retain(|field| !written(&field.label));
            fields
        }
        Role::Own if cursor.colon => Vec::new(),
        Role::Own => vec![keys::entry(place.kind)],
        Role::Key(shape, others) => {
            let mut offers = keys::keys(*shape, others, cursor.colon);
            let is_source = |key: &str| model::point::SOURCES.contains(&key);
            if place.is_driver() && others.iter().any(|other| is_source(other)) {
                offers.retain(|key| !is_source(&key.label));
            }
            let named = own.keys().into_iter().filter(|key| !others.iter().any(|other| *other == key.label));
            offers.extend(named.map(|key| keys::named(key, *shape, cursor.colon)));
            // Alone on its line it may as well be the value of the key above.
            if scalar.guessed && others.is_empty() {
                offers.extend(values(*shape));
            }
            let alone = scalar.guessed && cursor.line.trim_start().is_empty();
            if alone && is_list(*shape, cursor.items == Items::Below) {
                offers.iter_mut().for_each(Offer::become_item);
            }
            offers
        }
        Role::Value(shape) => {
            let mut offers = values(*shape);
            if scalar.whole {
                offers.extend(keys::braced(*shape));
            }
            offers
        }
    }
}

/// Whether a shape is written as a list: always, or where one is there already.
fn is_list(shape: ValueShape, there: bool) -> bool {
    match shape {
        ValueShape::List(_) => true,
        ValueShape::Either(shapes) => there && shapes.iter().any(|shape| is_list(*shape, there)),
        _ => false,
    }
}

/// Values of a shape at a cursor.
struct Values<'a, 'j> {
    own: &'a Own<'a, 'j>,
    scalar: &'a Scalar,
}

impl Values<'_, '_> {
    fn of(&self, shape: ValueShape) -> Vec<Offer> {
        match shape {
            ValueShape::Logic => self.own.logic(&self.scalar.before),
            ValueShape::Either(shapes) => shapes.iter().flat_map(|shape| self.of(*shape)).collect(),
            ValueShape::List(inner) => self.of(*inner),
            ValueShape::Object if self.scalar.before.is_empty() => ObjectType::names().map(object).collect(),
            _ if !self.scalar.whole => Vec::new(),
            ValueShape::NameOf(kind) => self.quoted(self.names(kind)),
            ValueShape::Word(known) => words(known),
            ValueShape::EngineeringUnits => ENGINEERING_UNITS.iter().map(unit).collect(),
            ValueShape::DayPlan => words(&["all-day", "none"]),
            ValueShape::LocalName | ValueShape::Text => self.quoted(self.own.values()),
            _ => Vec::new(),
        }
    }

    /// Names of a kind, but for the entry's own.
    fn names(&self, kind: Kind) -> Vec<Offer> {
        let own = (self.own.place.kind == kind).then(|| self.scalar.part.key()).flatten();
        let mut names = names::names(self.own.view, kind, own);
        if let (Kind::Point, Item::Unit(unit), [inputs, input]) =
            (kind, self.own.item, self.own.place.keys.as_slice())
            && inputs == "inputs"
        {
            let name = self.scalar.part.key().unwrap_or_default();
            likely::sort(self.own.view, unit, name, input, &mut names);
        }
        names
    }

    /// Names in quotes where they could not be read otherwise, unless quotes stand there already.
    fn quoted(&self, mut names: Vec<Offer>) -> Vec<Offer> {
        let part = &self.scalar.part;
        let start = part.span(self.scalar.node).start as usize;
        let quoted = part.text().get(start..).is_some_and(|text| text.starts_with(['"', '\'']));
        if !quoted {
            names.iter_mut().for_each(|name| name.plain = Some(syntax::write::scalar(&name.label)));
        }
        names
    }
}

fn object(name: &'static str) -> Offer {
    Offer { plain: Some(format!("{name} ")), ..Offer::word(name, Icon::ENUM_MEMBER) }
}

fn unit(unit: &'static model::bacnet::EngineeringUnit) -> Offer {
    Offer::word(unit.name, Icon::UNIT).beside(unit.short.join(", "))
}

/// Leaves the nearest to what is typed.
fn nearest(offers: &mut Vec<Offer>, typed: &str) {
    let letters: Vec<char> = typed.chars().flat_map(char::to_lowercase).collect();
    let mut near: Vec<(u32, Offer)> =
        offers.drain(..).filter_map(|offer| Some((distance(&letters, &offer.label)?, offer))).collect();
    near.sort_by_key(|(distance, _)| *distance);
    offers.extend(near.into_iter().take(MAX_ITEMS).map(|(_, offer)| offer));
}

fn item(offer: Offer, rank: usize, range: lsp::Range, snippets: bool) -> lsp::CompletionItem {
    let snippet = offer.snippet.filter(|_| snippets);
    let format = snippet.is_some().then_some(lsp::InsertTextFormat::SNIPPET);
    let new_text = snippet.or(offer.plain).unwrap_or_else(|| offer.label.clone());
    lsp::CompletionItem {
        sort_text: Some(format!("{rank:04}")),
        text_edit: Some(lsp::CompletionTextEdit::Edit(lsp::TextEdit { range, new_text })),
        insert_text_format: format,
        kind: Some(offer.kind),
        detail: offer.detail,
        documentation: offer.text.map(lsp::Documentation::String),
        label: offer.label,
        ..lsp::CompletionItem::default()
    }
}
