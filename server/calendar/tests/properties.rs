//! What holds for every schedule, every period and every text.
#![allow(clippy::unwrap_used)]

mod common;

use calendar::{
    Collision, Date, LocalTime, MOST_OCCURRENCES, Period, Schedule, Value, edges_in_clock_change,
    exception_at, expand, import_ics, join, parse_week_n_day, review_exceptions, value_of,
};
use common::{any_schedule, any_year};
use proptest::prelude::*;

/// Instants about an hour apart, and every minute around the clock changes.
fn instants(period: &Period) -> Vec<i64> {
    let changes: Vec<i64> = period.clock_changes().iter().map(|run| run.at).collect();
    let coarse = (period.start()..period.end()).step_by(3601);
    let fine = changes.iter().flat_map(|at| (at - 9000..at + 9000).step_by(60).chain([at - 1, at + 1]));
    coarse.chain(fine).filter(|at| (period.start()..period.end()).contains(at)).collect()
}

fn year() -> impl Strategy<Value = (Period, Schedule)> {
    any_year().prop_flat_map(|(zone, first)| {
        any_schedule(first, 365).prop_map(move |schedule| (Period::new(zone, first, 365).unwrap(), schedule))
    })
}

/// A fortnight with a clock change in it, short enough to go through by the minute.
fn fortnight() -> impl Strategy<Value = (Period, Schedule)> {
    let fortnights = prop::sample::select(vec![
        ("America/New_York", common::date("2027-03-07")),
        ("America/New_York", common::date("2027-11-01")),
        ("Africa/Cairo", common::date("2027-04-20")),
        ("America/Santiago", common::date("2027-04-01")),
    ]);
    fortnights.prop_flat_map(|(zone, first)| {
        any_schedule(first, 14).prop_map(move |schedule| (Period::new(zone, first, 14).unwrap(), schedule))
    })
}

fn is_effective(schedule: &Schedule, date: Date) -> bool {
    schedule.effective.0.is_none_or(|first| first <= date)
        && schedule.effective.1.is_none_or(|last| date <= last)
}

/// The moments of a period that the wall clock shows, by date and minute, each once.
fn moments(period: &Period) -> Vec<LocalTime> {
    let mut shown: Vec<LocalTime> =
        (period.start()..period.end()).step_by(60).map(|at| period.local(at).unwrap()).collect();
    shown.sort_unstable();
    shown.dedup();
    shown
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn a_timeline_is_the_value_of_what_the_clock_shows((period, schedule) in year()) {
        let timeline = expand(&schedule, &period);
        for at in instants(&period) {
            let local = period.local(at).unwrap();
            prop_assert_eq!(timeline.value_at(at), Some(value_of(&schedule, local.date, local.minute)), "{:?}", local);
        }
        prop_assert_eq!(timeline.value_at(period.start() - 1), None);
        prop_assert_eq!(timeline.value_at(period.end()), None);
    }

    #[test]
    fn spans_fill_the_period_and_neighbours_differ((period, schedule) in year()) {
        let spans: Vec<_> = expand(&schedule, &period).spans().collect();
        prop_assert_eq!(spans.first().map(|span| span.from), Some(period.start()));
        prop_assert_eq!(spans.last().map(|span| span.to), Some(period.end()));
        for pair in spans.windows(2) {
            prop_assert!(pair[0].from < pair[0].to && pair[0].to == pair[1].from && pair[0].value != pair[1].value);
        }
    }

    /// Held against jiff's own conversion, which knows nothing of days and stretches.
    #[test]
    fn local_time_is_that_of_the_zone((zone, first) in any_year(), skip in 0..400_i64, days in 1..400_u32) {
        let first = first.saturating_add(jiff::Span::new().days(skip));
        let tz = jiff::tz::TimeZoneDatabase::bundled().get(zone).unwrap();
        let Ok(period) = Period::new(zone, first, days) else {
            // Only the day that Samoa or Kwajalein left out is no period.
            prop_assert!(days == 1 && zone.starts_with("Pacific/"));
            return Ok(());
        };
        for at in instants(&period) {
            let shown = tz.to_datetime(jiff::Timestamp::from_second(at).unwrap());
            let local = period.local(at).unwrap();
            prop_assert_eq!((local.date, i32::from(local.minute)), (shown.date(), i32::from(shown.hour()) * 60 + i32::from(shown.minute())));
        }
        let starts = tz.to_datetime(jiff::Timestamp::from_second(period.start()).unwrap()).date();
        let before = tz.to_datetime(jiff::Timestamp::from_second(period.start() - 1).unwrap()).date();
        prop_assert!(before != first && starts >= first);
    }

    #[test]
    fn joint_intervals_hold_the_values_of_all((period, schedule) in year(), offs in prop::collection::vec(0..4 as Value, 0..3)) {
        let timelines: Vec<_> =
            offs.iter().map(|&off| expand(&Schedule { off, ..schedule.clone() }, &period)).collect();
        let joint = join(&timelines.iter().collect::<Vec<_>>(), &period);
        let intervals: Vec<_> = joint.intervals().collect();
        prop_assert_eq!(intervals.len(), joint.count());
        prop_assert_eq!(intervals.first().unwrap().from, period.start());
        prop_assert_eq!(intervals.last().unwrap().to, period.end());
        for pair in intervals.windows(2) {
            prop_assert!(pair[0].to == pair[1].from && pair[0].values != pair[1].values);
        }
        for interval in intervals {
            for at in [interval.from, interval.to - 1] {
                let values: Vec<_> = timelines.iter().map(|timeline| timeline.value_at(at).unwrap()).collect();
                prop_assert_eq!(interval.values, &values);
            }
        }
    }

    #[test]
    fn an_exception_changes_what_taking_it_away_changes((period, schedule) in fortnight()) {
        let review = review_exceptions(&schedule, &period);
        let moments = moments(&period);
        for (index, effect) in review.effects.iter().enumerate() {
            let mut without = schedule.clone();
            without.exceptions.remove(index);
            let differs = moments.iter().find(|at| {
                value_of(&schedule, at.date, at.minute) != value_of(&without, at.date, at.minute)
            });
            prop_assert_eq!(effect.changes.as_ref(), differs);
            prop_assert!(effect.decides <= effect.changes || effect.changes.is_none());
            let on = &schedule.exceptions[index].on;
            let dates: Vec<Date> = (0..14)
                .map(|day| period.first_date().saturating_add(jiff::Span::new().days(day)))
                .filter(|&date| on.iter().any(|occurrence| occurrence.contains(date)))
                .collect();
            prop_assert_eq!((effect.days as usize, effect.first), (dates.len(), dates.first().copied()));
            prop_assert_eq!(effect.effective, dates.iter().any(|date| is_effective(&schedule, *date)));
            let decides = moments.iter().find(|at| {
                is_effective(&schedule, at.date)
                    && exception_at(&schedule, at.date, at.minute).is_some_and(|(winner, _)| winner == index)
            });
            prop_assert_eq!(effect.decides.as_ref(), decides);
        }
    }

    /// A pair collides where turning the list around changes the value that the two alone would give.
    #[test]
    fn collisions_are_where_order_decides((period, schedule) in fortnight()) {
        let review = review_exceptions(&schedule, &period);
        let mut turned = schedule.clone();
        turned.exceptions.reverse();
        let moved = moments(&period).into_iter().find(|at| {
            value_of(&schedule, at.date, at.minute) != value_of(&turned, at.date, at.minute)
        });
        let first = review.collisions.iter().map(|collision: &Collision| collision.at).min();
        // Turning the list tells only of the last of three; collisions tell of each, never later.
        prop_assert!(moved.is_none() || first.is_some_and(|first| Some(first) <= moved), "{:?} {:?}", moved, first);
        let losers: Vec<usize> = review.collisions.iter().map(|collision| collision.loses).collect();
        for (number, effect) in review.effects.iter().enumerate() {
            prop_assert_eq!(losers.iter().filter(|loser| **loser == number).count(), usize::from(effect.collides));
        }
        for Collision { wins, loses, at, values } in review.collisions {
            prop_assert!(wins < loses);
            let pair = [&schedule.exceptions[wins], &schedule.exceptions[loses]];
            prop_assert_eq!(pair[0].priority, pair[1].priority);
            let value = |exceptions: Vec<_>| value_of(&Schedule { exceptions, ..schedule.clone() }, at.date, at.minute);
            let (one, other) = (value(vec![pair[0].clone()]), value(vec![pair[1].clone()]));
            prop_assert!(one != other && values == [one, other]);
            prop_assert_eq!(value_of(&schedule, at.date, at.minute), one);
        }
    }

    /// Who wins over an exception, and over one that never decides, moment by moment.
    #[test]
    fn an_exception_is_covered_by_those_that_win_over_it((period, schedule) in fortnight()) {
        let review = review_exceptions(&schedule, &period);
        let mut covered = vec![Vec::new(); schedule.exceptions.len()];
        for at in moments(&period).into_iter().filter(|at| is_effective(&schedule, at.date)) {
            let Some((winner, _)) = exception_at(&schedule, at.date, at.minute) else { continue };
            for (index, exception) in schedule.exceptions.iter().enumerate() {
                let alone = Schedule { exceptions: vec![exception.clone()], ..schedule.clone() };
                let holds = exception_at(&alone, at.date, at.minute).is_some();
                if index != winner && holds && !covered[index].contains(&winner) {
                    covered[index].push(winner);
                }
            }
        }
        for (index, effect) in review.effects.iter().enumerate() {
            prop_assert_eq!(&effect.covered_by, &covered[index]);
            let hides = covered.iter().zip(&review.effects).any(|(c, e)| e.decides.is_none() && c.contains(&index));
            prop_assert_eq!(effect.hides_another, hides);
        }
    }

    #[test]
    fn clock_edges_are_changes_of_value_in_the_changed_hour((period, schedule) in fortnight()) {
        let edges = edges_in_clock_change(&schedule, &period);
        let runs = period.clock_changes();
        for run in runs {
            for minute in run.from.max(1)..run.to {
                let changes = value_of(&schedule, run.date, minute - 1) != value_of(&schedule, run.date, minute);
                let told = edges.iter().any(|edge| (edge.date, edge.minute, edge.change) == (run.date, minute, run.change));
                prop_assert_eq!(changes, told, "{} {}", run.date, minute);
            }
        }
    }

    #[test]
    fn no_text_breaks_the_words(words in "\\PC{0,40}", known in prop::collection::vec(prop::sample::select(vec![
        "last", "first", "second", "to", "of", "monday", "may", "odd", "even", "months", "31", "day", "week", "every", "-"]), 0..7)) {
        let _ = parse_week_n_day(&words);
        let _ = parse_week_n_day(&known.join(" "));
    }
}

/// Lines that a file of closures is made of, right and wrong.
fn any_line() -> impl Strategy<Value = String> {
    let stamp = prop_oneof![
        "20(2[5-9]|[0-9]{2})(0[1-9]|1[0-2])([0-2][0-9]|3[01])",
        "202[67](0[1-9]|1[0-9])[0-3][0-9]T[0-2][0-9][0-5][0-9]00Z?",
        "[0-9]{0,9}T?[0-9]{0,6}Z?",
    ];
    let zone = prop::sample::select(vec![
        "",
        ";VALUE=DATE",
        ";TZID=Europe/London",
        ";TZID=Nowhere",
        ";VALUE=PERIOD",
    ]);
    let property = prop::sample::select(vec!["DTSTART", "DTEND", "RDATE", "EXDATE", "RECURRENCE-ID"]);
    let rule = (
        prop::sample::select(vec!["DAILY", "WEEKLY", "MONTHLY", "YEARLY", "HOURLY", "SECONDLY", "X"]),
        "(;INTERVAL=[0-9]{1,5})?(;COUNT=-?[0-9]{1,9})?(;BYDAY=-?[0-9]{0,2}(MO|SU|XX))?(;BYMONTH=[0-9]{1,3})?",
        "(;BYMONTHDAY=-?[0-9]{1,3})?(;BYSETPOS=-?[0-9]{1,3})?(;BYWEEKNO=-?[0-9]{1,2})?(;BYYEARDAY=-?[0-9]{1,4})?(;UNTIL=[0-9]{8}(T000000Z)?)?",
    );
    prop_oneof![
        3 => (property, zone, stamp).prop_map(|(property, zone, stamp)| format!("{property}{zone}:{stamp}")),
        2 => rule.prop_map(|(freq, one, other)| format!("RRULE:FREQ={freq}{one}{other}")),
        1 => "DURATION:-?P[0-9]{1,12}[WDTH]",
        1 => prop::sample::select(vec!["BEGIN:VEVENT", "END:VEVENT", "END:VCALENDAR", "BEGIN:VTIMEZONE", "STATUS:CANCELLED", "UID:1"])
            .prop_map(str::to_owned),
        1 => "\\PC{0,30}",
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn no_calendar_file_breaks_the_import(lines in prop::collection::vec(any_line(), 0..12)) {
        let period = common::period("America/New_York", "2027-01-01", 365);
        let text = format!("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTART;VALUE=DATE:20270104\r\n{}\r\nEND:VEVENT\r\n", lines.join("\r\n"));
        let import = import_ics(&text, &period, MOST_OCCURRENCES);
        for days in import.days {
            prop_assert!(period.contains(days.from) && period.contains(days.to) && days.from <= days.to);
        }
        for problem in import.problems {
            prop_assert!((1..=text.lines().count()).contains(&problem.line));
        }
    }
}
