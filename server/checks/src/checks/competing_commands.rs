//! # What it finds
//!
//! A point that two sources command at the same priority.
//!
//! # Why it matters
//!
//! Each overwrites the other, and the last write wins until the next one. The relay chatters, or
//! follows whichever program ran last.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   AC1-COOL1: {driven-by: [{call: cool-1, zone: staff-office}, {operator: on-or-off}]}
//!   #                                                           ^^^^^^^^^^^^^^^^^^^^^ at priority 16
//!   AC1-OCC: {driven-by: {schedule: staff-hours, contact: field}}
//!   #                                            ^^^^^^^ at priority 16
//! ```
//! ```yaml good
//! points:
//!   AC1-COOL1: {driven-by: {call: cool-1, zone: staff-office}}
//! ```
//! ```yaml near
//! points:
//!   AC1-COOL1: {driven-by: [{call: cool-1, zone: staff-office}, {operator: on-or-off, priority: 8}]}
//! ```
//!
//! # Repair
//!
//! Delete one of the sources, give them different priorities, or combine them in `logic`. Changing a
//! point can start or stop its unit: make sure first that nobody is working on it.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), command prioritization: sixteen levels, one value in each (clause 19.2,
//! from memory).

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use model::{Found, Point};
use syntax::NodeId;

pub(crate) static CHECK: Check = Check {
    id: "competing-commands",
    severity: Severity::Error,
    source: include_str!("competing_commands.rs"),
    run: Run::Point(run),
    repairs: &[repair::marked_item, repair::marked_pair],
};

fn run(_: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    // The first to write at each priority.
    let mut writers: [Option<NodeId>; 17] = [None; 17];
    let mut write = |priority: u8, at: NodeId| {
        let Some(slot) = writers.get_mut(usize::from(priority)) else {
            return;
        };
        match *slot {
            None => *slot = Some(at),
            Some(first) => {
                let name = point.name();
                out.report(
                    About::path(&point.entry.part, at).and(noun::PRIORITY, priority.to_string()),
                    at,
                    format!("`{name}` has two commands at priority {priority}, and the last write wins. Keep one, give them different priorities, or combine them in `logic`."),
                )
                .because(point.place(first), format!("The first command of `{name}` at priority {priority}"));
            }
        }
    };
    for driver in &point.is.drivers {
        if driver.source.is_some() || !driver.rivals.is_empty() {
            write(driver.priority, driver.at);
        }
        for rival in &driver.rivals {
            write(driver.priority, rival.at);
        }
        if let Some(pinned) = &driver.override_ {
            write(pinned.priority, pinned.at);
        }
    }
}
