//! What must hold of the balance itself; answers from outside are in the crate's `tests/drift.rs`.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::{HumidityRatio, Metre, Pascal, RelativeHumidity, SquareMetre, Watt, WattPerKelvin};

fn room() -> ZoneModel {
    ZoneModel::of_room(SquareMetre(110.0), Metre(3.0))
}

fn air(dry_bulb: f64, ratio: f64) -> MoistAir {
    MoistAir::from_humidity_ratio(Celsius(dry_bulb), HumidityRatio(ratio), Pascal::STANDARD).unwrap()
}

fn humidity(percent: f64) -> HumidityLimit {
    HumidityLimit::RelativeHumidity(RelativeHumidity::from_percent(percent))
}

/// A warm wet day with a swing in it.
fn outdoors(hours: usize) -> Vec<MoistAir> {
    (0..hours)
        .map(|hour| {
            let swing = (hour as f64 / 24.0 * std::f64::consts::TAU).sin();
            air(28.0 + 5.0 * swing, 0.0175 + 0.001 * swing)
        })
        .collect()
}

fn by_day(hour: usize) -> Conditions {
    let open = (8..17).contains(&(hour % 24));
    Conditions {
        people: if open { 12.0 } else { 0.0 },
        heat_below: Some(Celsius(20.0)),
        cool_above: Some(Celsius(if open { 24.0 } else { 29.0 })),
        dehumidify_above: open.then_some(humidity(55.0)),
        fan_runs: false,
    }
}

/// The method is of the second order in the step: the share of running is right but for its place in it.
#[test]
fn halving_the_step_quarters_the_error() {
    let (outdoors, start) = (outdoors(72), air(24.0, 0.0095));
    let end = |substeps| {
        let run = predict_in_parts(&room(), start, &outdoors, by_day, substeps).unwrap();
        // Every hour counts, for the last is often one that a limit holds.
        run.hours.iter().map(|air| air.humidity_ratio().0).sum::<f64>() / 72.0
    };
    let exact = end(4096);
    let errors = [4, 8, 16, 32].map(|substeps| (end(substeps) - exact).abs());
    assert!(errors[0] < 5e-6, "{errors:?}");
    for pair in errors.windows(2) {
        assert!(pair[1] < 0.3 * pair[0], "{errors:?}");
    }
}

/// With nothing to switch, one exponential an hour is as good as sixty.
#[test]
fn a_closed_zone_needs_no_substeps() {
    let outdoors = outdoors(61);
    let gap = |_| Conditions { people: 3.0, ..Conditions::default() };
    let whole = predict(&room(), air(24.0, 0.0093), &outdoors, gap).unwrap();
    let mut fine = Balance::new(&room(), whole.start).ratio_after(&outdoors, gap, 60);
    fine /= whole.hours.last().unwrap().humidity_ratio().0;
    assert!((fine - 1.0).abs() < 1e-9, "{fine}");
}

impl Balance<'_> {
    fn ratio_after(
        &mut self,
        outdoors: &[MoistAir],
        conditions: impl Fn(usize) -> Conditions,
        parts: u32,
    ) -> f64 {
        for (hour, outdoor) in outdoors.iter().enumerate() {
            for _ in 0..parts {
                self.advance(SECONDS_PER_HOUR / f64::from(parts), outdoor, &conditions(hour));
            }
        }
        self.zone_air(Pascal::STANDARD).unwrap().humidity_ratio().0
    }
}

#[test]
fn the_unit_holds_its_limits_where_it_can() {
    let always = |_| Conditions {
        cool_above: Some(Celsius(24.0)),
        dehumidify_above: Some(humidity(55.0)),
        ..Conditions::default()
    };
    let run = predict(&room(), air(26.0, 0.012), &outdoors(48), always).unwrap();
    for air in &run.hours[24..] {
        assert!((air.dry_bulb().0 - 24.0).abs() < 0.1 && air.relative_humidity().percent() < 55.2, "{air:?}");
    }
    assert!(run.ledger.dried > 0.0);
}

#[test]
fn a_coil_no_drier_than_the_zone_dries_nothing() {
    let always = |_| Conditions { dehumidify_above: Some(humidity(20.0)), ..Conditions::default() };
    let run = predict(&room(), air(24.0, 0.007), &[air(24.0, 0.007); 24], always).unwrap();
    assert!(run.ledger.dried.abs() < 1e-12);
    assert!((run.hours[23].humidity_ratio().0 - 0.007).abs() < 1e-12);
}

#[test]
fn a_running_fan_keeps_outdoor_air_out() {
    let outdoors = outdoors(61);
    let end = |fan_runs| {
        let conditions = |_| Conditions { fan_runs, ..Conditions::default() };
        predict(&room(), air(24.0, 0.0093), &outdoors, conditions).unwrap().hours[60].humidity_ratio().0
    };
    assert!(end(true) < end(false) - 0.003);
}

#[test]
fn wet_air_in_a_cold_zone_condenses() {
    let zone = ZoneModel { conductance: WattPerKelvin(5000.0), ..room() };
    let run = predict(&zone, air(24.0, 0.015), &[air(5.0, 0.005); 48], |_| Conditions::default()).unwrap();
    assert!(run.ledger.condensed > 0.0);
    assert!(run.ledger.imbalance().abs() < 1e-9);
    assert!(run.hours.iter().all(|air| air.relative_humidity().percent() < 100.0 + 1e-6));
}

#[test]
fn what_no_zone_can_be_is_refused_by_name() {
    let outdoors = outdoors(24);
    let fault = |zone: &ZoneModel, conditions: Conditions| {
        predict(zone, air(24.0, 0.009), &outdoors, |_| conditions).unwrap_err().quantity
    };
    let still = Conditions::default();
    assert_eq!(fault(&ZoneModel::of_room(SquareMetre(0.0), Metre(3.0)), still), "zone volume");
    assert_eq!(
        fault(&ZoneModel { moisture_capacitance: 0.5, ..room() }, still),
        "moisture capacitance multiplier"
    );
    assert_eq!(
        fault(&ZoneModel { person_latent: Watt(f64::NAN), ..room() }, still),
        "latent heat of a person"
    );
    assert_eq!(fault(&room(), Conditions { people: -1.0, ..still }), "people");
    assert_eq!(
        fault(&room(), Conditions { dehumidify_above: Some(humidity(160.0)), ..still }),
        "humidity limit"
    );
    assert_eq!(fault(&room(), Conditions { people: 1e5, ..still }), "dry bulb");
}

#[test]
fn the_running_mean_waits_for_thirty_days() {
    let steady = vec![air(10.0, 0.007); RUNNING_MEAN_HOURS + 10];
    let held = |_| Conditions { heat_below: Some(Celsius(20.0)), ..Conditions::default() };
    let run = predict(&room(), air(20.0, 0.007), &steady, held).unwrap();
    let means = run.surface_running_means();
    assert_eq!(means.len(), 11);
    // 0.7 of the way from 10 to 20 °C; W 0.007 in air of 17 °C is 58.19 %RH (psychrolib 2.5.0).
    assert!((means[10].temperature.0 - 17.0).abs() < 1e-9);
    assert!((means[10].humidity.percent() - 58.19).abs() < 0.01, "{:?}", means[10]);
    assert!(!means[10].favours_mould());
    let short = predict(&room(), run.start, &steady[..RUNNING_MEAN_HOURS - 1], held).unwrap();
    assert!(short.surface_running_means().is_empty());
}

#[test]
fn a_limit_is_crossed_counted_and_worst_somewhere() {
    let mut run = predict(&room(), air(24.0, 0.009), &outdoors(4), |_| Conditions::default()).unwrap();
    run.hours = [0.010, 0.012, 0.013, 0.011].map(|ratio| air(24.0, ratio)).to_vec();
    let limit = HumidityLimit::HumidityRatio(HumidityRatio(0.0115));
    assert_eq!(run.hours_above(limit), Ok(2));
    assert_eq!(run.worst_hour(limit), Ok(Some(2)));
    assert!((run.hours_to_cross(limit, 0).unwrap().unwrap() - 1.75).abs() < 1e-9);
    assert!((run.hours_to_cross(limit, 1).unwrap().unwrap() - 0.75).abs() < 1e-9);
    assert_eq!(run.hours_to_cross(limit, 2), Ok(Some(0.0)));
    assert_eq!(run.hours_to_cross(limit, 4), Ok(None));
    assert_eq!(run.hours_to_cross(limit, 9), Ok(None));
    let high = HumidityLimit::DewPoint(Celsius(23.0));
    assert_eq!((run.hours_above(high), run.worst_hour(high)), (Ok(0), Ok(None)));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn moisture_is_neither_made_nor_lost(
        start in (10.0..30.0_f64, 0.001..0.0075_f64),
        weather in prop::collection::vec((-20.0..40.0_f64, 0.0005..0.0006_f64, 0.0..0.02_f64), 1..100),
        people in 0.0..40.0_f64,
        limits in (18.0..32.0_f64, 20.0..90.0_f64),
        leak in 0.0..5.0_f64,
        permitted in any::<u64>(),
    ) {
        let outdoors: Vec<MoistAir> = weather
            .iter()
            .map(|&(t, least, more)| {
                let most = MoistAir::saturated(Celsius(t), Pascal::STANDARD).unwrap().humidity_ratio().0;
                air(t, (least + more).min(most * 0.999))
            })
            .collect();
        let zone = room().with_infiltration_times(leak);
        let conditions = |hour: usize| Conditions {
            people,
            heat_below: Some(Celsius(15.0)),
            cool_above: (permitted >> (hour % 32) & 1 == 1).then_some(Celsius(limits.0)),
            dehumidify_above: (permitted >> (32 + hour % 32) & 1 == 1).then_some(humidity(limits.1)),
            fan_runs: hour.is_multiple_of(3),
        };
        let run = predict(&zone, air(start.0, start.1), &outdoors, conditions).unwrap();
        let moved = 1.0 + run.ledger.dried + run.ledger.people + run.ledger.infiltration.abs();
        prop_assert!(run.ledger.imbalance().abs() < 1e-9 * moved, "{:?}", run.ledger);
        prop_assert!(run.hours.iter().all(|air| air.humidity_ratio().0 > 0.0));
    }

    #[test]
    fn no_number_panics(value in any::<f64>(), field in 0..10_usize) {
        let mut zone = room();
        let fields = [
            &mut zone.volume.0, &mut zone.infiltration.0, &mut zone.infiltration_fan_on, &mut zone.moisture_capacitance,
            &mut zone.heat_capacity.0, &mut zone.conductance.0, &mut zone.temperature_factor,
            &mut zone.unit.supply_air.0, &mut zone.unit.coil_dry_bulb.0, &mut zone.unit.coil_dew_point.0,
        ];
        *fields[field] = value;
        if let Ok(run) = predict(&zone, air(24.0, 0.009), &outdoors(48), by_day) {
            prop_assert!(run.hours.iter().all(|air| air.dry_bulb().0.is_finite() && air.humidity_ratio().0.is_finite()));
            prop_assert!(run.ledger.stored.is_finite());
        }
    }
}
