//! How much may be worked out before a question is given up.
//!
//! Work is counted in steps and never in seconds, so that the same question has the same answer on
//! every machine. The bounds in force are those of the innermost [`Bounds::within`] of the thread;
//! nothing in this crate leaves its thread.

use std::cell::Cell;

/// The sizes and the work allowed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Bounds {
    /// The most inputs that one function may have; no more than [`Bounds::MAX_INPUTS`].
    pub inputs: usize,
    /// The most nodes that one operation may make.
    pub nodes: usize,
    /// The most steps of all that is done within.
    pub steps: u64,
    /// The most steps of an expression.
    pub ops: usize,
}

impl Bounds {
    /// Recursion goes as deep as a function has inputs; this much fits the stack of any thread.
    pub const MAX_INPUTS: usize = 1024;

    /// Those in force where nobody set any.
    pub const DEFAULT: Self =
        Self { inputs: Self::MAX_INPUTS, nodes: 1 << 18, steps: u64::MAX, ops: 1 << 16 };

    /// The same with another number of steps.
    #[must_use]
    pub fn steps(self, steps: u64) -> Self {
        Self { steps, ..self }
    }

    /// Does some work within these bounds. What is worked out past them is not known.
    pub fn within<T>(self, work: impl FnOnce() -> T) -> T {
        let _outer = Outer(CURRENT.replace(self));
        work()
    }

    /// Takes steps from those that are left, for work that is not done here; whether there were so many.
    pub fn spend(steps: u64) -> bool {
        spend(steps)
    }

    /// Whether no step is left: whatever is asked now is not known.
    pub fn are_spent() -> bool {
        CURRENT.get().steps == 0
    }

    pub(crate) fn current() -> Self {
        CURRENT.get()
    }
}

impl Default for Bounds {
    fn default() -> Self {
        Self::DEFAULT
    }
}

thread_local! {
    /// The bounds in force, with the steps that are left of them.
    static CURRENT: Cell<Bounds> = const { Cell::new(Bounds::DEFAULT) };
}

/// Puts back what was in force before.
struct Outer(Bounds);

impl Drop for Outer {
    fn drop(&mut self) {
        CURRENT.set(self.0);
    }
}

/// Takes steps from those that are left; whether there were so many.
pub(crate) fn spend(steps: u64) -> bool {
    let bounds = CURRENT.get();
    // Where nobody set a bound, one operation is bounded and their sum is not.
    if bounds.steps == u64::MAX {
        return true;
    }
    let left = bounds.steps.checked_sub(steps);
    CURRENT.set(Bounds { steps: left.unwrap_or(0), ..bounds });
    left.is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_counted_by_the_innermost() {
        let outer = Bounds { steps: 5, ..Bounds::DEFAULT };
        let spent = outer.within(|| {
            let inner = Bounds { steps: 2, ..outer }.within(|| [spend(2), spend(1)]);
            (spend(4), inner, spend(1), spend(1))
        });
        assert_eq!(spent, (true, [true, false], true, false));
        assert!(spend(1 << 40));
    }
}
