//! A change that may repair a finding.

use crate::about::About;
use model::EntryId;
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
    pub entry: EntryId,
    /// Bytes relative to its part.
    pub range: Range<u32>,
    /// What stands there afterwards.
    pub new: String,
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
