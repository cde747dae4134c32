//! Schedules in few words, and random ones.
#![allow(dead_code, clippy::unwrap_used, clippy::expect_used)]

use calendar::{
    Date, DayPlan, DayRule, Exception, MonthRule, Occurrence, Period, Rule, Schedule, Value, WeekRule,
    Weekday, Window,
};
use proptest::prelude::*;

pub(crate) fn date(text: &str) -> Date {
    text.parse().expect("a date")
}

pub(crate) fn period(zone: &str, from: &str, days: u32) -> Period {
    Period::new(zone, date(from), days).expect("a period")
}

/// Windows of value 1, in hours and minutes: `8:00-17:30 18:00-22:00`.
pub(crate) fn plan(windows: &str) -> DayPlan {
    let minute = |clock: &str| {
        let (hour, minute) = clock.split_once(':').expect("a time");
        hour.parse::<u16>().unwrap() * 60 + minute.parse::<u16>().unwrap()
    };
    let windows = windows.split_whitespace().map(|window| {
        let (start, end) = window.split_once('-').expect("a window");
        Window { start: minute(start), end: minute(end), value: 1 }
    });
    windows.collect()
}

/// Off is 0, and so is the default; Monday to Friday alike, the weekend closed.
pub(crate) fn weekdays(windows: &str) -> Schedule {
    let day = plan(windows);
    Schedule {
        default: 0,
        off: 0,
        week: [day.clone(), day.clone(), day.clone(), day.clone(), day, vec![], vec![]],
        exceptions: vec![],
        effective: (None, None),
    }
}

pub(crate) fn exception(on: &str, rule: Rule, priority: u8) -> Exception {
    Exception { on: [Occurrence::Date(date(on))].into(), rule, priority }
}

/// A zone with the first day of a year that holds its oddest clock changes: ordinary ones, half an
/// hour, at midnight, at 00:01, and a whole day left out.
pub(crate) fn any_year() -> impl Strategy<Value = (&'static str, Date)> {
    prop::sample::select(vec![
        ("America/New_York", date("2027-01-01")),
        ("Europe/London", date("2027-01-01")),
        ("Australia/Lord_Howe", date("2027-01-01")),
        ("America/Santiago", date("2027-01-01")),
        ("Africa/Cairo", date("2027-01-01")),
        ("America/St_Johns", date("2006-01-01")),
        ("Pacific/Apia", date("2011-03-01")),
        ("Pacific/Kwajalein", date("1993-03-01")),
        ("Asia/Kathmandu", date("1985-06-01")),
        ("UTC", date("2028-01-01")),
    ])
}

fn any_plan() -> impl Strategy<Value = DayPlan> {
    // Overlapping, empty, backward and overlong windows too; many edges near 00:00 to 03:00, where clocks change.
    let minute = || prop_oneof![0_u16..=200, (0_u16..=48).prop_map(|half| half * 30), 0_u16..1500];
    let window = (minute(), minute(), 0..4_u16).prop_map(|(start, end, value)| Window { start, end, value });
    prop::collection::vec(window, 0..4)
}

fn any_occurrence(first: Date, days: i64) -> impl Strategy<Value = Occurrence> {
    let day = move || (-20..days + 20).prop_map(move |day| first.saturating_add(jiff::Span::new().days(day)));
    let month = || {
        prop_oneof![
            Just(MonthRule::Any),
            Just(MonthRule::Odd),
            Just(MonthRule::Even),
            (1..=12_u8).prop_map(MonthRule::Month)
        ]
    };
    let weekday = (0..7_i8).prop_map(|day| Weekday::from_monday_zero_offset(day).unwrap());
    let week = prop_oneof![
        Just(WeekRule::Any),
        (0..=6_u8).prop_map(WeekRule::FromStart),
        (0..=6_u8).prop_map(WeekRule::FromEnd)
    ];
    let day_rule = prop_oneof![
        Just(DayRule::Any),
        Just(DayRule::Last),
        Just(DayRule::Odd),
        Just(DayRule::Even),
        any::<u8>().prop_map(DayRule::Day)
    ];
    prop_oneof![
        day().prop_map(Occurrence::Date),
        (prop::option::of(day()), prop::option::of(day()))
            .prop_map(|(from, to)| Occurrence::Range { from, to }),
        (month(), week, prop::option::of(weekday))
            .prop_map(|(month, week, weekday)| { Occurrence::WeekNDay { month, week, weekday } }),
        (month(), day_rule).prop_map(|(month, day)| Occurrence::DayOfMonth { month, day }),
    ]
}

fn any_exception(first: Date, days: i64) -> impl Strategy<Value = Exception> {
    let rule = prop_oneof![any_plan().prop_map(Rule::Replace), any_plan().prop_map(Rule::Add)];
    // Few priorities, so that ties are common.
    (prop::collection::vec(any_occurrence(first, days), 0..3), rule, 1..4_u8)
        .prop_map(|(on, rule, priority)| Exception { on: on.into(), rule, priority })
}

/// Any schedule, with dates around the days from `first`.
pub(crate) fn any_schedule(first: Date, days: i64) -> impl Strategy<Value = Schedule> {
    let bound = move |low: i64, high: i64| {
        prop::option::weighted(
            0.3,
            (low..high).prop_map(move |day| first.saturating_add(jiff::Span::new().days(day))),
        )
    };
    let value = || 0..4 as Value;
    (
        value(),
        value(),
        prop::array::uniform7(any_plan()),
        prop::collection::vec(any_exception(first, days), 0..5),
        (bound(-5, days / 2), bound(days / 2, days + 5)),
    )
        .prop_map(|(default, off, week, exceptions, effective)| Schedule {
            default,
            off,
            week,
            exceptions,
            effective,
        })
}
