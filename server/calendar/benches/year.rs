//! A schedule over a year, from its parts to joint intervals.
#![allow(clippy::unwrap_used)]

use std::hint::black_box;

use calendar::{
    Exception, MOST_OCCURRENCES, Occurrence, Period, Rule, Schedule, Window, expand, import_ics, join,
    parse_week_n_day, review_exceptions,
};
use criterion::{Criterion, criterion_group, criterion_main};
use jiff::civil::date;

/// A reading room: weekdays and a half Saturday, closures of four kinds and an evening.
fn reading_room() -> Schedule {
    let window = |start, end| Window { start, end, value: 1 };
    let day = vec![window(480, 1050)];
    let closures = vec![
        Occurrence::Date(date(2027, 12, 25)),
        Occurrence::Range { from: Some(date(2027, 12, 24)), to: Some(date(2028, 1, 2)) },
        parse_week_n_day("last monday of may").unwrap(),
        parse_week_n_day("first day of every month").unwrap(),
    ];
    Schedule {
        default: 0,
        off: 0,
        week: [
            day.clone(),
            day.clone(),
            day.clone(),
            day.clone(),
            day,
            vec![window(540, 720), window(780, 960)],
            vec![],
        ],
        exceptions: vec![
            Exception { on: closures.into(), rule: Rule::Replace(vec![]), priority: 10 },
            Exception {
                on: [Occurrence::Date(date(2027, 6, 12))].into(),
                rule: Rule::Add(vec![window(1080, 1320)]),
                priority: 16,
            },
        ],
        effective: (Some(date(2027, 1, 1)), Some(date(2027, 12, 31))),
    }
}

fn year(criterion: &mut Criterion) {
    let from = date(2027, 1, 1);
    let period = Period::new("America/New_York", from, 365).unwrap();
    let schedule = reading_room();
    let plain = Schedule { exceptions: vec![], ..schedule.clone() };
    let timelines = [
        expand(&schedule, &period),
        expand(&plain, &period),
        expand(&Schedule { off: 2, ..plain.clone() }, &period),
    ];
    let ics = "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTART;VALUE=DATE:20200101\r\nRRULE:FREQ=YEARLY\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n";

    criterion.bench_function("period", |b| {
        b.iter(|| Period::new(black_box("America/New_York"), from, 365));
    });
    criterion.bench_function("expand week", |b| {
        b.iter(|| expand(black_box(&plain), &period));
    });
    criterion.bench_function("expand week and closures", |b| {
        b.iter(|| expand(black_box(&schedule), &period));
    });
    criterion.bench_function("join three", |b| {
        b.iter(|| join(black_box(&[&timelines[0], &timelines[1], &timelines[2]]), &period));
    });
    criterion.bench_function("review exceptions", |b| {
        b.iter(|| review_exceptions(black_box(&schedule), &period));
    });
    criterion.bench_function("import one event", |b| {
        b.iter(|| import_ics(black_box(ics), &period, MOST_OCCURRENCES));
    });
}

criterion_group!(benches, year);
criterion_main!(benches);
