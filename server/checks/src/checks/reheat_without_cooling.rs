//! # What it finds
//!
//! A state with reheat on while there is no heating call and every compressor and cooling valve of the
//! unit is off.
//!
//! # Why it matters
//!
//! Hot gas comes from a running compressor: without it, the valve has nothing to pass. A reheat coil
//! without cooling only heats, and the room calls for cooling next.
//!
//! # Example
//!
//! ```yaml bad
//! unit-types:
//!   drying-coil:
//!     inputs: {dehumidify: {}, lockout: {}}
//!     outputs:
//!       first-stage: {when: dehumidify and not lockout, role: compressor}
//!       compressor-sump-heater: not first-stage
//!       hot-gas-valve: {when: dehumidify, role: reheat}
//!     serves: {dehumidification: dehumidify}
//! units:
//!   DC-1:
//! # ^^^^ a dehumidify call and `DC1-LOCK` on
//!     type: drying-coil
//!     inputs: {dehumidify: DC1-DEHUM, lockout: DC1-LOCK}
//! points:
//!   DC1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
//!   DC1-LOCK: {driven-by: {contact: lockout}}
//! zones:
//!   stacks: {occupied: {dehumidify-above: 55 %RH}}
//! ```
//! ```yaml good
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {dehumidify: AC1-DEHUM, occupied: not-wired}
//! points:
//!   AC1-DEHUM: {driven-by: {contact: field}}
//! ```
//!
//! A box that heats with its reheat coil has no cooling of its own:
//!
//! ```yaml near
//! units:
//!   TB-1:
//!     type: terminal-box-with-reheat
//!     inputs: {heat-1: TB1-HEAT1, dehumidify: not-wired, primary-air: {tied: on}}
//! points:
//!   TB1-HEAT1: {driven-by: {contact: field}}
//! ```
//!
//! # Repair
//!
//! Add the compressor or cooling output to the line that turns reheat on. A unit type of the job should
//! also list the state under `never:`.
//!
//! # Source
//!
//! Common practice, no source. Leave the refrigerant circuit to a licensed technician; the
//! manufacturer's documents decide.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use logic::Function;
use model::{Found, Role, Service, Unit};

pub(crate) static CHECK: Check = Check {
    id: "reheat-without-cooling",
    severity: Severity::Error,
    source: include_str!("reheat_without_cooling.rs"),
    run: Run::Unit(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, found: Found<'_, Unit>, out: &mut Sink) {
    let Some(unit) = ctx.unit() else { return };
    let any = |wanted: fn(Role) -> bool| {
        let outputs: Vec<Function> = unit.outputs_that(wanted).map(|(_, on)| on.clone()).collect();
        (!outputs.is_empty()).then(|| Function::any(outputs))
    };
    let (Some(reheat), Some(cooling)) = (any(|role| role == Role::Reheat), any(Role::cools)) else {
        return;
    };
    let heats = Service::Heating.calls().filter_map(|call| unit.terminal(call).cloned());
    let alone = unit.bounded(|| Function::all([reheat, cooling.not(), Function::any(heats).not()]));
    // What could not be read may be anything.
    if unit.unit_type.entry.facts.doubtful() {
        return;
    }
    let Some(words) = unit.moments().iter().find_map(|m| unit.circumstances(&alone, m)) else {
        return;
    };
    let message = format!(
        "`{}` reheats without cooling on {words}. Add cooling to the line that turns reheat on.",
        found.name()
    );
    let finding = out.report(About::entry(), found.entry.part.key_node(), message);
    for output in unit.unit_type.is.outputs_that(|role| role == Role::Reheat || role.cools()) {
        if let Some(when) = &output.when {
            let text = unit.unit_type.entry.part.scalar(when.at).unwrap_or("this");
            finding.because(
                unit.unit_type.place(when.at),
                format!("`{}` is on when `{text}`", output.name.value),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::ALL;
    use crate::tests::fixture::{found, job};

    /// How many findings each check has of a dryer whose heater is on whenever its compressor is off.
    fn counts([compressor, heater, reheat]: [&str; 3]) -> Vec<(&'static str, usize)> {
        let text = format!(
            "unit-types:
  coil:
    inputs: {{dehumidify: {{}}, lockout: {{}}}}
    outputs:
      {compressor}: {{when: dehumidify and not lockout, role: compressor}}
      {heater}: not {compressor}
      {reheat}: {{when: dehumidify, role: reheat}}
    serves: {{dehumidification: dehumidify}}
units:
  DC-1: {{type: coil, inputs: {{dehumidify: DC1-DEHUM, lockout: DC1-LOCK}}}}
points:
  DC1-DEHUM: {{driven-by: {{contact: humidistat}}}}
  DC1-LOCK: {{driven-by: {{contact: lockout}}}}
"
        );
        let (job, files) = job(&text);
        ALL.iter().map(|check| (check.id, found(check.id, &job, &files).concat().len())).collect()
    }

    #[test]
    fn no_name_of_an_output_says_what_it_is() {
        let plain = counts(["compressor", "heater", "reheat-valve"]);
        assert!(plain.contains(&("reheat-without-cooling", 1)), "{plain:?}");
        assert_eq!(counts(["compressor", "compressor-sump-heater", "reheat-valve"]), plain);
        assert_eq!(counts(["a", "b", "c"]), plain);
        assert_eq!(counts(["reheat", "cooling", "compressor"]), plain);
    }
}
