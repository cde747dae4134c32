//! What several checks ask of a schedule.

use model::schedule::{On, Schedule, ScheduleValue, Window};
use model::{Calendar, Days, Found, Name, View};
use rustc_hash::FxHashMap;

/// `17:30`.
pub(crate) fn clock(minute: u16) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// `08:00-17:30`.
pub(crate) fn times(start: u16, end: u16) -> String {
    format!("{}-{}", clock(start), clock(end))
}

/// Whether something in the schedule could not be read as meant, so that its hours prove nothing.
pub(crate) fn misread(schedule: Found<'_, Schedule>) -> bool {
    let week = schedule.is.week.iter().flat_map(|rule| &rule.windows);
    let exceptions = schedule.is.exceptions.iter().flat_map(|e| &e.windows);
    schedule.entry.facts.doubtful() || week.chain(exceptions).any(|w| !runs_forward(w))
}

/// Whether a window ends after it starts; one that does not is no window.
pub(crate) fn runs_forward(window: &Window) -> bool {
    window.start < window.end
}

/// Whether every value of the schedule is on or off, occupied or unoccupied.
pub(crate) fn is_switch(schedule: &Schedule) -> bool {
    schedule.states.iter().all(ScheduleValue::is_switch)
}

/// Whether all the days that exceptions name are known: a calendar that cannot be found or read in full may hold
/// any day. Each calendar is looked at once.
pub(crate) struct DaysKnown<'v, 'j> {
    view: &'v View<'j>,
    calendars: FxHashMap<Name, bool>,
}

impl<'v, 'j> DaysKnown<'v, 'j> {
    pub(crate) fn new(view: &'v View<'j>) -> Self {
        DaysKnown { view, calendars: FxHashMap::default() }
    }

    pub(crate) fn of(&mut self, on: &On) -> bool {
        let view = self.view;
        let readable = |days: &Days| match days {
            Days::Occurrence(_) => true,
            Days::Import(path) => matches!(view.import(path), Some(Ok(_))),
        };
        let whole = |calendar: Found<'_, Calendar>| {
            let facts = &calendar.entry.facts;
            !facts.doubtful() && calendar.is.entries.iter().all(|entry| readable(&entry.value))
        };
        match on {
            On::Days(days) => readable(days),
            On::Calendar(name) => *self
                .calendars
                .entry(name.clone())
                .or_insert_with(|| view.find::<Calendar>(name).is_some_and(whole)),
        }
    }
}

/// `mon-fri`, `mon and wed`; a run may pass the week's end.
pub(crate) fn days_words(days: [bool; 7]) -> String {
    runs(days).join(" and ")
}

/// The runs of days, each as a key of a week.
pub(crate) fn runs(days: [bool; 7]) -> Vec<String> {
    const NAMES: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    if days == [true; 7] {
        return vec!["mon-sun".to_owned()];
    }
    let on = |day: usize| days[day % 7];
    let starts = (0..7).filter(|&day| on(day) && !on(day + 6));
    let runs = starts.map(|first| {
        let length = (1..7).take_while(|more| on(first + more)).count();
        let last = NAMES[(first + length) % 7];
        if length == 0 { last.to_owned() } else { format!("{}-{last}", NAMES[first]) }
    });
    runs.collect()
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
