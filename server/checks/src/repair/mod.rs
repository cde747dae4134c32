//! Repairs: changes of the written facts after which a finding may be gone. Proposed here, proven in
//! `workspace`, which offers none that leaves the finding or brings another.

mod facts;
mod hours;
mod known;
mod limits;
mod objects;
mod priorities;
mod remove;
mod sources;
pub(crate) mod text;
mod wiring;

pub(crate) use facts::{facts, unit_as_set};
pub(crate) use known::{another, spelling, spellings};
pub(crate) use limits::{exchange, set as set_limit};
pub(crate) use objects::{free_instance, free_object, object_type, units};
pub(crate) use priorities::priority;
pub(crate) use remove::{entry, marked_item, marked_pair};
pub(crate) use sources::source;
pub(crate) use wiring::left_out;

use crate::about::About;
use crate::context::Ctx;
use crate::finding::Finding;
use analysis::Memo;
use model::{EntryId, Job, View};
use std::ops::Range;

/// A change of text that may repair a finding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Proposal {
    /// What it does, as an order: `Split the window at midnight`.
    pub title: String,
    /// The edits; those of one entry do not overlap.
    pub edits: Vec<PartEdit>,
    /// How much of what the engineer wrote it changes: less is better. The steps are ours.
    pub cost: u32,
    /// The question about the entry that it answers, where another answer would be the contrary: one repair gives
    /// one answer.
    pub decides: Option<(EntryId, About)>,
    /// Whether it changes no meaning but the fault, so that it may be applied without a question.
    pub safe: bool,
}

/// A replacement of bytes of one entry's text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartEdit {
    /// The entry.
    pub entry: EntryId,
    /// Bytes relative to its part.
    pub range: Range<u32>,
    /// What stands there afterwards.
    pub new: String,
}

/// Proposes repairs of one finding.
pub(crate) type Maker = fn(&Ctx<'_>, &Finding, &mut Vec<Proposal>);

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

impl Proposal {
    /// One edit, to be asked about; nothing where the text does not take it.
    pub(crate) fn one(title: impl Into<String>, cost: u32, edit: Option<PartEdit>) -> Option<Proposal> {
        Proposal::all(title, cost, edit.map(|edit| vec![edit]))
    }

    /// Edits that belong together, to be asked about; nothing where the text does not take one.
    pub(crate) fn all(title: impl Into<String>, cost: u32, edits: Option<Vec<PartEdit>>) -> Option<Proposal> {
        let edits = edits.filter(|edits| !edits.is_empty())?;
        Some(Proposal { title: title.into(), edits, cost, decides: None, safe: false })
    }

    /// The same, marked as changing no meaning but the fault if `safe`.
    pub(crate) fn safe_if(self, safe: bool) -> Proposal {
        Proposal { safe, ..self }
    }
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
