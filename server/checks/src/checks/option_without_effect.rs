//! # What it finds
//!
//! An option that is set on a unit but changes no output, as the unit is wired: all its choices work
//! the same.
//!
//! # Why it matters
//!
//! Nothing is wrong yet. But whoever changes the option later to fix something will see no change.
//!
//! # Example
//!
//! ```yaml bad
//! units:
//!   DH-1:
//!     type: stand-alone-dehumidifier
//!     options: {unoccupied-dehumidification: allowed}
//!     #                                      ^^^^^^^ `occupied` is tied on
//!     inputs: {dehumidify: DH1-DEHUM, occupied: {tied: on}, condensate-full: DH1-FULL}
//! points:
//!   DH1-DEHUM: {driven-by: {contact: field}}
//!   DH1-FULL: {driven-by: {contact: float switch}}
//! ```
//! ```yaml good
//! units:
//!   DH-1:
//!     type: stand-alone-dehumidifier
//!     options: {unoccupied-dehumidification: locked-out}
//!     inputs: {dehumidify: DH1-DEHUM, occupied: DH1-OCC, condensate-full: DH1-FULL}
//! points:
//!   DH1-DEHUM: {driven-by: {contact: field}}
//!   DH1-OCC: {driven-by: {contact: field}}
//!   DH1-FULL: {driven-by: {contact: float switch}}
//! ```
//! ```yaml near
//! units:
//!   DH-1:
//!     type: stand-alone-dehumidifier
//!     options: {unoccupied-dehumidification: allowed}
//!     inputs: {dehumidify: not-wired, occupied: not-wired, condensate-full: DH1-FULL}
//! points:
//!   DH1-FULL: {driven-by: {contact: float switch}}
//! ```
//!
//! # Repair
//!
//! Wire the input that the option uses, or leave the option at its default.
//!
//! # Source
//!
//! Common practice, no source.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::dehumidification::{cause, explain, held_by_reasons};
use crate::repair;
use analysis::{Claim, Reason, ReasonKind, UnitAnalysis};
use model::{Found, OptionDecl, Unit};
use syntax::NodeId;

pub(crate) static CHECK: Check = Check {
    id: "option-without-effect",
    severity: Severity::Note,
    source: include_str!("option_without_effect.rs"),
    run: Run::Unit(run),
    repairs: &[repair::facts, repair::marked_pair],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    for WrittenChoice { option, at, chosen } in written_choices(unit, found.is) {
        let others = (0..option.choices.len()).filter(|other| *other != chosen);
        let Some(reasons) =
            others.map(|other| alike(unit, option, chosen, other)).collect::<Option<Vec<_>>>()
        else {
            continue;
        };
        let reasons: Vec<Reason> = reasons.into_iter().flatten().collect();
        // A choice that a tie defeats, and what follows from a wire or limit that is missing, is reported there.
        let defeated = chosen != option.default && reasons.iter().any(|r| r.kind == ReasonKind::Tie);
        let told =
            reasons.iter().any(|r| r.kind.reported_itself() || matches!(r.kind, ReasonKind::NoLimit(_)));
        let about = About::of(noun::OPTION, &option.name.value);
        if defeated {
            out.held_back(Some(about.clone()), "option-defeated-by-wiring", ctx.id);
        }
        if told {
            held_by_reasons(ctx, &reasons, &about, out);
        }
        if reasons.is_empty() || defeated || told {
            continue;
        }
        let since = cause(&reasons).map_or_else(String::new, |(cause, _)| format!(": {cause}"));
        let message = format!(
            "All choices of `{}` work the same{since}. Check the wiring and the other options.",
            option.name.value
        );
        explain(out.report(about, at, message).unused(), &reasons);
    }
}

/// A choice that a unit makes in writing.
pub(crate) struct WrittenChoice<'j> {
    pub(crate) option: &'j OptionDecl,
    /// Where it is written.
    pub(crate) at: NodeId,
    /// Its number among the option's choices.
    pub(crate) chosen: usize,
}

/// The choices that a unit makes in writing; none where the type could not be read in full.
pub(crate) fn written_choices<'j>(unit: &UnitAnalysis<'j>, is: &'j Unit) -> Vec<WrittenChoice<'j>> {
    let unit_type = unit.unit_type;
    if unit_type.entry.facts.doubtful() {
        return Vec::new();
    }
    let found = is.options.iter().filter_map(|(name, choice)| {
        let option = unit_type.is.option(&name.value)?;
        let chosen = option.choices.iter().position(|c| c.value == choice.value)?;
        (option.choices.len() > 1).then_some(WrittenChoice { option, at: choice.at, chosen })
    });
    found.collect()
}

/// Why no output tells two choices of an option apart; nothing if one does.
pub(crate) fn alike(unit: &UnitAnalysis<'_>, option: &OptionDecl, a: usize, b: usize) -> Option<Vec<Reason>> {
    unit.why(Claim::ChoicesAlike(&option.name.value, a, b), |_| true)
}
