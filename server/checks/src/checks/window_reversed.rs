//! # What it finds
//!
//! A window that does not end after it starts.
//!
//! # Why it matters
//!
//! A day's windows lie within the day, so this one is no window at all: the hours it was meant for are
//! unoccupied. A window past midnight belongs on both days.
//!
//! # Example
//!
//! ```yaml bad
//! schedules:
//!   evening-events:
//!     values: occupancy
//!     default: unoccupied
//!     week:
//!       fri: 22:00-02:00
//!       #    ^^^^^^^^^^^ `22:00-24:00`, and `00:00-02:00` on sat
//!       sun-mon: 17:00-08:00
//!       #        ^^^^^^^^^^^ `00:00-08:00` on mon-tue
//!       tue: 18:00-00:00
//!       #    ^^^^^^^^^^^ `18:00-24:00`
//! ```
//! ```yaml good
//! schedules:
//!   evening-events:
//!     values: occupancy
//!     default: unoccupied
//!     week: {fri: 22:00-24:00, sat: 00:00-02:00}
//! ```
//! ```yaml near
//! schedules:
//!   night-watch: {values: occupancy, default: unoccupied, week: {fri-mon: all-day, tue: 23:59-24:00}}
//! ```
//!
//! # Repair
//!
//! Split the window at midnight over two days.
//!
//! # Source
//!
//! ASHRAE 135 (ISO 16484-5), Schedule object: a day's list of times and values begins and ends with the
//! day (from memory).

use crate::check::{Check, Run, Severity};
use crate::context::Ctx;
use crate::finding::Sink;
use crate::schedules::{runs_forward, times};
use model::Found;
use model::schedule::{Schedule, Window};

pub(crate) static CHECK: Check = Check {
    id: "window-reversed",
    severity: Severity::Error,
    source: include_str!("window_reversed.rs"),
    run: Run::Schedule(run),
};

fn run(_: &Ctx<'_>, schedule: Found<'_, Schedule>, out: &mut Sink) {
    for rule in &schedule.is.week {
        let mut days_after = rule.days;
        days_after.rotate_right(1);
        report(&rule.windows, &days_words(days_after), out);
    }
    for exception in &schedule.is.exceptions {
        report(&exception.windows, "the day after", out);
    }
}

fn report(windows: &[Window], days_after: &str, out: &mut Sink) {
    for window in windows.iter().filter(|w| !runs_forward(w)) {
        let written = times(window.start, window.end);
        let message = if window.start == window.end {
            format!("`{written}` lasts no time; write `all-day` if the whole day is meant")
        } else if window.end == 0 {
            format!(
                "`{written}` ends before it starts; a day ends at 24:00: write `{}`",
                times(window.start, 1440)
            )
        } else {
            format!(
                "`{written}` ends before it starts, so it holds at no hour; past midnight belongs on the next day: write `{}`, and `{}` on {days_after}",
                times(window.start, 1440),
                times(0, window.end),
            )
        };
        out.report(window.at, message);
    }
}

/// `mon-fri`, `mon and wed`; a run may pass the week's end.
fn days_words(days: [bool; 7]) -> String {
    const NAMES: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    if days == [true; 7] {
        return "mon-sun".to_owned();
    }
    let on = |day: usize| days[day % 7];
    let starts = (0..7).filter(|&day| on(day) && !on(day + 6));
    let runs = starts.map(|first| {
        let length = (1..7).take_while(|more| on(first + more)).count();
        let last = NAMES[(first + length) % 7];
        if length == 0 { last.to_owned() } else { format!("{}-{last}", NAMES[first]) }
    });
    runs.collect::<Vec<_>>().join(" and ")
}

#[cfg(test)]
mod tests {
    use super::days_words;

    #[test]
    fn runs_of_days() {
        let days = |set: &str| {
            let mut days = [false; 7];
            set.bytes().zip(&mut days).for_each(|(c, day)| *day = c == b'x');
            days_words(days)
        };
        assert_eq!(days("xxxxxxx"), "mon-sun");
        assert_eq!(days("xxxxx.."), "mon-fri");
        assert_eq!(days("x.x...."), "mon and wed");
        assert_eq!(days("xx...xx"), "sat-tue");
        assert_eq!(days("......x"), "sun");
        assert_eq!(days("x.....x"), "sun-mon");
    }
}
