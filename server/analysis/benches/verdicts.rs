//! What a unit's year costs, cold: everything but the reading of the job's text. Budgets: one unit under 100 µs, a job
//! of ten thousand in ten times the time of one of a thousand, a plant of sixty interlocked inputs under 50 ms.
#![allow(clippy::unwrap_used)]

#[path = "../tests/job/mod.rs"]
mod job;

use analysis::{Analysis, Claim, Memo, chart};
use criterion::{BatchSize, BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use job::plant::plant;
use job::{ZONE, heat_pump};
use model::{Job, View};
use std::fmt::Write;
use std::hint::black_box;

const NEVER: Claim<'static> = Claim::ServiceNever("dehumidification");

/// Verdicts on all units of a job, with the reasons for what never runs.
fn judge(job: &Job, memo: &Memo) -> usize {
    let view = View::new(job);
    let review = Analysis::of_review(&view, memo).unwrap();
    let units = view.all::<model::Unit>();
    for unit in &units {
        let unit = review.unit(*unit).unwrap();
        black_box(unit.verdicts());
        black_box(unit.why(NEVER, |_| true));
    }
    units.len()
}

fn one_unit(c: &mut Criterion) {
    let job = job::job(&heat_pump("locked-out", "{schedule: office-hours}", ZONE));
    let verdicts = |u: &analysis::UnitAnalysis<'_>| drop(black_box(u.verdicts()));
    // The type, the schedule and the period are those of the other units in a job; here nothing is known yet.
    c.bench_function("one unit's year, cold", |b| b.iter(|| job::unit_of(&job, verdicts)));
    c.bench_function("one unit's year with reasons, cold", |b| {
        b.iter_batched(Memo::default, |memo| judge(&job, &memo), BatchSize::SmallInput);
    });
    let memo = Memo::default();
    judge(&job, &memo);
    c.bench_function("one unit's year with reasons, beside others of its kind", |b| {
        b.iter(|| judge(&job, &memo));
    });
}

/// So many heat pumps, each with points and a zone of its own; forty share a schedule.
fn campus(units: usize) -> Job {
    let mut text: [String; 4] = ["units:\n", "points:\n", "zones:\n", "schedules:\n"].map(str::to_owned);
    let [written, points, zones, schedules] = &mut text;
    for n in 0..units {
        let option = if n % 3 == 0 { "locked-out" } else { "allowed" };
        write!(written, "  U-{n}:\n    type: heat-pump-with-hot-gas-reheat\n    zone: zone-{n}\n    options: {{unoccupied-dehumidification: {option}}}\n    inputs:\n").unwrap();
        for input in ["cool-1", "heat-1", "heat-2", "dehumidify", "occupied"] {
            writeln!(written, "      {input}: U-{n}-{input}").unwrap();
            let driver = match input {
                "occupied" => format!("{{schedule: hours-{}}}", n / 40),
                call => format!("{{call: {call}, zone: zone-{n}}}"),
            };
            writeln!(points, "  U-{n}-{input}: {{driven-by: {driver}}}").unwrap();
        }
        writeln!(zones, "  zone-{n}: {}", ZONE.replace("office-hours", &format!("hours-{}", n / 40)))
            .unwrap();
        if n % 40 == 0 {
            let start = 6 + n / 40 % 4;
            writeln!(schedules, "  hours-{}: {{values: occupancy, default: unoccupied, week: {{mon-fri: {start:02}:00-17:30}}}}", n / 40).unwrap();
        }
    }
    job::job(&text.concat())
}

fn growth(c: &mut Criterion) {
    let mut group = c.benchmark_group("a job's year, cold");
    group.sample_size(10);
    for units in [1_000, 10_000] {
        let job = campus(units);
        group.throughput(Throughput::Elements(units as u64));
        group.bench_function(BenchmarkId::from_parameter(units), |b| {
            b.iter_batched(Memo::default, |memo| judge(&job, &memo), BatchSize::PerIteration);
        });
    }
    group.finish();
}

fn sixty_inputs(c: &mut Criterion) {
    let mut group = c.benchmark_group("a plant of sixty interlocked inputs, cold");
    let (free, tripped) = (job::job(&plant("P-trip-6")), job::job(&plant("{tied: on}")));
    let verdicts = |u: &analysis::UnitAnalysis<'_>| drop(black_box(u.verdicts()));
    group.bench_function("verdicts", |b| b.iter(|| job::unit_of(&free, verdicts)));
    group.bench_function("reasons", |b| {
        b.iter(|| job::unit_of(&tripped, |u| drop(black_box(u.why(NEVER, |_| true)))));
    });
    group.bench_function("chart", |b| b.iter(|| job::unit_of(&free, |u| drop(black_box(chart(u))))));
    group.finish();
}

criterion_group!(benches, one_unit, growth, sixty_inputs);
criterion_main!(benches);
