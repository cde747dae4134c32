//! `textDocument/rename` and `textDocument/prepareRename`: another name, everywhere at once.
//!
//! A name is changed everywhere or nowhere. What would change a meaning beside the name is refused,
//! with the reason in words.

use super::places::{Mention, Target, units};
use super::subject::Detail;
use crate::context::Context;
use crate::convert;
use crate::entry_ranges::EntryRanges;
use model::{
    Call, Contributors, EntryId, FileId, Found, Key, Kind, LONGEST_NAME, Mode, Name, UnitType, View,
};
use std::collections::BTreeMap;
use std::ops::Range;
use tower_lsp_server::ls_types as lsp;

/// Bytes of entries.
type Edits = Vec<(EntryId, Range<u32>)>;

/// Whether there is a name to change at a position: where it stands, or why it cannot be changed.
pub(super) fn prepare(
    context: &Context,
    at: lsp::Position,
) -> Option<Result<lsp::PrepareRenameResponse, String>> {
    let (id, offset) = context.entry_at(at)?;
    let view = View::new(context.snapshot.workspace.job());
    let (target, mentions) = match found(&view, id, offset)? {
        Ok(found) => found,
        Err(why) => return Some(Err(why)),
    };
    let here = |mention: &&Mention| {
        mention.entry == id && mention.bytes.as_ref().is_some_and(|b| b.start <= offset && offset <= b.end)
    };
    let range = convert::range(&context.snapshot, &context.client, id, &mentions.iter().find(here)?.spot())?;
    let placeholder = target.name().to_string();
    Some(Ok(lsp::PrepareRenameResponse::RangeWithPlaceholder { range, placeholder }))
}

/// The edits that give what is named at a position another name, or why that cannot be.
pub(super) fn rename(
    context: &Context,
    at: lsp::Position,
    new: &str,
) -> Option<Result<lsp::WorkspaceEdit, String>> {
    let (id, offset) = context.entry_at(at)?;
    let view = View::new(context.snapshot.workspace.job());
    Some(edits(&view, id, offset, new)?.map(|edits| workspace_edit(context, &edits, new)))
}

/// The bytes of entries that are to read `new`; nothing where no name stands.
pub(super) fn edits(view: &View<'_>, id: EntryId, offset: u32, new: &str) -> Option<Result<Edits, String>> {
    let (target, mentions) = match found(view, id, offset)? {
        Ok(found) => found,
        Err(why) => return Some(Err(why)),
    };
    if target.name() == new {
        return Some(Ok(Vec::new()));
    }
    if let Some(why) = no_name(&target, new).or_else(|| collision(view, &target, new)) {
        return Some(Err(why));
    }
    Some(Ok(mentions.into_iter().filter_map(|m| Some((m.entry, m.bytes?))).collect()))
}

/// What stands at a place, and everywhere it is written, if all of that can be changed.
fn found(view: &View<'_>, id: EntryId, offset: u32) -> Option<Result<(Target, Vec<Mention>), String>> {
    let (spot, target) = Target::at(view, id, offset)?;
    let part = &view.entry(id)?.part;
    let span = spot.span(part);
    let written = part.text().get(span.start as usize..span.end as usize).unwrap_or_default();
    // Beside `not-wired` or in quoted logic the cursor may be on something else.
    if !written.contains(target.name().as_str()) {
        return None;
    }
    let (name, noun) = (target.name(), target.noun());
    let mut mentions = target.mentions(view);
    let library = |m: &Mention| view.entry(m.entry).is_some_and(|entry| view.built_in(entry));
    if mentions.iter().any(|m| m.declares) && mentions.iter().filter(|m| m.declares).all(library) {
        return Some(Err(format!(
            "`{name}` belongs to the built-in unit types, which every job shares, so it keeps its name."
        )));
    }
    mentions.retain(|m| !library(m));
    if let Some(hidden) = mentions.iter().find(|m| m.bytes.is_none()) {
        let path = view.entry(hidden.entry).map_or("", |entry| view.path(entry));
        return Some(Err(format!(
            "The {noun} `{name}` is written with an alias or escapes in {path}, so it cannot be changed safely: write it out plainly there first."
        )));
    }
    if let Target::Part(id, detail) = &target {
        if view.entry(*id).is_some_and(|entry| entry.facts.doubtful()) {
            return Some(Err(format!(
                "The unit type of the {noun} `{name}` cannot be read in full, so some uses may be missed: correct it first."
            )));
        }
        if let Some(why) = known_by_name(detail, name) {
            return Some(Err(why));
        }
    }
    Some(Ok((target, mentions)))
}

/// Why a part keeps its name: verdicts know it by that.
fn known_by_name(detail: &Detail, name: &str) -> Option<String> {
    let known = matches!(detail, Detail::Input(_)) && is_call(name);
    known.then(|| format!("`{name}` says by its name what it does, and verdicts go by that, so it keeps it."))
}

/// Inputs that verdicts know by their names.
fn is_call(name: &str) -> bool {
    name == Mode::OCCUPIED_INPUT || Call::of(name).is_some_and(|call| call.service().is_some())
}

/// Why something cannot be a name here.
fn no_name(target: &Target, new: &str) -> Option<String> {
    let begins = new.starts_with(|c: char| c.is_alphanumeric() || c == '_');
    let odd = new.chars().find(|c| !c.is_alphanumeric() && !matches!(c, '-' | '_' | '.' | '/' | '+'));
    if let Some(odd) = odd {
        let odd = if odd.is_whitespace() { "a space".to_owned() } else { format!("`{odd}`") };
        return Some(format!("A name cannot have {odd} in it: use letters, digits and hyphens."));
    }
    if new.chars().count() > LONGEST_NAME {
        return Some(format!("A name has {LONGEST_NAME} characters at most."));
    }
    if !begins {
        return Some("A name begins with a letter or a digit.".to_owned());
    }
    let calendar = matches!(target, Target::Thing(Kind::Calendar, _));
    if calendar && new.starts_with(|c: char| c.is_ascii_digit()) {
        return Some(format!(
            "`{new}` would be read as a date where an exception is on it: begin the calendar's name with a letter."
        ));
    }
    let taken = matches!(target, Target::Thing(Kind::Point, _)) && new == "not-wired";
    let word = matches!(new, "and" | "or" | "not" | "is" | "null" | "Null" | "NULL");
    (word || taken).then(|| format!("`{new}` has a meaning of its own here, so it cannot be a name."))
}

/// What already goes by the new name, in words.
fn collision(view: &View<'_>, target: &Target, new: &str) -> Option<String> {
    let name = Name::new(new);
    match target {
        Target::Thing(kind, _) => {
            let noun = kind.noun();
            let at = |ids: Contributors| Some(view.path(view.entry(*ids.first()?)?).to_owned());
            if let Some(path) = at(view.contributors(Key::Define(*kind, name.clone()))) {
                return Some(format!("There is a {noun} `{new}` already, in {path}: choose another name."));
            }
            let path = at(view.contributors(Key::Refer(*kind, name)))?;
            Some(format!(
                "{path} speaks of a {noun} `{new}` already, which is not there: correct that first, or choose another name."
            ))
        }
        Target::Part(id, detail) => in_type(view, view.as_found(*id)?, detail, new),
    }
}

fn in_type(view: &View<'_>, unit_type: Found<'_, UnitType>, detail: &Detail, new: &str) -> Option<String> {
    let is = unit_type.is;
    let mut spoken = false;
    for logic in is.logic() {
        logic.value.each_name(&mut |name, _| spoken |= name == new);
    }
    let of_units = units(view, unit_type);
    let listed = |names: &dyn Fn(&model::Unit) -> bool| of_units.iter().any(|unit| names(unit.is));
    let taken = match detail {
        Detail::Option(_) => {
            is.option(new).is_some() || listed(&|unit| unit.options.iter().any(|(name, _)| name.value == new))
        }
        Detail::Choice { option, .. } => {
            is.option(option).is_some_and(|o| o.choices.iter().any(|c| c.value == new))
                || listed(&|unit| unit.options.iter().any(|(o, c)| o.value == *option && c.value == new))
        }
        Detail::Input(_) | Detail::Output(_) | Detail::Logic(_) => {
            spoken
                || is.declaration(new).is_some()
                || listed(&|unit| unit.inputs.iter().any(|(name, _)| name.value == new))
                || listed(&|unit| unit.outputs.iter().any(|(name, _)| name.value == new))
        }
    };
    if taken {
        return Some(format!(
            "`{new}` is taken in the unit type `{}`, or in a unit of it: choose another name.",
            unit_type.name()
        ));
    }
    let known = matches!(detail, Detail::Input(_)) && is_call(new);
    known.then(|| {
        format!("`{new}` says what something does, and verdicts would go by that: choose another name.")
    })
}

fn workspace_edit(context: &Context, edits: &Edits, new: &str) -> lsp::WorkspaceEdit {
    let job = context.snapshot.workspace.job();
    let mut files: BTreeMap<FileId, Vec<lsp::TextEdit>> = BTreeMap::new();
    for (id, bytes) in edits {
        if let Some(place) = EntryRanges::of(job, *id, context.client.abilities.encoding) {
            let edit = lsp::TextEdit { range: place.range(bytes), new_text: new.to_owned() };
            files.entry(place.file).or_default().push(edit);
        }
    }
    files.values_mut().for_each(|edits| edits.sort_by_key(|edit| edit.range.start));
    convert::workspace_edit(&context.snapshot, &context.client, files)
}

#[cfg(test)]
mod tests;
