//! # What it finds
//!
//! A calendar file that is not there or cannot be read, and what cannot be used inside one, with its
//! line.
//!
//! # Why it matters
//!
//! The days it should bring are missing. A schedule runs through a closure that everybody believes to
//! be in.
//!
//! # Example
//!
//! ```yaml bad
//! # file: site.yaml
//! calendars:
//!   closures:
//!     - {import: closures-2028.ics}
//!     #          ^^^^^^^^^^^^^^^^^ there is no such file
//!     - {import: closures.ics}
//!     #          ^^^^^^^^^^^^ line 2
//! # file: closures.ics
//! BEGIN:VCALENDAR
//! BEGIN:VEVENT
//! DTSTART;VALUE=DATE:20270308
//! ```
//! ```yaml good
//! # file: site.yaml
//! calendars:
//!   closures:
//!     - {import: closures.ics}
//! # file: closures.ics
//! BEGIN:VCALENDAR
//! BEGIN:VEVENT
//! DTSTART;VALUE=DATE:20270308
//! END:VEVENT
//! END:VCALENDAR
//! ```
//! ```yaml near
//! # Outside the job folder: that is another check's finding.
//! calendars:
//!   closures:
//!     - {import: ../closures.ics}
//! ```
//!
//! # Repair
//!
//! Put the file into the job folder, or export the calendar again as an iCalendar file (`.ics`).
//!
//! # Source
//!
//! RFC 5545 (iCalendar).

use crate::check::{Check, Run, Severity};
use crate::context::Ctx;
use crate::finding::Sink;
use crate::written::imports;
use calendar::import_ics;
use model::ImportError;

pub(crate) static CHECK: Check = Check {
    id: "import-unreadable",
    severity: Severity::Error,
    source: include_str!("import_unreadable.rs"),
    run: Run::Entry(run),
};

/// Of more problems in one file only the number is told.
const FEW: usize = 8;

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    for (at, path) in imports(ctx) {
        match ctx.view.import(path) {
            Some(Ok(text)) => {
                let Some(period) = analysis::period(&ctx.view, ctx.memo) else {
                    continue;
                };
                let problems = import_ics(text, &period).problems;
                for problem in problems.iter().take(FEW) {
                    out.report(at, format!("{path}, line {}: {}", problem.line, problem.message));
                }
                if problems.len() > FEW {
                    out.report(
                        at,
                        format!(
                            "{path} has {} more problems; export the calendar again",
                            problems.len() - FEW
                        ),
                    );
                }
            }
            Some(Err(ImportError::Unreadable(why))) => {
                let message = format!(
                    "`{path}` cannot be read ({why}), so its days are missing here; put the file there or correct the path"
                );
                out.report(at, message);
            }
            Some(Err(ImportError::Outside)) | None => {}
        }
    }
}
