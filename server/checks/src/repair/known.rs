//! What a finding itself says may stand in place of what it marks.

use super::text::Target;
use super::{PartEdit, Proposal, cost};
use crate::check::Finding;
use crate::context::Ctx;
use model::Spot;

/// A word as its declaration spells it.
pub(crate) fn spelling(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    spellings(ctx, finding, &finding.instead, out);
}

/// One of the words near the one marked, the likeliest first; safe where only one is near, and nothing but a slip
/// explains the difference.
pub(crate) fn spellings(ctx: &Ctx<'_>, finding: &Finding, near: &[impl AsRef<str>], out: &mut Vec<Proposal>) {
    let only = near.len() == 1;
    let marked = finding.spot.span(&ctx.entry.part);
    let text = ctx.entry.part.text();
    let wrong = text.get(marked.start as usize..marked.end as usize).unwrap_or_default();
    let wrong = wrong.trim_matches(['"', '\'']);
    for (n, word) in near.iter().map(AsRef::as_ref).enumerate() {
        let title = format!("Write `{word}`");
        let proposal = Proposal::one(title, cost::SPELLING + n as u32, written(ctx, finding, word));
        out.extend(proposal.map(|p| p.safe_if(only && model::is_slip(wrong, word))));
    }
}

/// Another value than the one written, which is a matter of what is meant.
pub(crate) fn another(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    for (n, value) in finding.instead.iter().enumerate() {
        let title = format!("Write `{value}`");
        out.extend(Proposal::one(title, cost::VALUE + n as u32, written(ctx, finding, value)));
    }
}

fn written(ctx: &Ctx<'_>, finding: &Finding, text: &str) -> Option<PartEdit> {
    let target = Target::new(ctx.id, ctx.entry);
    match &finding.spot {
        Spot::Node(node) => target.value(*node, text),
        Spot::Within(..) => {
            let span = finding.spot.span(&ctx.entry.part);
            Some(target.edit(span.start, span.end, text))
        }
        Spot::Comment(_) | Spot::Bytes(_) => None,
    }
}
