//! # What it finds
//!
//! A choice other than the default that works the same as another one because an input is tied: no
//! output tells the two apart.
//!
//! # Why it matters
//!
//! The submittal says one thing and the jumper another. Whoever reads the option at the call-back looks
//! in the wrong place.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     #                                      ^^^^^^^^^^ `occupied` is tied to `dehumidify`
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: {tied-to: dehumidify}}
//! points:
//!   HP1-HEAT1: {driven-by: {contact: field}}
//!   HP1-DEHUM: {driven-by: {contact: field}}
//! ```
//! ```yaml good
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: HP1-OCC}
//! points:
//!   HP1-HEAT1: {driven-by: {contact: field}}
//!   HP1-DEHUM: {driven-by: {contact: field}}
//!   HP1-OCC: {driven-by: {contact: field}}
//! ```
//!
//! Tied to give dehumidification priority over first-stage heating, with the option at its default,
//! is what the tie is for:
//!
//! ```yaml near
//! units:
//!   HP-1:
//!     type: heat-pump-with-hot-gas-reheat
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {heat-1: HP1-HEAT1, dehumidify: HP1-DEHUM, occupied: {tied-to: dehumidify}}
//! points:
//!   HP1-HEAT1: {driven-by: {contact: field}}
//!   HP1-DEHUM: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Wire the input to a point of its own, or choose what the wiring does anyway.
//!
//! # Source
//!
//! Common practice, no source.

use super::option_without_effect::{WrittenChoice, alike, written_choices};
use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::explain;
use crate::repair;
use analysis::ReasonKind;
use model::{Found, Unit};

pub(crate) static CHECK: Check = Check {
    id: "option-defeated-by-wiring",
    severity: Severity::Warning,
    source: include_str!("option_defeated_by_wiring.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::marked_pair],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    for WrittenChoice { option, at, chosen } in written_choices(unit, found.is) {
        if chosen == option.default {
            continue;
        }
        let others = (0..option.choices.len()).filter(|other| *other != chosen);
        for (other, reasons) in others.filter_map(|other| Some((other, alike(unit, option, chosen, other)?)))
        {
            let Some(tie) = reasons.iter().find(|r| r.kind == ReasonKind::Tie) else {
                continue;
            };
            let name = |n: usize| option.choices.get(n).map_or("", |c| c.value.as_str());
            let message = format!(
                "{}, so `{}` works like `{}`. Wire the input to a point of its own, or choose the option you want.",
                tie.because.first().map_or("An input is tied", |b| b.text.as_str()),
                name(chosen),
                name(other),
            );
            explain(out.report(About::of(noun::OPTION, &option.name.value), at, message), &reasons);
            break;
        }
    }
}
