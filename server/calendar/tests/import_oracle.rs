//! Days that iCalendar events touch, against `recurring-ical-events` of the Python package index (`tests/oracles/calendar_ics.py`).
#![allow(clippy::unwrap_used)]

use std::collections::BTreeSet;

use calendar::{Date, MOST_OCCURRENCES, Period, import_ics};
use serde::Deserialize;

const TABLE: &str = include_str!("../../../tests/oracles/calendar_ics.jsonl");

#[derive(Deserialize)]
struct Row {
    ics: String,
    zone: String,
    days: BTreeSet<(Date, Date, String)>,
}

#[test]
fn every_file_gives_the_same_days() {
    let mut wrong = 0;
    for line in TABLE.lines() {
        let row: Row = serde_json::from_str(line).unwrap();
        let period = Period::new(&row.zone, jiff::civil::date(2027, 1, 1), 365).unwrap();
        let import = import_ics(&row.ics, &period, MOST_OCCURRENCES);
        let found: BTreeSet<_> =
            import.days.into_iter().map(|days| (days.from, days.to, days.summary)).collect();
        if found != row.days || !import.problems.is_empty() {
            wrong += 1;
            let missing: Vec<_> = row.days.difference(&found).take(5).collect();
            let excess: Vec<_> = found.difference(&row.days).take(5).collect();
            eprintln!("{}\nmissing {missing:?}\nin excess {excess:?}\n{:?}", row.ics, import.problems);
        }
    }
    assert_eq!(wrong, 0, "files differ");
}
