//! # What it finds
//!
//! A calendar or weather file whose path leads out of the job folder.
//!
//! # Why it matters
//!
//! Only the folder goes out for review and is kept with the job. On the reviewer's machine the file is
//! a different one, or missing. It is not read.
//!
//! # Example
//!
//! ```yaml bad
//! calendars:
//!   closures:
//!     - {import: ../clean/closures.ics}
//!     #          ^^^^^^^^^^^^^^^^^^^^^ outside the job folder
//! ```
//! ```yaml good
//! # file: site.yaml
//! calendars:
//!   closures:
//!     - {import: calendars/closures.ics}
//! # file: calendars/closures.ics
//! BEGIN:VCALENDAR
//! END:VCALENDAR
//! ```
//! ```yaml near
//! # Inside, but not there: that is another check's finding.
//! calendars:
//!   closures:
//!     - {import: calendars/closures.ics}
//! ```
//!
//! # Repair
//!
//! Copy the file into the job folder, and name the copy.
//!
//! # Source
//!
//! Common practice, no source: a submittal is complete in itself.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::written::imports;
use model::ImportError;

pub(crate) static CHECK: Check = Check {
    id: "import-outside-job",
    severity: Severity::Error,
    source: include_str!("import_outside_job.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    for (at, path) in imports(ctx) {
        if let Some(Err(ImportError::Outside)) = ctx.view.import(path) {
            let message = format!(
                "`{path}` is outside the job folder and is not read. Copy it into the folder, and name the copy."
            );
            out.report(About::path(&ctx.entry.part, at).and(noun::FILE, path), at, message);
        }
    }
}
