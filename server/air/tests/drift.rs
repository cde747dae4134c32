//! Drift against answers from outside: the exponential itself, and a room switched once a second in plain
//! Euler steps with `psychrolib` 2.5.0. The script beside the table makes it.
#![allow(clippy::unwrap_used)]

use air::drift::{Conditions, HumidityLimit, ZoneModel, predict};
use air::{Celsius, HumidityRatio, Metre, MoistAir, Pascal, RelativeHumidity, SquareMetre};

const TABLE: &str = include_str!("../../../tests/oracles/drift.csv");

/// The rows of one check: hour, dry bulb, humidity ratio; not a number where a field is empty.
fn rows(check: &str) -> Vec<[f64; 3]> {
    let rows: Vec<[f64; 3]> = TABLE
        .lines()
        .filter_map(|line| line.strip_prefix(check)?.strip_prefix(','))
        .map(|fields| {
            let numbers: Vec<f64> =
                fields.split(',').map(|field| field.parse().unwrap_or(f64::NAN)).collect();
            numbers.try_into().unwrap()
        })
        .collect();
    assert!(!rows.is_empty(), "no rows for {check}");
    rows
}

fn air(dry_bulb: f64, ratio: f64) -> MoistAir {
    MoistAir::from_humidity_ratio(Celsius(dry_bulb), HumidityRatio(ratio), Pascal::STANDARD).unwrap()
}

fn room() -> ZoneModel {
    ZoneModel::of_room(SquareMetre(100.0), Metre(3.0))
}

#[test]
fn a_closed_zone_follows_the_exponential() {
    let (gap, outdoors) = (61, air(30.0, 0.0185));
    let run = predict(&room(), air(26.0, 0.0093), &vec![outdoors; gap], |_| Conditions::default()).unwrap();
    let [_, _, expected] = rows("constant")[0];
    let ours = run.hours[gap - 1].humidity_ratio().0;
    assert!((ours - expected).abs() < 1e-8, "{ours}, not {expected}");

    let [hours, _, ratio] = rows("constant-crossing")[0];
    let limit = HumidityLimit::HumidityRatio(HumidityRatio(ratio));
    let ours = run.hours_to_cross(limit, 0).unwrap().unwrap();
    // Straight lines between hours stand off the curve by less than this.
    assert!((ours - hours).abs() < 0.005, "{ours} h, not {hours}");
    assert_eq!(run.hours_above(limit), Ok(gap - hours as usize));
    assert_eq!(run.worst_hour(limit), Ok(Some(gap - 1)));
    assert!(run.ledger.imbalance().abs() < 1e-9);
}

#[test]
fn a_room_that_cools_and_dries_agrees_with_switching_every_second() {
    let outdoors: Vec<MoistAir> = (0..48)
        .map(|hour| {
            let dry_bulb = 28.0 + 5.0 * ((f64::from(hour) - 9.0) / 24.0 * std::f64::consts::TAU).sin();
            let dew_point = Celsius(dry_bulb.min(23.0));
            MoistAir::from_dew_point(Celsius(dry_bulb), dew_point, Pascal::STANDARD).unwrap()
        })
        .collect();
    let by_day = |hour: usize| {
        let open = (8..17).contains(&(hour % 24));
        let dry = HumidityLimit::RelativeHumidity(RelativeHumidity::from_percent(55.0));
        Conditions {
            people: if open { 10.0 } else { 0.0 },
            cool_above: Some(Celsius(if open { 24.0 } else { 29.0 })),
            dehumidify_above: open.then_some(dry),
            ..Conditions::default()
        }
    };
    let run = predict(&room(), air(24.0, 0.0095), &outdoors, by_day).unwrap();
    let expected = rows("room");
    assert_eq!(expected.len(), run.hours.len());
    let (mut worst_temperature, mut worst_ratio) = (0.0_f64, 0.0_f64);
    for (ours, [_, dry_bulb, ratio]) in run.hours.iter().zip(expected) {
        worst_temperature = worst_temperature.max((ours.dry_bulb().0 - dry_bulb).abs());
        worst_ratio = worst_ratio.max((ours.humidity_ratio().0 - ratio).abs());
    }
    assert!(worst_temperature < 0.005, "{worst_temperature} K");
    assert!(worst_ratio < 5e-6, "{worst_ratio} kg/kg");
}
