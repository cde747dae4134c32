//! Turns that take long name themselves in the log.

use std::time::{Duration, Instant};

/// A person notices a longer wait.
const LONG: Duration = Duration::from_millis(100);

/// A stretch of work; says so when dropped late.
pub(crate) struct Turn {
    what: &'static str,
    begun: Instant,
}

impl Turn {
    pub(crate) fn begin(what: &'static str) -> Turn {
        Turn { what, begun: Instant::now() }
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        let took = self.begun.elapsed();
        if took > LONG {
            tracing::warn!("{} took {} ms", self.what, took.as_millis());
        }
    }
}
