//! Where every verdict begins: a job, a memory, and the period that is looked at.

use crate::memo::{Memo, MemoKey};
use calendar::{Date, Period};
use model::View;
use std::sync::Arc;

/// A job over a period: its review period, a week of a log, the minute of a reading. What is worked out goes by the
/// period it is given and by no other, so one memory serves several at once.
#[derive(Clone)]
pub struct Analysis<'a, 'j> {
    /// The job.
    pub view: &'a View<'j>,
    /// What was worked out before.
    pub memo: &'a Memo,
    /// The period.
    pub over: Arc<Period>,
}

impl<'a, 'j> Analysis<'a, 'j> {
    /// A job over another period than the one its site is reviewed over.
    pub fn over(view: &'a View<'j>, memo: &'a Memo, period: Arc<Period>) -> Self {
        Analysis { view, memo, over: period }
    }

    /// A job over its review period; nothing where there is no such.
    pub fn of_review(view: &'a View<'j>, memo: &'a Memo) -> Option<Self> {
        let (zone, from, days) = view.period();
        let asked = Span { zone: zone.to_owned(), from, days };
        let period = memo.of(asked, |Span { zone, from, days }| {
            // A zone that cannot be found counts as UTC: the model has said so already.
            let period = Period::new(zone, *from, *days).or_else(|_| Period::new("UTC", *from, *days));
            period.ok().map(Arc::new)
        });
        Some(Analysis::over(view, memo, period?))
    }
}

/// A period in words: time zone, first day, number of days.
#[derive(PartialEq, Eq, Hash)]
struct Span {
    zone: String,
    from: Date,
    days: u32,
}

impl MemoKey for Span {
    type Answer = Option<Arc<Period>>;
    const MOST: usize = 32;
}
