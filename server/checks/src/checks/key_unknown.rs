//! # What it finds
//!
//! A key that is not known where it is written, an unknown section, or an unknown service.
//!
//! # Why it matters
//!
//! It is not read. Where a key is mistyped, the default applies instead, and nothing shows that.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   staff-office:
//!     thermostat: {diferential: 2 °F}
//!     #            ^^^^^^^^^^^ Did you mean `differential`?
//! ```
//! ```yaml bad
//! points:
//!   RR1-DOOR: {use: monitor, text: Reading room door}
//!   #                        ^^^^ renamed to `description`
//! ```
//! ```yaml bad
//! pionts:
//! #<<<<<< Unknown section `pionts`. Did you mean `points`
//!   RR1-DOOR: {description: Reading room door}
//! rooms:
//! #<<<<< Unknown section `rooms`. Use one of `site`, `calendars`, `schedules`, `zones`, `units`, `devices`, `points`, `unit-types` or `requirements`
//!   staff-office: {}
//! points:
//!   RR1-LIGHT: {inverted: true, driven-by: {contact: field}}
//!   #           ^^^^^^^^ Unknown key `inverted` in a point
//!   RR1-FAN: {driven-by: {contact: field, colour: red}}
//!   #                                     ^^^^^^ Unknown key `colour` in `driven-by`
//! unit-types:
//!   dryer:
//!     inputs: {dehumidify: {}}
//!     outputs: {compressor: {when: dehumidify, role: compressor}}
//!     serves: {drying: compressor}
//!     #        ^^^^^^ Unknown key `drying` in `serves`
//! ```
//! ```yaml good
//! zones:
//!   staff-office:
//!     thermostat: {differential: 2 °F}
//! ```
//! ```yaml near
//! # Names of surfaces are free.
//! zones:
//!   staff-office:
//!     space: {surfaces: {diferential: 55 °F}}
//! ```
//!
//! # Repair
//!
//! Correct the key, or delete it.
//!
//! # Source
//!
//! The format of a job.

use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::report;
use model::ProblemKind;

pub(crate) static CHECK: Check = Check {
    id: "key-unknown",
    severity: Severity::Error,
    source: include_str!("key_unknown.rs"),
    run: Run::Entry(run),
    repairs: &[repair::spelling],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::KeyUnknown, out);
}
