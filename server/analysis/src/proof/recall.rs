//! Answers that were given before.

use parking_lot::Mutex;
use rustc_hash::FxHashMap;
use std::hash::Hash;

/// Answers that were given before. What is asked must decide the answer.
pub(crate) struct Recall<Q, A>(Mutex<FxHashMap<Q, A>>);

impl<Q, A> Default for Recall<Q, A> {
    fn default() -> Self {
        Recall(Mutex::default())
    }
}

impl<Q: Hash + Eq + Clone, A: Clone> Recall<Q, A> {
    /// The answer to a question. It is worked out without the lock held: twice at the worst.
    pub(crate) fn of(&self, question: &Q, answer: impl FnOnce() -> A) -> A {
        if let Some(known) = self.0.lock().get(question) {
            return known.clone();
        }
        let found = answer();
        self.0.lock().insert(question.clone(), found.clone());
        found
    }
}
