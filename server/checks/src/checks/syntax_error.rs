//! # What it finds
//!
//! YAML that cannot be read: a bracket or quote that is not closed, a tab, a missing colon, or wrong
//! indentation.
//!
//! # Why it matters
//!
//! What the broken part says is not known, so whatever depends on it cannot be reviewed. The rest of
//! the file is still read.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   FP1-PULL: {device: fire-gateway, object: binary-input 2
//!   #         ^ closed
//! ```
//! ```yaml bad
//! # file: points/1.yaml
//! points:
//!   FP1-A: {description: "Smoke}
//!   #                    ^^^^^^^ This quote is never closed
//! # file: points/2.yaml
//! points:
//!   FP1-A: {description: Smoke]}
//!   #      ^ `{` is opened here but closed by a different bracket
//!   #                          ^ `}` closes nothing. Delete it, or open its bracket before it
//! # file: points/3.yaml
//! points:
//!   FP1-A: {device:fire-gateway, object: binary-input 2}
//!   #       ^^^^^^^ There is no space after the colon of `device`, so it is not read as a key
//! # file: points/4.yaml
//! points:
//!   FP1-A: {description: "Smoke" duct}
//!   #                            ^^^^ There is text after the closing quote
//! # file: points/5.yaml
//! points:
//!   FP1-A: {description: %RH of the stacks}
//!   #                    ^^^^^^^^^^^^^^^^^ A value cannot start with `%` in YAML
//! # file: points/6.yaml
//! points:
//!   FP1-A:
//!     description: Smoke
//!    device: fire-gateway
//!   #^^^^^^^^^^^^^^^^^^^^ Wrong indentation. Line it up with the lines above and below, and put a space after the colon
//! # file: points/7.yaml
//! points:
//!   FP1-A: {description: Smoke, , device: fire-gateway}
//!   #                           ^ There is nothing between these two commas
//! # file: points/8.yaml
//! points:
//!   FP1-A: {description: Smoke, description: Smoke in the duct}
//!   #                           ^^^^^^^^^^^ `description` is here twice, and only the first is read
//! # file: points/9.yaml
//! points
//! #<<<<<< This section has no colon. Write `points:`
//!   FP1-A: {description: Smoke}
//! # file: points/10.yaml
//! points:
//!   FP1-A: {description: Smoke}
//! zones:
//!   stacks: {}
//! points:
//! #<<<<<<< This file already has a section `points`
//!   FP1-B: {description: Pull station}
//! # file: points/11.yaml
//! points:
//!   FP1-A
//!  #^^^^^ This entry has no colon. Write `FP1-A: ` and its value
//! # file: points/12.yaml
//! points: smoke
//! #       ^^^^^ `points` is a section, but this is a single value
//! # file: points/13.yaml
//! - points
//! #<<<<<<<< This is outside any section
//! # file: points/14.yaml
//! points:
//!   FP1-A: {description: "Smoke \q"}
//!   #                    ^^^^^^^^^^ A `\` in double quotes starts an escape, and YAML does not know this one
//! # file: points/15.yaml
//! points:
//!   FP1-A: {description: Smoke device: fire-gateway}
//!   #                          ^^^^^^^ A comma is missing before this
//! # file: points/16.yaml
//! points:
//!   FP1-A: *smoke
//!   #      ^^^^^^ Nothing above is marked `&smoke`, so `*smoke` has no value
//! # file: points/17.yaml
//! points:
//!   FP1-A: {description: !smoke duct}
//!   #                    ^^^^^^ `!smoke` is an instruction to YAML, so this value is not read as written
//! # file: points/18.yaml
//! points:
//!   FP1-A: {description: Smoke}
//! ---
//! #<<< This line starts a second document, but its sections are read as part of this file
//! points:
//! #<<<<<<< This file already has a section `points`
//!   FP1-B: {description: Pull station}
//! # file: points/19.yaml
//! %YAML 1.2
//! #<<<<<<<<< A line that starts with `%` is an instruction to YAML and is not used here
//! points:
//!   FP1-A: {description: Smoke}
//! # file: points/20.yaml
//! points:
//!   FP1-A: {description: Smoke}
//!   - {description: Pull station}
//!  #^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ The first entry of this section is a name with `:`, but this one starts with `- `
//! # file: points/21.yaml
//! points:
//!   <<: {description: Smoke}
//!  #^^ `<<` cannot bring in entries of a section
//! # file: points/22.yaml
//! points:
//!   FP1-A: &all {description: Smoke, measures: *all}
//!   #                                          ^^^^ `*all` is inside what `&all` marks, so it would never end
//! # file: points/23.yaml
//! points:
//!   FP1-A: {<<: smoke, description: Smoke}
//!   #           ^^^^^ `<<` brings in the keys of a mapping, but this is something else
//! # file: points/24.yaml
//! points:
//!   FP1-A:
//!     description: Smoke: in the duct
//!     #            ^^^^^^^^^^^^^^^^^^ This line has a second `: `, so the value has no clear end
//! # file: points/25.yaml
//! points:
//!   FP1-A: - Smoke
//!   #      ^^^^^^^ A list cannot start here. Put each `- ` item on a line of its own, or write `[a, b]`
//! ```
//! ```yaml good
//! points:
//!   FP1-PULL: {device: fire-gateway, object: binary-input 2}
//! ```
//! ```yaml near
//! points:
//!   FP1-PULL:
//!     description: "a colon: in quotes"
//! ```
//!
//! # Repair
//!
//! As the message says.
//!
//! # Source
//!
//! YAML 1.2.2.

use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::written::report;
use model::ProblemKind;

pub(crate) static CHECK: Check = Check {
    id: "syntax-error",
    severity: Severity::Error,
    source: include_str!("syntax_error.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::YamlBroken, out);
}
