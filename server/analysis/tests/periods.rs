//! One job over several periods in one memory: each is told of its own hours.

#![allow(clippy::unwrap_used, clippy::float_cmp)] // hours are whole

mod job;

use analysis::{Analysis, Gap, Memo, UnitAnalysis};
use calendar::{LocalTime, Period};
use job::{ZONE, heat_pump};
use model::{Name, Unit, View};
use std::sync::Arc;

/// Hours from one local time of a week to another, and whether it may dehumidify in them.
fn hours(unit: &UnitAnalysis<'_>) -> (f64, f64) {
    let verdict = unit.verdict(&Name::new("dehumidification"));
    (verdict.hours.unwrap(), unit.period.hours())
}

/// What is counted without the program: minutes of the period that lie in Monday to Friday, 8:00 to 17:00.
fn office_hours(period: &Period) -> f64 {
    let minutes = (period.start()..period.end()).step_by(60).filter(|instant| {
        let LocalTime { date, minute } = period.local(*instant).unwrap();
        date.weekday().to_monday_zero_offset() < 5 && (8 * 60..17 * 60).contains(&minute)
    });
    minutes.count() as f64 / 60.0
}

#[test]
fn a_unit_over_its_year_and_over_a_past_week_is_told_of_the_hours_of_each() {
    let job = job::job(&heat_pump("locked-out", "{schedule: office-hours}", ZONE));
    let (view, memo) = (View::new(&job), Memo::default());
    let unit = view.find::<Unit>(&Name::new("U")).unwrap();
    let review = Analysis::of_review(&view, &memo).unwrap();
    // The week in which the clocks go forward: 167 h.
    let week = Arc::new(Period::new("America/New_York", "2025-03-03".parse().unwrap(), 7).unwrap());
    let past = Analysis::over(&view, &memo, week.clone());
    for _ in 0..2 {
        let year = review.unit(unit).unwrap();
        let (then, now) = (hours(&past.unit(unit).unwrap()), hours(&year));
        assert_eq!(then, (office_hours(&week), 167.0));
        assert_eq!(then.0, 45.0);
        assert_eq!(now, (office_hours(&review.over), 8760.0));
        // What both are worked out from is the same.
        let gap = year.verdict(&Name::new("dehumidification")).longest_gap.unwrap();
        assert!(review.over.start() <= gap.from && gap.to <= review.over.end());
    }
    let gaps = past.unit(unit).unwrap().gaps("dehumidification").unwrap();
    assert!(gaps.iter().all(|gap| week.start() <= gap.from && gap.to <= week.end()));
    assert_eq!(gaps.iter().map(Gap::hours).sum::<f64>(), 122.0);
}

#[test]
fn a_schedule_over_two_periods_is_two() {
    let job = job::job(&heat_pump("locked-out", "{schedule: office-hours}", ZONE));
    let (view, memo) = (View::new(&job), Memo::default());
    let schedule = view.find(&Name::new("office-hours")).unwrap();
    let review = Analysis::of_review(&view, &memo).unwrap();
    let day = Arc::new(Period::new("America/New_York", "2026-11-27".parse().unwrap(), 1).unwrap());
    let past = Analysis::over(&view, &memo, day);
    let (year, day) = (review.schedule(schedule), past.schedule(schedule));
    assert_eq!((year.period.hours(), day.period.hours()), (8760.0, 24.0));
    assert!(Arc::ptr_eq(&year, &review.schedule(schedule)) && Arc::ptr_eq(&day, &past.schedule(schedule)));
    memo.sweep();
    assert!(Arc::ptr_eq(&day, &past.schedule(schedule)), "a sweep keeps what the job still states");
}
