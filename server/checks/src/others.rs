//! Others that take the same for themselves: an object, an instance, a text.

use crate::check::FindingBuilder;
use crate::context::Ctx;
use model::{Declared, Found, Key, list_words};

/// So many are shown as reasons. Of more only the number is given: of a thousand alike, each would
/// list all the others.
const FEW: usize = 8;

/// The other things that contribute to a key.
pub(crate) struct Others<'j, T> {
    shown: Vec<Found<'j, T>>,
    count: usize,
}

/// The other things of kind `T` that contribute to `key`, as the entry itself does; nothing if there are none.
/// Those of the same name are left out, since their double name is reported already.
pub(crate) fn others<'j, T: Declared>(ctx: &Ctx<'j>, key: Key) -> Option<Others<'j, T>> {
    // The entry is one of them, so where there is one, there is no other.
    let count = ctx.view.at_most(&key);
    if count < 2 {
        return None;
    }
    if ctx.view.count(&key, FEW + 1) > FEW {
        return Some(Others { shown: Vec::new(), count: count - 1 });
    }
    let ids = ctx.view.contributors(key);
    let shown: Vec<Found<'j, T>> = ids
        .into_iter()
        .filter(|id| *id != ctx.id)
        .filter_map(|id| ctx.view.as_found(id))
        .filter(|other: &Found<'j, T>| other.entry.part.key() != ctx.entry.part.key())
        .collect();
    let count = shown.len();
    (count > 0).then_some(Others { shown, count })
}

impl<'j, T: Declared> Others<'j, T> {
    /// Their names, or how many there are.
    pub(crate) fn words(&self) -> String {
        if self.shown.is_empty() {
            return format!("{} other {}s", analysis::count_words(self.count), T::KIND.noun());
        }
        list_words(self.shown.iter().map(Found::name), "and")
    }

    /// Gives `finding` each of them as a reason.
    pub(crate) fn explain(
        &self,
        finding: &mut FindingBuilder,
        reason: impl Fn(Found<'j, T>) -> analysis::Because,
    ) {
        for other in &self.shown {
            let because = reason(*other);
            finding.because(because.place, because.text);
        }
    }
}
