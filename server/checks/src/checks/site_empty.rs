//! # What it finds
//!
//! A `site.yaml` with nothing in it.
//!
//! # Why it matters
//!
//! The file makes its folder a job but says nothing about it: no name for the reports, no time zone for
//! the schedules. It may be left over from a copy that failed or a disk that was full.
//!
//! # Example
//!
//! ```yaml bad
//! # file: more.yaml
//! site: {name: Saltmarsh Records Centre, time-zone: America/New_York}
//! # file: site.yaml
//! # to be written
//! # ^^^^^^^^^^^^^ `site.yaml` is empty
//! ```
//! ```yaml good
//! # file: site.yaml
//! site: {name: Saltmarsh Records Centre, time-zone: America/New_York}
//! ```
//! ```yaml near
//! # file: points.yaml
//! # Any other file may be empty.
//! ```
//!
//! # Repair
//!
//! Write `site:` with the job's name and time zone, or get the file again.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use model::{Item, Spot};

pub(crate) static CHECK: Check = Check {
    id: "site-empty",
    severity: Severity::Warning,
    source: include_str!("site_empty.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    // Only where nothing else stands in a file, blank lines and comments are an entry of their own.
    let says_nothing = |line: &str| line.trim().is_empty() || line.trim_start().starts_with('#');
    let part = &ctx.entry.part;
    if matches!(ctx.entry.facts.item, Item::Stray)
        && part.faults().is_empty()
        && part.text().lines().all(says_nothing)
        && ctx.view.path(ctx.entry) == "site.yaml"
    {
        let line = part.text().lines().next().unwrap_or("");
        let from = line.len() - line.trim_start_matches(['#', ' ']).len();
        out.report(
            About::entry(),
            Spot::Bytes(from as u32..line.len() as u32),
            "`site.yaml` is empty, so the job has no name and no time zone. Write `site: {name: …, time-zone: America/New_York}`.",
        );
    }
}
