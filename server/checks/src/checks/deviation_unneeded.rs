//! # What it finds
//!
//! A deviation that hides nothing: its check found nothing in the item it stands at, or no check has
//! that name.
//!
//! # Why it matters
//!
//! What it once excused is gone. Left standing, it would hide the next real fault of the same kind
//! without anybody having decided so.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     # deviation: setpoints-crossed, calibration week
//!   # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ hides nothing
//!     occupied: {heat-below: 68 °F, cool-above: 75 °F}
//! ```
//! ```yaml good
//! zones:
//!   stacks:
//!     # deviation: setpoints-crossed, calibration week
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}
//! ```
//! ```yaml near
//! zones:
//!   # deviation: setpoints-crossed, calibration week
//!   stacks:
//!     unoccupied: {heat-below: 60 °F, cool-above: 85 °F}
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}
//! ```
//!
//! # Repair
//!
//! Take the comment out, or correct the name of the check in it.
//!
//! # Source
//!
//! Common practice: a list of deviations is kept current.

use crate::check::{Check, Run, Severity};
use crate::finding::Finding;
use model::{Deviation, Spot};

pub(crate) static CHECK: Check = Check {
    id: "deviation-unneeded",
    severity: Severity::Warning,
    source: include_str!("deviation_unneeded.rs"),
    run: Run::Deviations,
};

pub(crate) fn finding(stated: &Deviation, spot: Spot) -> Finding {
    let ids = crate::ALL.iter().map(|c| c.id);
    let message = if crate::find(&stated.check).is_some() {
        format!("this deviation hides nothing: `{}` finds nothing here; take the comment out", stated.check)
    } else {
        match model::nearest(&stated.check, ids).first() {
            Some(near) => format!(
                "this deviation hides nothing: no check is called `{}`; did you mean `{near}`?",
                stated.check
            ),
            None => format!(
                "this deviation hides nothing: no check is called `{}`; names of checks stand in brackets behind each finding",
                stated.check
            ),
        }
    };
    Finding::new(&CHECK, spot, message)
}
