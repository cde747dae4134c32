//! Ten thousand moments of random schedules, against `bacpypes3` of the Python package index (`tests/oracles/schedule_bacpypes.py`).
#![allow(clippy::unwrap_used, clippy::panic)]

use calendar::{
    Date, DayPlan, DayRule, Exception, LocalTime, MonthRule, Occurrence, Period, Rule, Schedule, Value,
    WeekRule, Weekday, Window, expand, value_of,
};
use serde::Deserialize;

const TABLE: &str = include_str!("../../../tests/oracles/schedule_bacpypes.jsonl");

#[derive(Deserialize)]
struct Row {
    default: Value,
    off: Value,
    week: [Vec<(u16, u16, Value)>; 7],
    exceptions: Vec<RowException>,
    effective: (Date, Date),
    at: Vec<(Date, u16, Value)>,
}

#[derive(Deserialize)]
struct RowException {
    on: Vec<On>,
    rule: String,
    plan: Vec<(u16, u16, Value)>,
    priority: u8,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum On {
    Date(Date),
    Range(Date, Date),
    /// The standard's octets: month, week of month, day of week.
    Week(u8, u8, u8),
    /// The standard's octets: month, day.
    Day(u8, u8),
}

const ANY: u8 = 255;

fn plan(windows: &[(u16, u16, Value)]) -> DayPlan {
    windows.iter().map(|&(start, end, value)| Window { start, end, value }).collect()
}

fn month(octet: u8) -> MonthRule {
    match octet {
        ANY => MonthRule::Any,
        13 => MonthRule::Odd,
        14 => MonthRule::Even,
        month => MonthRule::Month(month),
    }
}

fn occurrence(on: &On) -> Occurrence {
    match *on {
        On::Date(date) => Occurrence::Date(date),
        On::Range(from, to) => Occurrence::Range { from: Some(from), to: Some(to) },
        On::Week(of, week, weekday) => Occurrence::WeekNDay {
            month: month(of),
            week: match week {
                ANY => WeekRule::Any,
                1..=5 => WeekRule::FromStart(week),
                _ => WeekRule::FromEnd(week - 5),
            },
            weekday: (weekday != ANY).then(|| Weekday::from_monday_one_offset(weekday as i8).unwrap()),
        },
        On::Day(of, day) => Occurrence::DayOfMonth {
            month: month(of),
            day: match day {
                ANY => DayRule::Any,
                32 => DayRule::Last,
                33 => DayRule::Odd,
                34 => DayRule::Even,
                day => DayRule::Day(day),
            },
        },
    }
}

fn schedule(row: &Row) -> Schedule {
    let exceptions = row.exceptions.iter().map(|exception| Exception {
        on: exception.on.iter().map(occurrence).collect(),
        rule: match exception.rule.as_str() {
            "replace" => Rule::Replace(plan(&exception.plan)),
            "add" => Rule::Add(plan(&exception.plan)),
            other => panic!("no rule {other}"),
        },
        priority: exception.priority,
    });
    Schedule {
        default: row.default,
        off: row.off,
        week: row.week.each_ref().map(|windows| plan(windows)),
        exceptions: exceptions.collect(),
        effective: (Some(row.effective.0), Some(row.effective.1)),
    }
}

#[test]
fn every_moment_agrees() {
    let from = jiff::civil::date(2027, 1, 1);
    let periods = ["UTC", "America/New_York"].map(|zone| Period::new(zone, from, 365).unwrap());
    let mut moments = 0;
    for line in TABLE.lines() {
        let row: Row = serde_json::from_str(line).unwrap();
        let schedule = schedule(&row);
        let timelines = periods.each_ref().map(|period| expand(&schedule, period));
        for &(date, minute, expected) in &row.at {
            assert_eq!(value_of(&schedule, date, minute), expected, "{date} {minute} of {line}");
            for (period, timeline) in periods.iter().zip(&timelines) {
                let local = LocalTime { date, minute };
                let instant = period.instant(local).unwrap();
                // A minute that the clock skips has the value that follows the jump.
                if period.local(instant) == Some(local) {
                    assert_eq!(timeline.value_at(instant), Some(expected), "{local:?} of {line}");
                }
            }
            moments += 1;
        }
    }
    assert_eq!(moments, 10_000);
}
