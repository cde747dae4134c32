//! What is wrong with an iCalendar file is told by line, and costs no other event.
#![allow(clippy::unwrap_used)]

mod common;

use calendar::{Import, MOST_OCCURRENCES, import_ics};
use common::{date, period};

const GOOD: &str = "BEGIN:VEVENT\nDTSTART;VALUE=DATE:20270104\nSUMMARY:good\nEND:VEVENT\n";

fn import(events: &str) -> Import {
    let text = format!("BEGIN:VCALENDAR\n{GOOD}{events}\nEND:VCALENDAR\n");
    import_ics(&text, &period("America/New_York", "2027-01-01", 365), MOST_OCCURRENCES)
}

/// The event begins on line 6; the problem is on the line given, and says this.
#[track_caller]
fn left_out(event: &str, line: usize, says: &str) {
    let import = import(event);
    assert_eq!(import.days.iter().map(|days| days.summary.as_str()).collect::<Vec<_>>(), ["good"]);
    let [problem] = import.problems.as_slice() else { unreachable!("{:?}", import.problems) };
    assert_eq!(problem.line, line, "{}", problem.message);
    assert!(problem.message.contains(says), "{}", problem.message);
}

#[test]
fn a_bad_event_is_left_out_and_named() {
    left_out("BEGIN:VEVENT\nSUMMARY:x\nEND:VEVENT", 6, "has no date (`DTSTART`)");
    left_out(
        "BEGIN:VEVENT\nSUMMARY:x\nDTSTART;VALUE=DATE:20271340\nEND:VEVENT",
        8,
        "`DTSTART` is not a date",
    );
    left_out("BEGIN:VEVENT\nDTSTART:someday\nEND:VEVENT", 7, "`DTSTART` is not a date");
    left_out(
        "BEGIN:VEVENT\nDTSTART:20270105\nRRULE:FREQ=FORTNIGHTLY\nEND:VEVENT",
        8,
        "`RRULE` is not a repeat rule",
    );
    left_out(
        "BEGIN:VEVENT\nDTSTART:20270105\nRRULE:FREQ=DAILY;\n COUNT=0\nEND:VEVENT",
        8,
        "has `COUNT=0`, which must be 1 or more",
    );
    left_out("BEGIN:VEVENT\nDTSTART:20270105\nRRULE:interval=00;FREQ=DAILY\nEND:VEVENT", 8, "`INTERVAL=0`");
    left_out("BEGIN:VEVENT\nDTSTART:20270105\nDURATION:soon\nEND:VEVENT", 8, "`DURATION` is not a duration");
    left_out("BEGIN:VEVENT\nDTSTART:20270105\nDTEND:20270103\nEND:VEVENT", 6, "ends before it starts");
    left_out("BEGIN:VEVENT\nDTSTART:20270105\nEXDATE:never\nEND:VEVENT", 8, "`EXDATE` is not a date");
    left_out("BEGIN:VEVENT\nDTSTART:20270105\nSUMMARY:cut off", 6, "no `END:VEVENT`");
    left_out(
        "BEGIN:VEVENT\nDTSTART:20270105\nRECURRENCE-ID;RANGE=THISANDFUTURE:20270105\nEND:VEVENT",
        8,
        "all later repeats",
    );
}

#[test]
fn a_strange_zone_is_read_as_the_sites() {
    let import = import("BEGIN:VEVENT\nDTSTART;TZID=Saltmarsh:20270105T230000\nDURATION:PT2H\nEND:VEVENT");
    assert_eq!(import.days[1].from, date("2027-01-05"));
    assert_eq!(import.days[1].to, date("2027-01-06"));
    assert_eq!(import.problems[0].line, 7);
    assert!(import.problems[0].message.contains("`Saltmarsh`"));
}

#[test]
fn a_zone_may_be_named_as_other_programs_do() {
    let import = import("BEGIN:VEVENT\nDTSTART;TZID=W. Europe Standard Time:20270105T030000\nEND:VEVENT");
    assert_eq!((import.days[1].from, import.problems.len()), (date("2027-01-04"), 0));
}

#[test]
fn a_rule_that_cannot_be_followed_leaves_the_first_day() {
    let import = import("BEGIN:VEVENT\nDTSTART:20270105\nRRULE:FREQ=WEEKLY;BYMONTHDAY=3\nEND:VEVENT");
    assert_eq!(import.days.len(), 2);
    assert_eq!(import.problems[0].line, 8);
    assert!(import.problems[0].message.contains("only the first occurrence counts"));
}

#[test]
fn endless_and_hasty_rules_are_bounded() {
    let endless = import("BEGIN:VEVENT\nDTSTART:20270105\nRRULE:FREQ=DAILY\nEND:VEVENT");
    assert_eq!((endless.days.len(), endless.problems.len()), (1 + 361, 0));
    let hasty = import("BEGIN:VEVENT\nDTSTART:20200105T000000\nRRULE:FREQ=SECONDLY\nEND:VEVENT");
    assert_eq!(hasty.problems.len(), 1);
    assert!(hasty.problems[0].message.contains("later days are missing"));
    let never =
        import("BEGIN:VEVENT\nDTSTART:20270105\nRRULE:FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30\nEND:VEVENT");
    assert_eq!((never.days.len(), never.problems.len()), (2, 0));
}

/// However many events there are, the days of so many occurrences are followed and no more.
#[test]
fn all_events_together_are_bounded() {
    let event = "BEGIN:VEVENT\nDTSTART:20270105T000000\nRRULE:FREQ=MINUTELY\nEND:VEVENT\n";
    let text = format!("BEGIN:VCALENDAR\n{}END:VCALENDAR\n", event.repeat(2_000));
    let import = import_ics(&text, &period("America/New_York", "2027-01-01", 365), 100_000);
    assert!(import.days.len() <= 102_000 && import.problems.len() <= 2_000);
    assert!(
        import
            .problems
            .iter()
            .any(|problem| problem.message.contains("the file repeats its events too often"))
    );
}

#[test]
fn cancelled_events_are_passed_over() {
    let import = import("BEGIN:VEVENT\nDTSTART:20270105\nSTATUS:CANCELLED\nEND:VEVENT");
    assert_eq!((import.days.len(), import.problems.len()), (1, 0));
}

#[test]
fn an_occurrence_may_be_replaced_or_cancelled() {
    let import = import(
        "BEGIN:VEVENT\nUID:1\nDTSTART:20270105\nRDATE;VALUE=DATE:20270106,20270107\nSUMMARY:plain\nEND:VEVENT\n\
         BEGIN:VEVENT\nUID:1\nRECURRENCE-ID;VALUE=DATE:20270106\nDTSTART:20270109\nSUMMARY:moved\nEND:VEVENT\n\
         BEGIN:VEVENT\nUID:1\nRECURRENCE-ID;VALUE=DATE:20270107\nDTSTART:20270107\nSTATUS:CANCELLED\nEND:VEVENT",
    );
    let days: Vec<_> = import.days.iter().map(|days| (days.from.day(), days.summary.as_str())).collect();
    assert_eq!(days, [(4, "good"), (5, "plain"), (9, "moved")]);
}

#[test]
fn what_is_no_calendar_says_so() {
    let import = import_ics("a,b,c\n1,2,3\n", &period("UTC", "2027-01-01", 365), 1);
    assert_eq!((import.days.len(), import.problems[0].line), (0, 1));
    assert!(import.problems[0].message.contains("BEGIN:VCALENDAR"));
}
