//! The truth table of which call wins, row by row, for the built-in types as a unit is wired.
//! Common practice, no source.

#![allow(clippy::unwrap_used)]

mod job;

use job::{unit, wired};

/// D, Y, W1/B, W2, OCC, the option (nothing for either), then what is on: for the air conditioner
/// compressor and reheat valve, for the heat pump these and the reversing valve.
type Row = ([bool; 5], Option<&'static str>, [bool; 2], [bool; 3]);

const ON: bool = true;
const NO: bool = false;

const ROWS: &[Row] = &[
    ([ON, NO, NO, NO, NO], Some("allowed"), [ON, ON], [ON, ON, NO]),
    ([ON, NO, NO, NO, NO], Some("locked-out"), [NO, NO], [NO, NO, NO]),
    ([ON, NO, NO, NO, ON], Some("locked-out"), [ON, ON], [ON, ON, NO]),
    ([ON, ON, NO, NO, ON], None, [ON, NO], [ON, NO, NO]),
    ([ON, NO, ON, NO, NO], Some("allowed"), [NO, NO], [ON, NO, ON]),
    ([ON, NO, ON, NO, ON], None, [NO, NO], [ON, ON, NO]),
    ([ON, NO, ON, ON, ON], None, [NO, NO], [ON, NO, ON]),
];

/// The outputs of a unit whose inputs are left on or off by hand.
fn outputs(kind: &str, choice: &str, inputs: &[(&str, bool)], wanted: &[&str]) -> Vec<bool> {
    let drivers =
        inputs.iter().map(|(input, on)| (*input, if *on { "{operator: on}" } else { "{operator: off}" }));
    let options = format!("{{unoccupied-dehumidification: {choice}}}");
    let text = wired(kind, &options, &drivers.collect::<Vec<_>>(), "");
    unit(&text, |u| {
        let output =
            |name: &&str| u.outputs().iter().find(|(n, _)| n == name).unwrap().1.as_constant().unwrap();
        wanted.iter().map(output).collect()
    })
}

fn choices(option: Option<&'static str>) -> Vec<&'static str> {
    option.map_or_else(|| vec!["allowed", "locked-out"], |choice| vec![choice])
}

#[test]
fn air_conditioner() {
    for ([d, y, w1, w2, occupied], option, wanted, _) in ROWS {
        // The single-stage type has no second heating stage; the row that calls one is that of its first.
        let single = [("dehumidify", *d), ("cool-1", *y), ("heat-1", *w1), ("occupied", *occupied)];
        let two = [&single[..], &[("cool-2", false), ("heat-2", *w2)]].concat();
        for choice in choices(*option) {
            let names = ["compressor", "reheat-valve"];
            assert_eq!(outputs("air-conditioner-with-hot-gas-reheat", choice, &single, &names), wanted);
            assert_eq!(
                outputs("two-stage-air-conditioner-with-hot-gas-reheat", choice, &two, &names),
                wanted
            );
        }
    }
}

#[test]
fn heat_pump() {
    for ([d, y, b, w2, occupied], option, _, wanted) in ROWS {
        let single =
            [("dehumidify", *d), ("cool-1", *y), ("heat-1", *b), ("heat-2", *w2), ("occupied", *occupied)];
        let two = [&single[..], &[("cool-2", false)]].concat();
        for choice in choices(*option) {
            let names = ["compressor", "reheat-valve", "reversing-valve"];
            assert_eq!(outputs("heat-pump-with-hot-gas-reheat", choice, &single, &names), wanted);
            assert_eq!(outputs("two-stage-heat-pump-with-hot-gas-reheat", choice, &two, &names), wanted);
        }
    }
}

/// Second-stage heating cancels dehumidification even if occupied, and both heating stages run.
#[test]
fn second_stage_heating_runs_both_stages() {
    let inputs =
        [("dehumidify", true), ("cool-1", false), ("heat-1", true), ("heat-2", true), ("occupied", true)];
    let on = outputs(
        "heat-pump-with-hot-gas-reheat",
        "allowed",
        &inputs,
        &["compressor", "reversing-valve", "auxiliary-heat"],
    );
    assert_eq!(on, [true, true, true]);
}

/// Tying the occupied input to the dehumidify call gives dehumidification precedence over
/// first-stage heating at any hour, and makes the two choices of the option alike.
#[test]
fn occupied_tied_to_the_dehumidify_call() {
    let tied = |choice: &str| {
        let text = job::heat_pump(choice, "{operator: off}", job::ZONE)
            .replace("occupied: U-occupied", "occupied: {tied-to: dehumidify}");
        unit(&text, |u| {
            let heat = u
                .wires
                .var(&analysis::Atom::Call { zone: "reading-room".into(), call: model::Call::Heat1 })
                .unwrap();
            let call = u
                .wires
                .var(&analysis::Atom::Call { zone: "reading-room".into(), call: model::Call::Dehumidify })
                .unwrap();
            let heating_too =
                logic::Cube::new([heat, call].map(|var| logic::Literal { var, value: true })).unwrap();
            let drying = u.service("dehumidification").unwrap();
            assert!(
                u.moments()
                    .iter()
                    .all(|m| u.can_be_on_at(m, &drying.and(&logic::Function::cube(&heating_too))).is_yes())
            );
            u.outputs().to_vec()
        })
    };
    assert_eq!(tied("allowed"), tied("locked-out"));
}
