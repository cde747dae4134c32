//! Work that takes long names itself in the log.

use std::time::{Duration, Instant};

/// A person notices a longer wait.
const NOTICED: Duration = Duration::from_millis(100);

/// Times a stretch of work, and logs it when dropped late.
pub(crate) struct LatencyTimer {
    what: &'static str,
    begun: Instant,
}

impl LatencyTimer {
    pub(crate) fn start(what: &'static str) -> LatencyTimer {
        LatencyTimer { what, begun: Instant::now() }
    }
}

impl Drop for LatencyTimer {
    fn drop(&mut self) {
        let took = self.begun.elapsed();
        if took > NOTICED {
            tracing::warn!("{} took {} ms", self.what, took.as_millis());
        }
    }
}
