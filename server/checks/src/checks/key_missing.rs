//! # What it finds
//!
//! A key that is required but missing.
//!
//! # Why it matters
//!
//! The entry means nothing without it: a schedule has no value outside its hours, a unit no logic, a
//! site no clock. A requirement that asks for nothing would count as met.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   evening-events: {values: occupancy, week: {fri: 18:00-22:00}}
//! # ^^^^^^^^^^^^^^ `default`
//! ```
//! ```yaml bad
//! zones:
//!   stacks: {}
//! requirements:
//!   - {zone: stacks, hours: occupied}
//!   #        ^^^^^^ asks for nothing
//! ```
//! ```yaml bad
//! # file: site.yaml
//! site:
//! #<<<< Add `time-zone`: the IANA time zone that schedules run in, like `America/New_York`
//!   name: Example
//! devices:
//!   controller-1: {description: Mechanical room}
//!  #^^^^^^^^^^^^ Add `instance`: its device instance, 0 to 4194302, unique on the network
//! units:
//!   AC-1: {zone: staff-office}
//!  #^^^^ Add `type`: a unit type, built in or from `unit-types`
//! zones:
//!   staff-office: {}
//! ```
//! ```yaml good
//! site:
//!   name: Saltmarsh Records Centre
//!   time-zone: America/New_York
//! schedules:
//!   evening-events: {values: occupancy, default: unoccupied, week: {fri: 18:00-22:00}}
//! ```
//! ```yaml near
//! # A site may be written in several files.
//! # file: site.yaml
//! site: {name: Saltmarsh Records Centre}
//! # file: clock.yaml
//! site: {time-zone: America/New_York}
//! ```
//!
//! # Repair
//!
//! Add the key.
//!
//! # Source
//!
//! The format of a job.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::written::report;
use model::{Item, Key, Kind, Name, ProblemKind, ValueShape, entry_shape};

pub(crate) static CHECK: Check = Check {
    id: "key-missing",
    severity: Severity::Error,
    source: include_str!("key_missing.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::KeyMissing, out);
    let part = &ctx.entry.part;
    let opens_site = ctx.entry.facts.item == Item::Header && part.section() == Kind::Site.section();
    if let ValueShape::Fields(fields) = entry_shape(Kind::Site)
        && opens_site
        && !part.broken()
    {
        for field in fields.iter().filter(|field| field.needed) {
            if !ctx.view.any(&Key::Define(Kind::Site, Name::new_static(field.key))) {
                out.report(
                    About::of(noun::KEY, field.key),
                    part.key_node(),
                    format!("Add `{}`: {}.", field.key, field.text),
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::tests::fixture::{found, job};

    #[test]
    fn a_site_needs_a_clock() {
        let (job, files) = job("site:\n  name: Saltmarsh Records Centre\n");
        let found = found("key-missing", &job, &files).concat();
        let (line, column, length, message) = found.first().unwrap();
        assert_eq!((*line, *column, *length, found.len()), (0, 0, 4, 1));
        assert!(message.contains("`time-zone`"), "{message}");
    }
}
