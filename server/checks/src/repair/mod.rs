//! Repairs: changes of the written facts after which a finding may be gone. Proposed here, proven in
//! `workspace`, which offers none that leaves the finding or brings another.

mod facts;
mod hours;
mod known;
mod limits;
mod objects;
mod priorities;
pub(crate) mod proposal;
mod remove;
mod sources;
mod supposed;
pub(crate) mod text;
mod wiring;

pub(crate) use facts::{facts, unit_as_set};
pub(crate) use known::{another, spelling, spellings};
pub(crate) use limits::{exchange, set as set_limit};
pub(crate) use objects::{free_instance, free_object, object_type, units};
pub(crate) use priorities::priority;
pub use proposal::{PartEdit, Proposal};
pub(crate) use remove::{entry, marked_item, marked_pair};
pub(crate) use sources::source;
pub use supposed::{Supposed, supposed};
pub(crate) use wiring::left_out;

use crate::check::Finding;
use crate::context::Ctx;
use analysis::Memo;
use model::{EntryId, Job, View};

/// Costs, by how near a change is to what was meant.
pub(crate) mod cost {
    /// A word is spelled as its declaration spells it.
    pub(crate) const SPELLING: u32 = 1;
    /// The same hours or values, written so that they can be read.
    pub(crate) const REWRITING: u32 = 2;
    /// A source for something that has none.
    pub(crate) const SOURCE: u32 = 10;
    /// Another value than the one written.
    pub(crate) const VALUE: u32 = 15;
    /// Another choice of an option.
    pub(crate) const CHOICE: u32 = 20;
    /// A limit where there is none.
    pub(crate) const LIMIT: u32 = 25;
    /// Another wire.
    pub(crate) const WIRE: u32 = 30;
    /// Something written is taken out.
    pub(crate) const REMOVAL: u32 = 40;
    /// Longer hours.
    pub(crate) const HOURS: u32 = 60;
    /// A call that the unit does not take any more.
    pub(crate) const LOSS: u32 = 100;
}

/// What may repair a finding of an entry, the least change first; in need of a proof.
pub fn propose(job: &Job, memo: &Memo, id: EntryId, finding: &Finding) -> Vec<Proposal> {
    let Some(entry) = job.entry(id) else { return Vec::new() };
    let ctx = Ctx::new(View::new(job), memo, id, entry);
    let mut all = Vec::new();
    for maker in finding.check.repairs {
        maker(&ctx, finding, &mut all);
    }
    all.sort_by(|a, b| (a.cost, &a.title).cmp(&(b.cost, &b.title)));
    let changes = |edit: &PartEdit| {
        let range = edit.range.start as usize..edit.range.end as usize;
        job.entry(edit.entry).is_none_or(|entry| entry.part.text().get(range) != Some(edit.new.as_str()))
    };
    let mut kept: Vec<Proposal> = Vec::new();
    for proposal in all {
        if proposal.edits.iter().any(changes) && !kept.iter().any(|other| other.edits == proposal.edits) {
            kept.push(proposal);
        }
    }
    kept
}
