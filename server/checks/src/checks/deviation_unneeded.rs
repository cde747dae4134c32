//! # What it finds
//!
//! A deviation that matches no finding: its check finds nothing in the item it is written at, or there
//! is no check of that name.
//!
//! # Why it matters
//!
//! What it once excused is gone. If it stays, it hides the next real fault of that kind without anybody
//! having decided that.
//!
//! # Example
//!
//! ```yaml bad
//! zones:
//!   stacks:
//!     # deviation: setpoints-crossed, calibration week
//!   # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ matches no `setpoints-crossed` finding
//!     occupied: {heat-below: 68 °F, cool-above: 75 °F}
//! ```
//! ```yaml bad
//! zones:
//!   stacks:
//!     # deviation: setpoint-crossed, calibration week
//!    #^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ This deviation matches nothing: there is no check `setpoint-crossed`
//!     occupied: {heat-below: 68 °F, cool-above: 75 °F}
//!   staff-office:
//!     # deviation: warm-in-july, calibration week
//!    #^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ This deviation matches nothing: there is no check `warm-in-july`
//!     occupied: {heat-below: 68 °F, cool-above: 75 °F}
//! ```
//! ```yaml good
//! zones:
//!   stacks:
//!     # deviation: setpoints-crossed, calibration week
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}
//! ```
//! ```yaml near
//! zones:
//!   # deviation: setpoints-crossed, calibration week
//!   stacks:
//!     unoccupied: {heat-below: 60 °F, cool-above: 85 °F}
//!     occupied: {heat-below: 78 °F, cool-above: 75 °F}
//! ```
//!
//! # Repair
//!
//! Delete the comment, or correct the name of the check in it.
//!
//! # Source
//!
//! Common practice: a list of deviations is kept current.

use crate::about::{About, noun};
use crate::check::{Check, Finding, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair::text::Target;
use crate::repair::{Proposal, cost};
use model::{Deviation, Spot};

pub(crate) static CHECK: Check = Check {
    id: "deviation-unneeded",
    severity: Severity::Warning,
    source: include_str!("deviation_unneeded.rs"),
    run: Run::Deviation(run),
    repairs: &[correct],
};

fn run(stated: &Deviation, hidden: usize, out: &mut Sink) {
    if hidden > 0 {
        return;
    }
    let ids = crate::ALL.iter().map(|c| c.id);
    let message = if crate::find(&stated.check).is_some() {
        format!("This deviation matches no `{}` finding. Delete the comment.", stated.check)
    } else {
        match model::nearest(&stated.check, ids).first() {
            Some(near) => format!(
                "This deviation matches nothing: there is no check `{}`. {}",
                stated.check,
                model::did_you_mean(&stated.check, [*near].into_iter())
            ),
            None => format!(
                "This deviation matches nothing: there is no check `{}`. Use the name in brackets after the finding.",
                stated.check
            ),
        }
    };
    let about = About::of(noun::CHECK, &stated.check).and(noun::TEXT, &stated.reason);
    out.report(about, Spot::Comment(stated.comment), message);
}

/// The comment deleted, or with the name of a check in it.
fn correct(ctx: &Ctx<'_>, finding: &Finding, out: &mut Vec<Proposal>) {
    let Spot::Comment(number) = finding.spot else { return };
    let target = Target::new(ctx.id, ctx.entry);
    let stated = ctx.entry.facts.deviations().iter().find(|d| d.comment == number);
    if let Some(stated) = stated.filter(|d| crate::find(&d.check).is_none()) {
        let comment = finding.spot.span(&ctx.entry.part);
        let text = ctx.entry.part.text().get(comment.start as usize..comment.end as usize);
        let at = text.and_then(|text| text.find(stated.check.as_str())).filter(|_| !stated.check.is_empty());
        for near in model::nearest(&stated.check, crate::ALL.iter().map(|c| c.id)) {
            let edit = at.map(|at| {
                let from = comment.start + at as u32;
                target.edit(from, from + stated.check.len() as u32, near)
            });
            out.extend(Proposal::one(format!("Write `{near}`"), cost::SPELLING, edit));
        }
    }
    out.extend(Proposal::one("Delete the comment", cost::REMOVAL, target.without_comment(number)));
}
