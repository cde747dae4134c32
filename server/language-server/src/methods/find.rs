//! `workspace/symbol`: everything that the jobs declare, by a few letters of its name.

use super::symbols::symbol_kind;
use crate::client_handle::ClientHandle;
use crate::convert;
use crate::shared::Snapshot;
use model::{EntryId, Kind};
use tower_lsp_server::ls_types as lsp;

/// So many are shown; who wants fewer types another letter.
const MAX_SYMBOLS: usize = 256;

/// What the jobs declare whose name has the letters of `query` in their order, the nearest first.
pub(super) fn find(
    jobs: &mut dyn Iterator<Item = Snapshot>,
    client: &ClientHandle,
    query: &str,
) -> lsp::WorkspaceSymbolResponse {
    let jobs: Vec<Snapshot> = jobs.collect();
    let query: Vec<char> = query.chars().filter(|c| !c.is_whitespace()).map(lower).collect();
    let mut found: Vec<(u32, &str, usize, EntryId)> = Vec::new();
    for (number, state) in jobs.iter().enumerate() {
        let job = state.workspace.job();
        for (_, file) in job.files().filter(|(_, file)| !file.library) {
            for id in file.entries() {
                let name = job.entry(*id).and_then(|entry| entry.facts.declares.as_ref());
                let name = name.filter(|(kind, _)| *kind != Kind::Site).map(|(_, name)| name.as_str());
                if let Some((name, distance)) = name.and_then(|name| Some((name, distance(&query, name)?))) {
                    found.push((distance, name, number, *id));
                }
            }
        }
    }
    // Of equals the first in the job: numbers of entries tell how it was edited.
    let place = |found: &(u32, &str, usize, EntryId)| {
        let job = jobs.get(found.2)?.workspace.job();
        let entry = job.entry(found.3)?;
        let start = job.span(found.3, &entry.part.key_node().into()).map(|(_, span)| span.start);
        Some((job.file(entry.file)?.path.as_str(), start))
    };
    let order = |a: &(u32, &str, usize, EntryId), b: &(u32, &str, usize, EntryId)| {
        (a.0, a.1, a.2).cmp(&(b.0, b.1, b.2)).then_with(|| place(a).cmp(&place(b)))
    };
    if found.len() > MAX_SYMBOLS {
        found.select_nth_unstable_by(MAX_SYMBOLS, order);
        found.truncate(MAX_SYMBOLS);
    }
    found.sort_unstable_by(order);
    let symbol = |(_, name, number, id): &(u32, &str, usize, EntryId)| {
        let state = jobs.get(*number)?;
        let entry = state.workspace.job().entry(*id)?;
        let (kind, _) = entry.facts.declares.as_ref()?;
        let location = convert::location(state, client, *id, &entry.part.key_node().into())?;
        #[allow(deprecated)] // the field has to be named
        Some(lsp::SymbolInformation {
            name: (*name).to_owned(),
            kind: symbol_kind(*kind),
            tags: None,
            deprecated: None,
            location,
            container_name: Some(kind.section().to_owned()),
        })
    };
    lsp::WorkspaceSymbolResponse::Flat(found.iter().filter_map(symbol).collect())
}

/// How far a name is from what was typed: letters left out between the first and the last that
/// fit, and a little for each before them. Nothing if the letters do not stand in this order.
pub(super) fn distance(query: &[char], name: &str) -> Option<u32> {
    let mut wanted = query.iter().peekable();
    let (mut begun, mut between, mut before) = (false, 0, 0);
    for c in name.chars().map(lower) {
        match wanted.peek() {
            None => break,
            Some(next) if **next == c => {
                wanted.next();
                begun = true;
            }
            Some(_) if begun => between += 1,
            Some(_) => before += 1,
        }
    }
    wanted.peek().is_none().then_some(between * 8 + before)
}

/// A letter in lower case; of one that becomes several, the first. Names are many, so it has to be quick.
fn lower(c: char) -> char {
    if c.is_ascii() { c.to_ascii_lowercase() } else { c.to_lowercase().next().unwrap_or(c) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_count_in_their_order() {
        let far = |query: &str, name: &str| distance(&query.chars().collect::<Vec<_>>(), name);
        assert_eq!(far("", "HP1-OCC"), Some(0));
        assert_eq!(far("hp1o", "HP1-OCC"), Some(8));
        assert_eq!(far("occ", "HP1-OCC"), Some(4));
        assert_eq!(far("co", "HP1-OCC"), None);
        assert_eq!(far("éß", "É-ß"), Some(8));
        assert!(far("occ", "OCC-1") < far("occ", "HP1-OCC"));
        assert!(far("occ", "HP1-OCC") < far("occ", "Office-cooling-c"));
    }
}
