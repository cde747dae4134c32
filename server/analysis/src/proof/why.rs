//! Why something holds of a unit: a smallest useful set of the written facts that force it.
//!
//! A fact that is left open may be anything: an option any of its choices, a terminal or a point
//! on or off, a schedule occupied or not, a line of the logic on or off; a limit that is left open
//! rules nothing out. A set of facts is enough when what is claimed holds with all others open; in
//! the sets given here every fact is necessary. Of a claim that takes too much work the set may not be
//! the smallest: what is not proven to be enough stays in it.

use crate::proof::circuit::{AS_WRITTEN, Fact, IsOpen};
use crate::proof::question::Question;
use logic::{Answer, BitSet, Bounds, minimal_core};
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// Whether a claim holds, and the facts that force it.
#[derive(Clone)]
pub(crate) struct Core {
    pub(crate) holds: Answer,
    pub(crate) facts: Arc<[Fact]>,
    /// Whether none of the facts can be left out; not known where the work was past its bounds.
    pub(crate) is_smallest: Answer,
}

/// Beyond so many facts, the points of a claim are left open together, and so are the lines.
const MOST_FACTS: usize = 512;

/// Facts of a set beyond so many are of no use to a reader.
const MOST_TOLD: usize = 512;

impl Question<'_> {
    /// Whether the claim holds, and the smallest useful set of facts that force it, in the order they are shown.
    pub(crate) fn core(&self) -> Core {
        let holds = self.holds(AS_WRITTEN);
        if !holds.is_yes() {
            return Core { holds, facts: Arc::default(), is_smallest: Answer::Yes };
        }
        let groups = groups(self.facts());
        let group_of = GroupOf::of(&groups);
        let weights: Vec<u32> =
            groups.iter().map(|group| group.first().map_or(1, |fact| fact.weight())).collect();
        // Each question takes the whole circuit, and some are put twice.
        let mut asked = FxHashMap::from_iter([(BitSet::all(groups.len()), true)]);
        let enough = |kept: &BitSet| {
            if let Some(known) = asked.get(kept) {
                return *known;
            }
            let open: IsOpen<'_> = &|fact| group_of.get(fact).is_some_and(|group| !kept.contains(group));
            let known = self.holds(open).is_yes();
            asked.insert(kept.clone(), known);
            known
        };
        let core = minimal_core(&weights, enough);
        let facts = core.iter().flat_map(BitSet::iter).filter_map(|n| groups.get(n)).flatten().copied();
        let is_smallest = if Bounds::are_spent() { Answer::Unknown } else { Answer::Yes };
        Core { holds, facts: facts.take(MOST_TOLD).collect(), is_smallest }
    }
}

/// The group of each fact. Points are by far the most, and each is asked for at every question.
struct GroupOf {
    points: Vec<Option<usize>>,
    others: FxHashMap<Fact, usize>,
}

impl GroupOf {
    fn of(groups: &[Vec<Fact>]) -> GroupOf {
        let mut all = GroupOf { points: Vec::new(), others: FxHashMap::default() };
        for (number, group) in groups.iter().enumerate() {
            for fact in group {
                if let Fact::Point(point) = *fact {
                    all.points.resize(all.points.len().max(point + 1), None);
                    all.points.get_mut(point).into_iter().for_each(|slot| *slot = Some(number));
                } else {
                    all.others.insert(*fact, number);
                }
            }
        }
        all
    }

    fn get(&self, fact: Fact) -> Option<usize> {
        match fact {
            Fact::Point(point) => self.points.get(point).copied().flatten(),
            _ => self.others.get(&fact).copied(),
        }
    }
}

/// Facts that are left open together: each by itself, but of a long chain of points or of terms either all matter or none.
fn groups(facts: Vec<Fact>) -> Vec<Vec<Fact>> {
    let joined = facts.len() > MOST_FACTS;
    let mut groups: Vec<Vec<Fact>> = Vec::with_capacity(facts.len());
    for fact in facts {
        let is_like = |group: &Vec<Fact>| {
            matches!(
                (group.first(), fact),
                (Some(Fact::Point(_)), Fact::Point(_)) | (Some(Fact::Line(_)), Fact::Line(_))
            )
        };
        match groups.last_mut() {
            Some(group) if joined && is_like(group) => group.push(fact),
            _ => groups.push(vec![fact]),
        }
    }
    groups
}
