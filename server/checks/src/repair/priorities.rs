//! A priority of its own for one of several exceptions.

use super::text::Target;
use super::{Proposal, cost};
use crate::about::{About, exception_words, noun};
use crate::check::Finding;
use crate::context::Ctx;
use crate::written::value;
use model::Schedule;
use model::schedule::Exception;

/// Lets one of the exceptions that a finding names win over the others by its priority.
pub(crate) fn priority(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Some(schedule) = ctx.view.as_found::<Schedule>(ctx.id) else { return };
    let spots = std::iter::once(&finding.spot).chain(finding.because.iter().map(|b| &b.place.spot));
    let exception = |spot: &model::Spot| schedule.is.exceptions.iter().find(|e| Some(e.at) == spot.node());
    let named: Vec<&Exception> = spots.filter_map(exception).collect();
    let Some(highest) = named.iter().map(|e| e.priority).min().filter(|p| *p > 1) else { return };
    let part = &ctx.entry.part;
    let target = Target::new(ctx.id, ctx.entry);
    let wins = highest - 1;
    // Which of these wins is one decision, whoever asks for it.
    let mut words: Vec<String> = named.iter().map(|exception| exception_words(part, exception)).collect();
    words.sort_unstable();
    let which_wins = words.iter().fold(About::entry(), |about, words| about.and(noun::EXCEPTION, words));
    for (n, exception) in named.iter().enumerate() {
        let edit = match value(part, exception.at, "priority") {
            Some(node) => target.value(node, &wins.to_string()),
            None => target.pair(exception.at, "priority", &wins.to_string()),
        };
        let which = if n == 0 { "this exception" } else { "the other exception" };
        let title = format!("Let {which} win, at priority {wins}");
        let proposal = Proposal::one(title, cost::VALUE + n as u32, edit);
        out.extend(proposal.map(|p| Proposal { decides: Some((ctx.id, which_wins.clone())), ..p }));
    }
}
