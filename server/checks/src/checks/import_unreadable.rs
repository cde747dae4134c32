//! # What it finds
//!
//! A calendar or weather file that is missing or cannot be read, and what cannot be used inside one,
//! with its line. Hours of the review period that a weather file does not have are a note, unless it
//! has a few design days only.
//!
//! # Why it matters
//!
//! The days it should bring are missing, so a schedule runs through a closure that everybody believes
//! is in. Without weather nothing is predicted.
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
//! ```yaml bad
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   weather: {file: weather.csv}
//!   #               ^^^^^^^^^^^ not a weather file
//! # file: weather.csv
//! Hour,Dry bulb
//! 1,30
//! ```
//! ```yaml bad
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   weather: {file: weather-2027.csv}
//!   #               ^^^^^^^^^^^^^^^^ `weather-2027.csv` cannot be read (there is no such file), so nothing can be predicted
//! ```
//! ```yaml bad
//! # file: site.yaml
//! calendars:
//!   closures:
//!     - {import: closures.ics}
//!     #          ^^^^^^^^^^^^ `closures.ics`, line 13: the time zone `Saltmarsh` is unknown, so the event is read in the site's local time
//!     #          ^^^^^^^^^^^^ `closures.ics`, line 17: `RRULE` has `COUNT=0`, which must be 1 or more, so the event is left out
//!     #          ^^^^^^^^^^^^ `closures.ics`, line 21: `DURATION` is not a duration like `P1D`, so the event is left out
//!     #          ^^^^^^^^^^^^ `closures.ics`, line 2: the event has no date (`DTSTART`), so the event is left out
//!     #          ^^^^^^^^^^^^ `closures.ics`, line 6: `DTSTART` is not a date like `20271225`, so the event is left out
//!     #          ^^^^^^^^^^^^ `closures.ics`, line 8: the event ends before it starts, so the event is left out
//! # file: closures.ics
//! BEGIN:VCALENDAR
//! BEGIN:VEVENT
//! SUMMARY:Inventory
//! END:VEVENT
//! BEGIN:VEVENT
//! DTSTART;VALUE=DATE:5/31/2027
//! END:VEVENT
//! BEGIN:VEVENT
//! DTSTART;VALUE=DATE:20270308
//! DTEND;VALUE=DATE:20270301
//! END:VEVENT
//! BEGIN:VEVENT
//! DTSTART;TZID=Saltmarsh:20270308T080000
//! END:VEVENT
//! BEGIN:VEVENT
//! DTSTART;VALUE=DATE:20270308
//! RRULE:FREQ=WEEKLY;COUNT=0
//! END:VEVENT
//! BEGIN:VEVENT
//! DTSTART;VALUE=DATE:20270308
//! DURATION:long
//! END:VEVENT
//! END:VCALENDAR
//! ```
//! ```yaml bad
//! # file: site.yaml
//! calendars:
//!   closures:
//!     - {import: closures.ics}
//!     #          ^^^^^^^^^^^^ `closures.ics`, line 1: the line `BEGIN:VCALENDAR` is missing, so this is not an iCalendar file
//! # file: closures.ics
//! Closed on May 31
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
//! # Outside the job folder: another check reports that.
//! calendars:
//!   closures:
//!     - {import: ../closures.ics}
//! ```
//!
//! # Repair
//!
//! Put the file in the job folder, or export the calendar again as an iCalendar file (`.ics`). Weather
//! is read as TMY2, TMY3 or EPW.
//!
//! # Source
//!
//! RFC 5545 (iCalendar).

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::written::imports;
use air::weather::{MissingHours, WeatherProblem};
use analysis::count_words;
use analysis::drift::read_weather;
use model::{ImportError, Item, Name};
use std::sync::Arc;
use syntax::NodeId;

pub(crate) static CHECK: Check = Check {
    id: "import-unreadable",
    severity: Severity::Error,
    source: include_str!("import_unreadable.rs"),
    run: Run::Entry(run),
    repairs: &[],
};

/// Of more problems in one file only the number is given.
const FEW: usize = 8;

/// So many characters of a line tell it from others.
const LINE_AT_MOST: usize = 200;

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    let weather = matches!(&ctx.entry.facts.item, Item::Site(_));
    for (at, path) in imports(ctx) {
        match ctx.view.import(path) {
            Some(Ok(text)) if weather => hours(ctx, at, path, text, out),
            Some(Ok(text)) => days(ctx, at, path, text, out),
            Some(Err(ImportError::Unreadable(why))) => {
                let missing = if weather { "nothing can be predicted" } else { "its days are missing" };
                let message = format!(
                    "`{path}` cannot be read ({why}), so {missing}. Put the file there, or correct the path."
                );
                out.report(About::of(noun::FILE, path), at, message);
            }
            Some(Err(ImportError::Outside)) | None => {}
        }
    }
}

/// A line of a file, by what it says: its number is another's as soon as something is written above it.
fn line(text: &str, number: usize) -> Name {
    let line = text.lines().nth(number.saturating_sub(1)).unwrap_or_default();
    line.trim().chars().take(LINE_AT_MOST).collect()
}

fn days(ctx: &Ctx<'_>, at: NodeId, path: &Name, text: &Arc<str>, out: &mut Sink) {
    let Some(analysis) = ctx.analysis() else { return };
    let problems = analysis.imported(text, |import| import.problems.clone());
    for problem in problems.iter().take(FEW) {
        let about = About::of(noun::FILE, path).and(noun::LINE, line(text, problem.line));
        out.report(about, at, format!("`{path}`, line {}: {}.", problem.line, problem.message));
    }
    if problems.len() > FEW {
        let more = problems.len() - FEW;
        let about = About::of(noun::FILE, path).and(noun::REST, "");
        out.report(
            about,
            at,
            format!("`{path}` has {} more problems. Export the calendar again.", count_words(more)),
        );
    }
}

fn hours(ctx: &Ctx<'_>, at: NodeId, path: &Name, text: &Arc<str>, out: &mut Sink) {
    let read = read_weather(ctx.memo, path, text);
    let faults = &read.weather.faults;
    for fault in faults.iter().take(FEW) {
        let about = About::of(noun::FILE, path).and(noun::LINE, line(text, fault.line));
        out.report(about, at, format!("`{path}`, {fault}."));
    }
    if faults.len() > FEW {
        let more = faults.len() - FEW;
        let about = About::of(noun::FILE, path).and(noun::REST, "");
        out.report(
            about,
            at,
            format!("`{path}` has {} more lines that cannot be read. Get the file again.", count_words(more)),
        );
    }
    // Where the whole file is none, every hour is missing.
    let is_none = faults.iter().any(|fault| fault.problem == WeatherProblem::NotWeather);
    let outdoors = ctx.analysis().and_then(|analysis| analysis.outdoors());
    let Some(outdoors) = outdoors.filter(|_| !is_none) else { return };
    // A file with less than half of the hours is one of design days, and means to be.
    if !outdoors.missing.is_empty() && outdoors.missing.len() <= outdoors.known() {
        let missing = MissingHours { hours: outdoors.missing.clone() };
        let message = format!(
            "`{path}` has no reading for {} of the review period. Predictions leave them out.",
            missing.list()
        );
        out.report(About::of(noun::FILE, path).and(noun::REST, "hours"), at, message)
            .severity(Severity::Note);
    }
}
