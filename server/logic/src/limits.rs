//! How far to go, and whether that was far enough.

/// How much work an answer may cost.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SearchLimits {
    /// The most answers wanted.
    pub answers: usize,
    /// The most questions put to a caller's oracle.
    pub tests: usize,
}

impl Default for SearchLimits {
    fn default() -> Self {
        Self { answers: 256, tests: 20_000 }
    }
}

/// Answers, simplest first.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SearchResult<T> {
    /// What was found.
    pub items: Vec<T>,
    /// Whether these are all there are; otherwise a limit cut the list short.
    pub complete: bool,
}
