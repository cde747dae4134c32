//! Worked cases: the order of ASHRAE 135, clock changes, and the arithmetic of a working week.
#![allow(clippy::unwrap_used)]

mod common;

use calendar::{
    ClockChangeKind, ClockEdge, Collision, Exception, LocalTime, Occurrence, OutsideEffective, PeriodError,
    Rule, Schedule, Span, Window, edges_in_clock_change, expand, join, outside_effective, review_exceptions,
    value_of,
};
use common::{date, exception, period, plan, weekdays};

fn at(text: &str, minute: u16) -> LocalTime {
    LocalTime { date: date(text), minute }
}

/// The longest run of value 0 that begins within the period's first week.
fn first_gap(zone: &str, monday: &str) -> f64 {
    let period = period(zone, monday, 14);
    let timeline = expand(&weekdays("8:00-17:00"), &period);
    let gaps = timeline.spans().filter(|span| span.value == 0 && span.to < period.end());
    gaps.map(|span| (span.to - span.from) as f64 / 3600.0).fold(0.0, f64::max)
}

/// Hand arithmetic: 5 × 9 h; Friday 17:00 to Monday 08:00 is 7 + 24 + 24 + 8 h, an hour less or more where the
/// clock is put forward (Sunday 14 March 2027 in New York) or back (7 November).
#[test]
fn forty_five_hours_and_a_weekend_of_sixty_three() {
    let week = period("America/New_York", "2027-06-07", 7);
    let timeline = expand(&weekdays("8:00-17:00"), &week);
    assert!((timeline.hours_at(1) - 45.0).abs() < 1e-9);
    assert!((timeline.hours_at(0) - 123.0).abs() < 1e-9);
    assert!((first_gap("America/New_York", "2027-06-07") - 63.0).abs() < 1e-9);
    assert!((first_gap("America/New_York", "2027-03-08") - 62.0).abs() < 1e-9);
    assert!((first_gap("America/New_York", "2027-11-01") - 64.0).abs() < 1e-9);
}

#[test]
fn a_year_of_forty_five_hour_weeks() {
    let year = period("America/New_York", "2027-01-01", 365);
    let timeline = expand(&weekdays("8:00-17:00"), &year);
    // 2027 begins on a Friday and so has 261 days from Monday to Friday.
    assert!((timeline.hours_at(1) - 261.0 * 9.0).abs() < 1e-9);
}

#[test]
fn the_default_holds_until_the_first_window_and_off_after_it() {
    let schedule = Schedule { default: 7, off: 3, ..weekdays("8:00-12:00 13:00-17:00") };
    let value = |minute| value_of(&schedule, date("2027-06-07"), minute);
    assert_eq!(
        [0, 479, 480, 719, 720, 779, 780, 1019, 1020, 1439].map(value),
        [7, 7, 1, 1, 3, 3, 1, 1, 3, 3]
    );
    // A day starts with no entry in force: Friday's off does not reach Saturday.
    assert_eq!(value_of(&schedule, date("2027-06-12"), 0), 7);
}

#[test]
fn windows_that_touch_or_overlap() {
    let window = |start, end, value| Window { start, end, value };
    let mut schedule = weekdays("");
    schedule.week[0] = vec![window(600, 720, 2), window(480, 600, 1), window(540, 660, 2)];
    let value = |minute| value_of(&schedule, date("2027-06-07"), minute);
    assert_eq!([479, 480, 539, 540, 600, 719, 720].map(value), [0, 1, 1, 2, 2, 2, 0]);
    // Backward and empty windows are none, and one past midnight ends with the day.
    schedule.week[0] = vec![window(600, 600, 1), window(700, 650, 1), window(1380, 2000, 2)];
    assert_eq!(
        [0, 600, 680, 1379, 1380, 1439].map(|m| value_of(&schedule, date("2027-06-07"), m)),
        [0, 0, 0, 0, 2, 2]
    );
    assert_eq!(value_of(&schedule, date("2027-06-08"), 0), 0);
}

#[test]
fn exceptions_replace_or_add() {
    let mut schedule = Schedule { default: 5, ..weekdays("8:00-17:30") };
    schedule.exceptions.push(exception("2027-12-24", Rule::Replace(vec![]), 10));
    schedule.exceptions.push(exception("2027-06-12", Rule::Add(plan("18:00-22:00")), 16));
    schedule.exceptions.push(exception("2027-06-14", Rule::Add(plan("18:00-22:00")), 16));
    // None but this: off from 00:00, where the plain day had the default.
    assert_eq!([0, 600, 1439].map(|m| value_of(&schedule, date("2027-12-24"), m)), [0, 0, 0]);
    // On a Saturday the default lies beneath, on a Monday the off of the day's window.
    assert_eq!([1079, 1080, 1320].map(|m| value_of(&schedule, date("2027-06-12"), m)), [5, 1, 5]);
    assert_eq!([1079, 1080, 1320].map(|m| value_of(&schedule, date("2027-06-14"), m)), [0, 1, 0]);
}

/// From memory of the standard: equal priorities go to the lowest array index.
#[test]
fn of_equal_priorities_the_first_in_the_list_wins() {
    let closed = exception("2027-06-07", Rule::Replace(vec![]), 8);
    let open = exception("2027-06-07", Rule::Replace(plan("0:00-24:00")), 8);
    let mut schedule = weekdays("8:00-17:00");
    schedule.exceptions = vec![closed.clone(), open.clone()];
    assert_eq!(value_of(&schedule, date("2027-06-07"), 600), 0);
    schedule.exceptions = vec![open.clone(), closed.clone()];
    assert_eq!(value_of(&schedule, date("2027-06-07"), 600), 1);
    schedule.exceptions = vec![Exception { priority: 9, ..open }, closed];
    assert_eq!(value_of(&schedule, date("2027-06-07"), 600), 0);
}

#[test]
fn outside_the_effective_period_only_the_default_holds() {
    let mut schedule = Schedule { default: 5, ..weekdays("0:00-24:00") };
    schedule.effective = (Some(date("2027-01-11")), Some(date("2027-12-24")));
    schedule.exceptions.push(exception("2027-01-08", Rule::Replace(vec![]), 1));
    let year = period("America/New_York", "2027-01-01", 365);
    assert_eq!(value_of(&schedule, date("2027-01-08"), 600), 5);
    assert_eq!(value_of(&schedule, date("2027-01-11"), 600), 1);
    assert_eq!(value_of(&schedule, date("2027-12-24"), 600), 1);
    assert_eq!(value_of(&schedule, date("2027-12-25"), 600), 5);
    let expected = OutsideEffective { first: date("2027-01-01"), days: 10 + 7 };
    assert_eq!(outside_effective(&schedule, &year), Some(expected));
    assert_eq!(outside_effective(&weekdays(""), &year), None);
    let effect = &review_exceptions(&schedule, &year).effects[0];
    assert_eq!((effect.days, effect.decides), (1, None));
}

/// US rule: 02:00 to 03:00 is skipped on 14 March 2027, 01:00 to 02:00 repeated on 7 November.
#[test]
fn edges_in_hours_that_the_clock_changes() {
    let mut schedule = weekdays("");
    schedule.week[6] = plan("1:30-2:30 3:00-4:00");
    let year = period("America/New_York", "2027-01-01", 365);
    assert_eq!(
        edges_in_clock_change(&schedule, &year),
        [
            ClockEdge { date: date("2027-03-14"), minute: 150, change: ClockChangeKind::Skipped },
            ClockEdge { date: date("2027-11-07"), minute: 90, change: ClockChangeKind::Repeated },
        ]
    );
    // Evaluated at every moment, the window is over at the jump, and in November begins twice.
    let hours = |day: &str| expand(&schedule, &period("America/New_York", day, 1)).hours_at(1);
    assert!((hours("2027-03-14") - (0.5 + 1.0)).abs() < 1e-9);
    assert!((hours("2027-11-07") - (0.5 + 1.0 + 1.0)).abs() < 1e-9);
    assert_eq!(expand(&schedule, &period("America/New_York", "2027-11-07", 1)).spans().count(), 7);
}

#[test]
fn midnight_itself_may_be_skipped() {
    // Chile puts the clock forward at 24:00 of Saturday 4 September 2027.
    let mut schedule = weekdays("");
    schedule.week[5] = plan("20:00-24:00");
    let days = period("America/Santiago", "2027-09-04", 2);
    assert!((days.hours() - 47.0).abs() < 1e-9);
    assert_eq!(
        edges_in_clock_change(&schedule, &days),
        [ClockEdge { date: date("2027-09-05"), minute: 0, change: ClockChangeKind::Skipped }]
    );
    assert_eq!(days.instant(at("2027-09-05", 30)), days.instant(at("2027-09-05", 60)));
    // What holds on through midnight is no event.
    assert_eq!(edges_in_clock_change(&weekdays("8:00-17:00"), &days), []);
    let sunday = period("America/Santiago", "2027-09-05", 1);
    assert_eq!(sunday.local(sunday.start()), Some(at("2027-09-05", 60)));
    assert_eq!(sunday.clock_changes().len(), 1);
}

/// Toronto put the clock forward from 23:30 to 00:30 on 30 March 1919 (IANA time zone database).
#[test]
fn a_day_may_begin_in_the_middle_of_a_skipped_hour() {
    let monday = period("America/Toronto", "1919-03-31", 1);
    assert_eq!(monday.local(monday.start()), Some(at("1919-03-31", 30)));
    assert!((monday.hours() - 23.5).abs() < 1e-9);
    let sunday = period("America/Toronto", "1919-03-30", 1);
    assert_eq!(sunday.end(), monday.start());
    assert!((sunday.hours() - 23.5).abs() < 1e-9);
}

#[test]
fn a_period_needs_a_zone_and_days() {
    let period = |zone, from, days| calendar::Period::new(zone, date(from), days).unwrap_err();
    assert_eq!(
        period("America/Saltmarsh", "2027-01-01", 365),
        PeriodError::UnknownZone("America/Saltmarsh".into())
    );
    assert_eq!(period("UTC", "2027-01-01", 0), PeriodError::Length(0));
    assert_eq!(period("UTC", "2027-01-01", u32::MAX), PeriodError::Length(u32::MAX));
    assert_eq!(period("UTC", "9999-12-30", 9), PeriodError::NoSuchDays);
    // Samoa went from the 29th to the 31st.
    assert_eq!(period("Pacific/Apia", "2011-12-30", 1), PeriodError::NoSuchDays);
}

/// Samoa crossed the date line at the end of 29 December 2011 (IANA time zone database, `australasia`).
#[test]
fn a_period_ends_on_a_day_that_the_clocks_show() {
    let across = period("Pacific/Apia", "2011-12-27", 4);
    assert_eq!((across.last_date(), across.hours()), (date("2011-12-29"), 72.0));
    let further = period("Pacific/Apia", "2011-12-27", 5);
    assert_eq!((further.last_date(), further.hours()), (date("2011-12-31"), 96.0));
}

#[test]
fn exceptions_covered_changing_nothing_or_colliding() {
    let year = period("America/New_York", "2027-01-01", 365);
    let mut schedule = weekdays("8:00-17:00");
    let on = |from: &str, to: &str, rule, priority| Exception {
        on: [Occurrence::Range { from: Some(date(from)), to: Some(date(to)) }].into(),
        rule,
        priority,
    };
    schedule.exceptions = vec![
        on("2027-06-07", "2027-06-11", Rule::Replace(vec![]), 5),
        on("2027-06-08", "2027-06-09", Rule::Add(plan("10:00-12:00")), 9),
        on("2027-06-12", "2027-06-13", Rule::Replace(vec![]), 9),
        on("2028-01-01", "2028-01-02", Rule::Replace(vec![]), 9),
        on("2027-06-10", "2027-06-10", Rule::Add(plan("10:00-12:00")), 5),
    ];
    let review = review_exceptions(&schedule, &year);
    let [whole_week, covered, weekend, next_year, colliding] = review.effects.as_slice() else {
        unreachable!()
    };
    assert_eq!(whole_week.decides, Some(at("2027-06-07", 0)));
    assert_eq!(whole_week.changes, Some(at("2027-06-07", 480)));
    assert_eq!((covered.decides, covered.covered_by.as_slice()), (None, &[0][..]));
    assert_eq!((weekend.decides, weekend.changes), (Some(at("2027-06-12", 0)), None));
    assert_eq!((next_year.days, next_year.first), (0, None));
    assert_eq!((colliding.days, colliding.first), (1, Some(date("2027-06-10"))));
    assert_eq!(
        review.collisions,
        [Collision { wins: 0, loses: 4, at: at("2027-06-10", 600), values: [0, 1] }]
    );
}

#[test]
fn no_timelines_are_one_interval() {
    let year = period("UTC", "2027-01-01", 365);
    let joint = join(&[], &year);
    assert_eq!(joint.count(), 1);
    assert!((joint.intervals().next().unwrap().hours() - 8760.0).abs() < 1e-9);
    let still = expand(&weekdays(""), &year);
    let spans: Vec<Span> = still.spans().collect();
    assert_eq!(spans, [Span { from: year.start(), to: year.end(), value: 0 }]);
}

/// Not timed: day by day, exception by exception and window by window, each of these takes minutes.
#[test]
fn very_many_exceptions_take_the_time_of_their_number() {
    let two_years = period("America/New_York", "2027-01-01", 730);
    let all_year: std::sync::Arc<[Occurrence]> = [Occurrence::Range { from: None, to: None }].into();
    let window = |n: u16| Window { start: n % 1400, end: n % 1400 + 7, value: n % 3 };
    let closures: std::sync::Arc<[Occurrence]> = (0..2_000)
        .map(|n| Occurrence::Date(date("2027-01-01").saturating_add(jiff::Span::new().days(n))))
        .collect();
    let rules: [&dyn Fn(u16) -> Rule; 3] =
        [&|_| Rule::Replace(vec![]), &|n| Rule::Add(vec![window(n)]), &|n| Rule::Replace(vec![window(n)])];
    for rule in rules {
        for on in [&all_year, &closures] {
            let mut schedule = weekdays("8:00-17:00");
            let many = (0..20_000_u16).map(|n| Exception { on: on.clone(), rule: rule(n), priority: 16 });
            let single = (0..300).map(|n| {
                let day = date("2027-03-01").saturating_add(jiff::Span::new().days(n));
                Exception { on: [Occurrence::Date(day)].into(), rule: Rule::Replace(vec![]), priority: 1 }
            });
            schedule.exceptions = many.chain(single).collect();
            let review = review_exceptions(&schedule, &two_years);
            assert_eq!(review.effects.len(), 20_300);
            assert!(review.effects.iter().all(|effect| effect.days > 0 && effect.covered_by.len() <= 16));
            assert!(expand(&schedule, &two_years).spans().count() > 0);
        }
    }
}
