//! Taking out what has no effect.

use super::text::Target;
use super::{Proposal, cost};
use crate::check::Finding;
use crate::context::Ctx;
use syntax::{NodeId, NodeKind};

/// Deletes the entry.
pub(crate) fn entry(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let edit = Target::new(ctx.id, ctx.entry).without_entry();
    let name = ctx.entry.part.key().unwrap_or("the entry");
    out.extend(Proposal::one(format!("Delete `{name}`"), cost::REMOVAL, edit));
}

/// Takes out the key whose value is marked.
pub(crate) fn marked_pair(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let part = &ctx.entry.part;
    let Some(node) = finding.spot.node() else { return };
    let Some(map) = part.parent(node) else { return };
    let pair = part.pairs(map).find(|(key, value)| *value == node || *key == node);
    if let Some((key, _)) = pair {
        let title = format!("Delete `{}`", part.scalar(key).unwrap_or("it"));
        let edit = Target::new(ctx.id, ctx.entry).without_pair(map, key);
        out.extend(Proposal::one(title, cost::REMOVAL, edit));
    }
}

/// Takes the item of a list out that is marked, or in which the mark lies.
pub(crate) fn marked_item(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let part = &ctx.entry.part;
    let Some(node) = finding.spot.node() else { return };
    let outwards = std::iter::successors(Some(node), |n| part.parent(*n));
    let items = outwards.filter_map(|n| Some((part.parent(n)?, n)));
    let lists = |(parent, _): &(NodeId, NodeId)| part.kind(*parent) == NodeKind::List;
    if let Some((list, item)) = items.into_iter().find(lists) {
        let target = Target::new(ctx.id, ctx.entry);
        let item_words = target.one_line(item).map_or("it".to_owned(), |text| format!("`{text}`"));
        let title = format!("Delete {item_words}");
        out.extend(Proposal::one(title, cost::REMOVAL, target.without_item(list, item)));
    }
}
