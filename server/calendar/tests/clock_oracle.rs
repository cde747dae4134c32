//! Local time around the clock changes of 2027, against Python's `zoneinfo` (`tests/oracles/clock_zoneinfo.py`).
#![allow(clippy::unwrap_used)]

use std::collections::BTreeMap;

use calendar::{ClockChangeKind, Date, LocalTime, Period};

const TABLE: &str = include_str!("../../../tests/oracles/clock_zoneinfo.csv");

#[test]
fn every_moment_shows_the_same_local_time() {
    let mut periods = BTreeMap::new();
    let mut moments = 0;
    for line in TABLE.lines().skip(1) {
        let [zone, instant, date, minute] = line.split(',').collect::<Vec<_>>().try_into().unwrap();
        let period = periods
            .entry(zone)
            .or_insert_with(|| Period::new(zone, jiff::civil::date(2027, 1, 1), 365).unwrap());
        let expected = LocalTime { date: date.parse::<Date>().unwrap(), minute: minute.parse().unwrap() };
        let instant: i64 = instant.parse().unwrap();
        assert_eq!(period.local(instant), Some(expected), "{line}");
        let first = period.instant(expected).unwrap();
        assert!(first <= instant && period.local(first) == Some(expected), "{line}");
        moments += 1;
    }
    assert!(periods.len() >= 6 && moments > 600, "{} zones, {moments} moments", periods.len());
}

#[test]
fn the_year_gains_and_loses_the_same() {
    for zone in ["America/New_York", "Australia/Lord_Howe", "America/Santiago", "Europe/London", "UTC"] {
        let period = Period::new(zone, jiff::civil::date(2027, 1, 1), 365).unwrap();
        let minutes = |change| {
            let runs = period.clock_changes().iter().filter(|run| run.change == change);
            runs.map(|run| run.to - run.from).sum::<u16>()
        };
        assert_eq!(minutes(ClockChangeKind::Skipped), minutes(ClockChangeKind::Repeated), "{zone}");
        assert!((period.hours() - 8760.0).abs() < 1e-9, "{zone}");
    }
}
