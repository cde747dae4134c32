//! # What it finds
//!
//! A point that measures nothing and that nothing uses: no unit is wired to it, and no other point
//! follows it.
//!
//! # Why it matters
//!
//! It is hardware, wire and a line of the list for nothing, or its name is mistyped where it should be
//! used.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   RR1-DOOR: {object: binary-input 1, description: Reading room door, driven-by: {contact: field}}
//! # ^^^^^^^^ No unit or point uses
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {occupied: AC1-OCC}
//! points:
//!   AC1-OCC: {driven-by: {logic: not RR1-DOOR}}
//!   RR1-DOOR: {object: binary-input 1, description: Reading room door, driven-by: {contact: field}}
//! ```
//! ```yaml near
//! points:
//!   RR1-TEMP: {object: analog-input 1, units: °F, measures: {zone: reading-room, quantity: temperature}}
//! zones:
//!   reading-room: {}
//! ```
//! ```yaml near
//! points:
//!   RR1-DOOR:  {object: binary-input 1, description: Reading room door, use: monitor}
//!   RR1-SPARE: {object: binary-output 8, description: Spare relay, use: spare}
//! ```
//!
//! # Repair
//!
//! Wire it, or write what it is for: `use: monitor` if people only watch it, `use: spare` if its
//! terminal is kept free.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::About;
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{Proposal, cost};
use model::{Found, Key, Kind, Name, Point};

pub(crate) static CHECK: Check = Check {
    id: "point-unused",
    severity: Severity::Note,
    source: include_str!("point_unused.rs"),
    run: Run::Point(run),
    repairs: &[said],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let Some(name) = point.entry.part.key().filter(|_| !point.entry.facts.broken) else {
        return;
    };
    if point.is.measures.is_some() || point.is.unused.is_some() {
        return;
    }
    let key = Key::Refer(Kind::Point, Name::new(name));
    let own = point.entry.facts.uses.iter().any(|used| used.kind == Kind::Point && used.name == name);
    let unread = Key::Unread(Name::new(name), false);
    if ctx.view.count(&key, 2) == usize::from(own) && !ctx.view.any(&unread) {
        out.report(
            About::entry(),
            point.entry.part.key_node(),
            format!(
                "No unit or point uses `{name}`. Wire it, or write what it is for: `use: monitor` or `use: spare`."
            ),
        )
        .unused();
    }
}

/// What it is there for, said: an input is watched, and the terminal of anything else is kept free.
fn said(ctx: &Ctx<'_>, _: &Finding, out: &mut Vec<Proposal>) {
    let Some(point) = ctx.view.as_found::<Point>(ctx.id) else { return };
    let Some(object) = &point.is.object else { return };
    let word = if object.value.kind.is_output() { "spare" } else { "monitor" };
    let edit = Target::new(ctx.id, ctx.entry).pair(ctx.entry.part.value(), "use", word);
    out.extend(Proposal::one(format!("Write `use: {word}`"), cost::VALUE, edit));
}
