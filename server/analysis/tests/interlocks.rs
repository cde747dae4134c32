//! What stands between a zone's call and the terminal.

#![allow(clippy::unwrap_used)]

mod job;

use analysis::{UnitAnalysis, Verdict, chart};
use job::unit;

fn dehumidifier(points: &str) -> String {
    format!(
        "units:
  U: {{type: stand-alone-dehumidifier, zone: stacks, inputs: {{dehumidify: DH1-DRY, occupied: not-wired, condensate-full: DH1-FLOAT}}}}
zones:
  stacks: {{occupied: {{dehumidify-above: 50 %RH}}}}
points:
  DH1-CALL: {{driven-by: {{call: dehumidify, zone: stacks}}}}
{points}"
    )
}

fn unless(u: &UnitAnalysis<'_>) -> (Verdict, Vec<String>) {
    let verdict = u.verdict(&"dehumidification".into());
    let mut sets = verdict.unless;
    sets.sort_unstable();
    (verdict.verdict, sets)
}

/// The zone's call is a call though a door or a hand holds it back on its way to the terminal.
#[test]
fn an_interlock_before_the_terminal_blocks() {
    let points = "  DH1-FLOAT: {driven-by: {contact: field}}
  DOOR: {driven-by: {contact: field}}
  HAND: {driven-by: {operator: on-or-off}}
  DH1-DRY: {driven-by: {logic: DH1-CALL and HAND and not DOOR}}
";
    unit(&dehumidifier(points), |u| {
        let sets = ["DH1-FLOAT on", "DOOR on", "HAND off"].map(str::to_owned).to_vec();
        assert_eq!(unless(u), (Verdict::Conditional, sets));
    });
}

/// What else asks at the terminal asks too.
#[test]
fn a_second_source_of_the_call_asks_too() {
    let points = "  DH1-FLOAT: {driven-by: {operator: off}}
  BY-HAND: {driven-by: {operator: on-or-off}}
  DH1-DRY: {driven-by: {logic: DH1-CALL or BY-HAND}}
";
    unit(&dehumidifier(points), |u| assert_eq!(unless(u), (Verdict::Always, Vec::new())));
}

/// A circumstance is told by the point's state, as it is read at the panel, and so is the chart's wiring.
#[test]
fn an_inverted_contact_is_told_as_the_point_stands() {
    let points = "  DH1-FLOAT: {driven-by: {contact: field, inverted: true}}
  RELAY: {driven-by: {point: DH1-CALL, inverted: true}}
  DH1-DRY: {driven-by: {point: RELAY, inverted: true}}
";
    unit(&dehumidifier(points), |u| {
        assert_eq!(unless(u), (Verdict::Conditional, vec!["DH1-FLOAT on".to_owned()]));
        let chart = chart(u);
        let wired = |name: &str| chart.inputs.iter().find(|i| i.name == name).unwrap().wired.clone();
        assert_eq!(
            wired("dehumidify"),
            "`DH1-DRY` follows `RELAY`, inverted; `RELAY` follows `DH1-CALL`, inverted; \
             `DH1-CALL` carries the dehumidify call of `stacks`"
        );
        assert_eq!(wired("condensate-full"), "`DH1-FLOAT` is a contact (`field`), inverted");
    });
}

/// Of what blocks a service no more is listed than is read, and that it is cut short is told.
#[test]
fn a_list_that_is_cut_short_says_so() {
    let contacts: Vec<String> = (0..20).map(|n| format!("X{n}")).collect();
    let points: String =
        contacts.iter().map(|x| format!("  {x}: {{driven-by: {{contact: field}}}}\n")).collect();
    let points = points
        + &format!("  DH1-FLOAT: {{driven-by: {{logic: {}}}}}\n", contacts.join(" or "))
        + "  DH1-DRY: {driven-by: {point: DH1-CALL}}\n";
    unit(&dehumidifier(&points), |u| {
        let verdict = u.verdict(&"dehumidification".into());
        assert!(verdict.cut_short && verdict.unless.len() < 20, "{:?}", verdict.unless);
    });
}
