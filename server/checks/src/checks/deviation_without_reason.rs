//! # What it finds
//!
//! A deviation that gives no reason.
//!
//! # Why it matters
//!
//! A deviation is a decision somebody answers for. The review lists each with its reason; a reviewer
//! can accept a reason, but not a silence.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}  # deviation: setpoints-crossed
//!     #                                                 ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ gives no reason
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
//! Write the reason behind a comma: `# deviation: CHECK, why it is meant to stay`.
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
            "this deviation gives no reason; write one behind a comma: `# deviation: {}, why it is meant to stay`",
            stated.check
        );
        out.report(About::of(noun::CHECK, &stated.check), Spot::Comment(stated.comment), message);
    }
}
