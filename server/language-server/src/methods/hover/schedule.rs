//! Hover over a schedule: its week, and its hours.

use super::{Look, Sheet};
use analysis::{Analysis, hours_words, share_words};
use model::schedule::{ScheduleValue, Window};
use model::{Found, Schedule};

const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

impl<'j> Look<'_, 'j> {
    pub(super) fn schedule(&self, schedule: Found<'j, Schedule>) -> Option<Sheet> {
        let on_off = schedule.is.states.iter().any(ScheduleValue::is_on);
        let mut sheet =
            Sheet::titled(schedule.name(), if on_off { "schedule" } else { "schedule of values" });
        let week: Vec<Vec<&Window>> = (0..DAYS.len()).map(|day| windows(schedule.is, day)).collect();
        if let Some(hours) = week_hours(schedule.is) {
            sheet.line(format!("{} a week on, exceptions aside", hours_words(hours)));
        }
        let mut first = 0;
        while first < DAYS.len() {
            let day = week.get(first).map_or(String::new(), |day| day_words(schedule.is, day));
            let alike = week
                .iter()
                .skip(first)
                .take_while(|other| day_words(schedule.is, other) == day)
                .count()
                .max(1);
            let name = |day: usize| DAYS.get(day).copied().unwrap_or_default();
            let days = if alike == 1 {
                name(first).to_owned()
            } else {
                format!("{}-{}", name(first), name(first + alike - 1))
            };
            sheet.line(format!("{days}: {day}"));
            first += alike;
        }
        let exceptions = schedule.is.exceptions.len();
        if exceptions > 0 {
            sheet.line(format!("{exceptions} {}", if exceptions == 1 { "exception" } else { "exceptions" }));
        }
        if on_off && let Some(analysis) = Analysis::of_review(self.view, self.memo) {
            let timed = analysis.schedule(schedule);
            let on = |span: &calendar::Span| {
                schedule.is.states.get(usize::from(span.value)).is_some_and(ScheduleValue::is_on)
            };
            let seconds: i64 = timed.timeline.spans().filter(on).map(|span| span.to - span.from).sum();
            let on = share_words(seconds as f64 / 3600.0, timed.period.hours());
            sheet.line(format!("on {on} in the review period"));
        }
        Some(sheet)
    }
}

/// Hours a week in which its week turns a schedule on; nothing for a schedule of values.
pub(in crate::methods) fn week_hours(schedule: &Schedule) -> Option<f64> {
    let minutes = || (0..DAYS.len()).map(|day| minutes_on(schedule, &windows(schedule, day))).sum::<usize>();
    schedule.states.iter().any(ScheduleValue::is_on).then(|| minutes() as f64 / 60.0)
}

/// The windows of a day of the week, Monday first.
fn windows(schedule: &Schedule, day: usize) -> Vec<&Window> {
    let rules = schedule.week.iter().filter(|rule| rule.days.get(day) == Some(&true));
    rules.flat_map(|rule| &rule.windows).collect()
}

/// Minutes of a day in which some window turns it on; windows may overlap.
fn minutes_on(schedule: &Schedule, windows: &[&Window]) -> usize {
    let is_on = |w: &&&Window| schedule.states.get(usize::from(w.value)).is_some_and(ScheduleValue::is_on);
    let on: Vec<_> = windows.iter().filter(is_on).collect();
    (0..1440).filter(|minute| on.iter().any(|w| (w.start..w.end).contains(minute))).count()
}

fn day_words(schedule: &Schedule, windows: &[&Window]) -> String {
    let time = |minute: u16| format!("{:02}:{:02}", minute / 60, minute % 60);
    let words = windows.iter().map(|w| {
        let state = schedule.states.get(usize::from(w.value)).filter(|state| !state.is_on());
        let value = state.map_or(String::new(), |state| format!(" {}", state.name));
        format!("{}-{}{value}", time(w.start), time(w.end))
    });
    let words: Vec<String> = words.collect();
    if words.is_empty() { "none".to_owned() } else { words.join(", ") }
}
