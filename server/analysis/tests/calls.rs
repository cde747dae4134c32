//! Which calls can be on together, by the hysteresis that `calls` describes.

#![allow(clippy::unwrap_used)]

mod job;

use analysis::Atom;
use job::{heat_pump, unit};
use logic::{Cube, Function, Literal};

/// Whether calls of the zone can be on together while unoccupied.
fn together(zone: &str, calls: &[&'static str]) -> bool {
    unit(&heat_pump("allowed", "{schedule: office-hours}", zone), |u| {
        let on = calls.iter().map(|call| {
            let atom = Atom::Call { zone: "reading-room".into(), call: model::Call::of(call).unwrap() };
            Literal { var: u.wires.var(&atom).unwrap(), value: true }
        });
        let on = Function::cube(&Cube::new(on).unwrap());
        let unoccupied = |m: &&analysis::Moment| m.mode == Some(analysis::Mode::Unoccupied);
        u.can_be_on_at(u.moments().iter().find(unoccupied).unwrap(), &on).is_yes()
    })
}

fn zone(heat: &str, cool: &str, rest: &str) -> String {
    format!(
        "{{schedule: office-hours, unoccupied: {{heat-below: {heat}, cool-above: {cool}, dehumidify-above: 55 %RH}}, {rest}}}"
    )
}

#[test]
fn heating_and_cooling_meet_only_where_one_begins_while_the_other_holds() {
    let one = "thermostat: {differential: 1 °F}";
    assert!(!together(&zone("70 °F", "75 °F", one), &["heat-1", "cool-1"]));
    assert!(!together(&zone("75 °F", "75 °F", one), &["heat-1", "cool-1"]));
    // Heating begins below 75 and ends at 76; cooling begins above 76 and ends at 75.
    assert!(!together(&zone("76 °F", "75 °F", one), &["heat-1", "cool-1"]));
    assert!(together(&zone("76.1 °F", "75 °F", one), &["heat-1", "cool-1"]));
    assert!(!together(&zone("24 °C", "75 °F", one), &["heat-1", "cool-1"]));
}

#[test]
fn a_second_stage_lies_one_offset_further_out() {
    let two = "thermostat: {differential: 1 °F, stage-2-offset: 3 °F}";
    assert!(together(&zone("78 °F", "75 °F", two), &["heat-1", "cool-1"]));
    assert!(!together(&zone("78 °F", "75 °F", two), &["heat-2", "cool-1"]));
    assert!(together(&zone("79.1 °F", "75 °F", two), &["heat-2", "cool-1"]));
    assert!(together(&zone("70 °F", "75 °F", two), &["heat-1", "heat-2"]));
}

#[test]
fn no_setpoint_no_call_and_second_implies_first() {
    let zone = "{schedule: office-hours, unoccupied: {cool-above: 80 °F, dehumidify-above: 55 %RH}}";
    assert!(!together(zone, &["heat-1"]) && !together(zone, &["heat-2"]));
    assert!(together(zone, &["cool-1", "dehumidify"]));
    unit(&heat_pump("allowed", "{operator: on-or-off}", job::ZONE), |u| {
        let var =
            |call| Function::var(u.wires.var(&Atom::Call { zone: "reading-room".into(), call }).unwrap());
        assert!(u.can_be_on(&var(model::Call::Heat2).and(&var(model::Call::Heat1).not())).is_no());
    });
}

/// A dehumidify call begins one differential past its limit; a sensor to 100 % reports no 101.
#[test]
fn a_sensor_must_report_what_begins_the_call() {
    let with = |limit: &str, range: &str| {
        format!(
            "{{schedule: office-hours, unoccupied: {{dehumidify-above: {limit}}}, thermostat: {{humidity-differential: 3 %RH, sensor-range: {{humidity: {range}}}}}}}"
        )
    };
    assert!(together(&with("97 %RH", "0..100 %RH"), &["dehumidify"]));
    assert!(!together(&with("98 %RH", "0..100 %RH"), &["dehumidify"]));
    // Ranges that make no sense say nothing: a fraction, a reversed one.
    assert!(together(&with("55 %RH", "0..1"), &["dehumidify"]));
    assert!(together(&with("55 %RH", "100..0 %RH"), &["dehumidify"]));
    // What a differential in %RH means past a dew point is not known.
    assert!(together(&with("58 °F dew point", "0..100 %RH"), &["dehumidify"]));
}
