//! One zone over a year, with a unit that dries by day and one that never may. Budget: 5 ms a year.
#![allow(clippy::expect_used)]

use std::f64::consts::TAU;
use std::hint::black_box;

use air::drift::{Conditions, HumidityLimit, ZoneModel, predict};
use air::weather::HOURS_IN_YEAR;
use air::{Celsius, Metre, MoistAir, Pascal, RelativeHumidity, SquareMetre};
use criterion::{Criterion, criterion_group, criterion_main};

fn year() -> Vec<MoistAir> {
    (0..HOURS_IN_YEAR)
        .map(|hour| {
            let (day, season) =
                ((hour as f64 / 24.0 * TAU).sin(), (hour as f64 / HOURS_IN_YEAR as f64 * TAU).cos());
            let dry_bulb = Celsius(18.0 - 10.0 * season + 5.0 * day);
            let humidity = RelativeHumidity::from_percent(75.0 - 15.0 * day);
            MoistAir::from_relative_humidity(dry_bulb, humidity, Pascal::STANDARD).expect("mild weather")
        })
        .collect()
}

fn drift(bench: &mut Criterion) {
    let outdoors = year();
    let zone = ZoneModel::of_room(SquareMetre(110.0), Metre(3.0));
    let limit = HumidityLimit::RelativeHumidity(RelativeHumidity::from_percent(55.0));
    let start = MoistAir::from_relative_humidity(
        Celsius(22.0),
        RelativeHumidity::from_percent(50.0),
        Pascal::STANDARD,
    )
    .expect("a room");
    let by_day = |hour: usize| {
        let open = (8..17).contains(&(hour % 24));
        Conditions {
            people: if open { 12.0 } else { 0.0 },
            heat_below: Some(Celsius(20.0)),
            cool_above: Some(Celsius(if open { 24.0 } else { 29.0 })),
            dehumidify_above: open.then_some(limit),
            fan_runs: false,
        }
    };
    let closed = |_| Conditions::default();
    bench.bench_function("year, dried by day", |b| {
        b.iter(|| predict(&zone, start, black_box(&outdoors), by_day));
    });
    bench.bench_function("year, never dried", |b| {
        b.iter(|| predict(&zone, start, black_box(&outdoors), closed));
    });
    let run = predict(&zone, start, &outdoors, by_day).expect("a year");
    bench.bench_function("outputs of a year", |b| {
        b.iter(|| {
            (
                run.hours_above(limit),
                run.worst_hour(limit),
                run.hours_to_cross(limit, 0),
                run.surface_running_means(),
            )
        });
    });
}

criterion_group!(benches, drift);
criterion_main!(benches);
