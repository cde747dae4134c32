//! # What it finds
//!
//! A deviation without a reason.
//!
//! # Why it matters
//!
//! A deviation is a decision that somebody answers for. The review lists each with its reason, and a
//! reviewer can accept a reason but not silence.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}  # deviation: setpoints-crossed
//!     #                                                 ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ has no reason
//! ```
//! ```yaml good
//! zones:
//!   stacks:
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}  # deviation: setpoints-crossed, calibration week
//! ```
//! ```yaml near
//! zones:
//!   stacks:
//!     occupied: {heat-below: 68 °F, cool-above: 75 °F}  # deviations are listed in the review
//! ```
//!
//! # Repair
//!
//! Add the reason after a comma: `# deviation: CHECK, why it stays`.
//!
//! # Source
//!
//! Common practice: deviations from a design are recorded with who decided and why.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use model::{Deviation, Spot};

pub(crate) static CHECK: Check = Check {
    id: "deviation-without-reason",
    severity: Severity::Warning,
    source: include_str!("deviation_without_reason.rs"),
    run: Run::Deviation(run),
    repairs: &[],
};

fn run(stated: &Deviation, _: usize, out: &mut Sink) {
    if stated.reason.is_empty() {
        let message = format!(
            "This deviation has no reason. Add one after a comma: `# deviation: {}, why it stays`.",
            stated.check
        );
        out.report(About::of(noun::CHECK, &stated.check), Spot::Comment(stated.comment), message);
    }
}
