//! # What it finds
//!
//! A unit type that reaches a state its own `never:` forbids, with some choice of its options and some
//! state of its inputs. Inputs may be in any state, except that a second stage is only called with its
//! first.
//!
//! # Why it matters
//!
//! The list is there because such a state breaks equipment or hurts people: a compressor without its
//! fan, a heater without airflow. Wiring and schedules may keep the state away today, but the next
//! change of wiring may not.
//!
//! # Example
//!
//! ```yaml bad
//! unit-types:
//!   dehumidifier-with-fan-relay:
//!     inputs: {dehumidify: {}, condensate-full: {}}
//!     outputs:
//!       compressor: {when: dehumidify}
//!       fan: {when: dehumidify and not condensate-full}
//!     never:
//!       - compressor and not fan
//!       # ^^^^^^^^^^^^^^^^^^^^^^ `dehumidify` is on and `condensate-full` is on
//! ```
//! ```yaml bad
//! unit-types:
//!   dehumidifier-with-fan-relay:
//!     inputs: {dehumidify: {}}
//!     options: {fan: {choices: [auto, continuous]}}
//!     outputs:
//!       compressor: {when: dehumidify}
//!       fan: {when: fan-relay}
//!     terms: {fan-relay: fan-on, fan-on: dehumidify}
//!     never:
//!       - compressor or not compressor
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^ `dehumidifier-with-fan-relay` is always in this state
//! ```
//! ```yaml good
//! unit-types:
//!   dehumidifier-with-fan-relay:
//!     inputs: {dehumidify: {}, condensate-full: {}}
//!     outputs:
//!       compressor: {when: dehumidify and not condensate-full}
//!       fan: {when: dehumidify}
//!     never:
//!       - compressor and not fan
//! ```
//! ```yaml near
//! unit-types:
//!   two-stage-heater:
//!     inputs: {heat-1: {}, heat-2: {}}
//!     options: {fan-when: {choices: [heating, always]}}
//!     outputs:
//!       first-stage: {when: heat-1}
//!       second-stage: {when: heat-2}
//!       fan: {when: heat-1 or fan-when is always}
//!     never:
//!       - second-stage and not first-stage
//!       - first-stage and not fan
//!       - not fan and not fan-when is heating
//! ```
//!
//! # Repair
//!
//! Correct the line that turns the output on, so that the interlock is part of it. Safeties are
//! hard-wired as well: no logic replaces a high-limit switch. The manufacturer's documents decide.
//!
//! # Source
//!
//! Common practice, no source. The list is the type's own.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use analysis::TypeLogic;
use logic::{Cube, Function, Literal, SearchLimits, Var, prime_implicants};
use model::{Found, UnitType};

pub(crate) static CHECK: Check = Check {
    id: "unit-logic-unsafe",
    severity: Severity::Error,
    source: include_str!("unit_logic_unsafe.rs"),
    run: Run::UnitType(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, UnitType>, out: &mut Sink) {
    if found.is.never.is_empty() {
        return;
    }
    let logic = TypeLogic::shared(ctx.memo, found);
    for (never, reached) in found.is.never.iter().zip(reached(ctx, &logic)) {
        // What rests on a name that could not be found is reported there, and so is what is not proven.
        let of_known = |vars: &[Var]| vars.iter().all(|var| (var.0 as usize) < logic.known());
        if !reached.support().is_some_and(of_known) || !reached.can_be_on().is_yes() {
            continue;
        }
        let limits = SearchLimits { answers: 1, ..SearchLimits::default() };
        let state =
            ctx.memo.bounds().0.within(|| {
                prime_implicants(&reached, &logic.states().not(), limits).items.into_iter().next()
            });
        let with = match state {
            None => "can reach this state".to_owned(),
            Some(cube) if cube.is_empty() => "is always in this state".to_owned(),
            Some(cube) => format!("reaches this state: {}", state_words(&logic, found.is, &cube)),
        };
        let finding = out.report(
            About::of(noun::NEVER, found.entry.part.scalar(never.at).unwrap_or_default()),
            never.at,
            format!("`{}` {with}. Correct the line that turns the output on.", found.name()),
        );
        for output in found.is.outputs.iter().filter(|o| mentions(&never.value, &o.name.value)) {
            if let Some(when) = &output.when {
                let text = found.entry.part.scalar(when.at).unwrap_or("this");
                finding.because(found.place(when.at), format!("`{}` is on when `{text}`", output.name.value));
            }
        }
    }
}

/// For each `never:` of a type the states it is about that can be reached, as far as they are known.
pub(crate) fn reached(ctx: &Ctx<'_>, logic: &TypeLogic) -> Vec<Function> {
    ctx.memo.bounds().0.within(|| {
        let (values, states) = (logic.alone(), logic.states());
        let never = logic.never.iter();
        never.map(|never| states.and(&TypeLogic::meaning(never, &values))).collect()
    })
}

fn mentions(words: &model::Words, name: &str) -> bool {
    let mut found = false;
    words.each_name(&mut |n, _| found |= n == name);
    found
}

fn state_words(logic: &TypeLogic, unit_type: &UnitType, cube: &Cube) -> String {
    let words: Vec<String> =
        cube.literals().iter().map(|literal| literal_words(logic, unit_type, *literal)).collect();
    words.join(" and ")
}

fn literal_words(logic: &TypeLogic, unit_type: &UnitType, literal: Literal) -> String {
    let n = literal.var.0;
    if let Some(input) = logic.inputs.get(n as usize) {
        return format!("`{input}` is {}", if literal.value { "on" } else { "off" });
    }
    let option = logic.choices.iter().zip(&unit_type.options).find(|(vars, _)| vars.contains(&n));
    let Some((vars, option)) = option else {
        return "something unknown".to_owned();
    };
    let choice = option.choices.get((n - vars.start) as usize).map_or("", |c| c.value.as_str());
    let not = if literal.value { "" } else { "not " };
    format!("`{}` is {not}`{choice}`", option.name.value)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use analysis::Memo;
    use model::{Job, Kind, View};

    /// No built-in type reaches a state under its own `never:`.
    #[test]
    fn built_in_types_are_safe() {
        let job = Job::new();
        let ids = View::new(&job).contributors(model::Key::All(Kind::UnitType));
        assert_eq!(ids.len(), model::LIBRARY.len());
        let memo = Memo::default();
        for id in ids {
            let found = View::new(&job).as_found::<UnitType>(id).unwrap();
            assert!(!found.is.never.is_empty(), "{} states nothing", found.name());
            let ctx = Ctx::new(View::new(&job), &memo, id, found.entry);
            let mut out = Sink::new(&CHECK);
            run(&ctx, found, &mut out);
            assert!(out.found.is_empty(), "{}", found.name());
            let logic = TypeLogic::of(found.is);
            assert!(reached(&ctx, &logic).iter().all(Function::is_known));
            assert_eq!(
                logic.width - logic.known(),
                found.is.terms.len() + found.is.outputs.len() + found.is.serves.len()
            );
        }
    }
}
