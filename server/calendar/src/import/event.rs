//! One event: its times, how long it lasts and how it repeats.

use calcard::common::PartialDateTime;
use calcard::common::timezone::Tz;
use calcard::icalendar::{
    ICalendar, ICalendarComponent, ICalendarComponentType, ICalendarEntry, ICalendarParameterName,
    ICalendarPeriod, ICalendarProperty as Property, ICalendarRecurrenceRule, ICalendarStatus,
    ICalendarValue as Content,
};
use jiff::SignedDuration;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;

use super::text::{Block, BlockKind};
use super::zone::{Zones, component_of};
use super::{ImportProblem, clock};

const DAY: SignedDuration = SignedDuration::from_hours(24);

/// A clock reading as the file writes it.
#[derive(Clone, Debug)]
pub(super) struct Stamp {
    pub(super) at: DateTime,
    /// A date without a time; `at` is its midnight.
    whole_day: bool,
    /// `None` for dates and for times without a zone, which are the site's.
    pub(super) zone: Option<TimeZone>,
}

/// An event of the file, all its times in the zone of its start.
pub(super) struct Event {
    pub(super) line: usize,
    pub(super) uid: String,
    pub(super) summary: String,
    pub(super) cancelled: bool,
    pub(super) start: Stamp,
    pub(super) lasts: SignedDuration,
    pub(super) recurrence: Option<Recurrence>,
    /// `RDATE`.
    pub(super) more_starts: Vec<DateTime>,
    /// `RECURRENCE-ID`: the occurrence of another event that this one stands for.
    pub(super) replaces: Option<Stamp>,
    excluded: Vec<Stamp>,
}

/// How an event repeats.
pub(super) struct Recurrence {
    pub(super) line: usize,
    rule: Box<ICalendarRecurrenceRule>,
}

impl Event {
    /// Reads one block; `None` with a problem noted where it cannot be used.
    pub(super) fn read(block: &Block<'_>, zones: &Zones, problems: &mut Vec<ImportProblem>) -> Option<Self> {
        if block.kind != BlockKind::Event {
            return None;
        }
        let mut reader = Reader { block, zones, problems };
        let event = match component_of(block) {
            Some(component) => reader.event(&component),
            None => Err(reader.left_out("VEVENT", "the event cannot be read")),
        };
        event.map_err(|problem| problems.push(problem)).ok()
    }

    /// Takes an occurrence out.
    pub(super) fn exclude(&mut self, stamp: &Stamp) {
        self.excluded.push(stamp.in_zone_of(&self.start));
    }

    pub(super) fn is_excluded(&self, start: DateTime) -> bool {
        self.excluded
            .iter()
            .any(|stamp| stamp.at == start || (stamp.whole_day && stamp.at.date() == start.date()))
    }
}

/// Reads one event. An `Err` is the reason why it is left out.
struct Reader<'a> {
    block: &'a Block<'a>,
    zones: &'a Zones,
    problems: &'a mut Vec<ImportProblem>,
}

impl Reader<'_> {
    fn left_out(&self, property: &str, why: &str) -> ImportProblem {
        let line = self.block.line_of(property);
        ImportProblem { line, message: format!("{why}, so the event is left out") }
    }

    fn event(&mut self, component: &ICalendarComponent) -> Result<Event, ImportProblem> {
        let first = |name| component.property(&name).and_then(|entry| entry.values.first());
        let text = |name| first(name).and_then(Content::as_text).unwrap_or_default().to_owned();
        let Some(entry) = component.property(&Property::Dtstart) else {
            return Err(self.left_out("VEVENT", "the event has no date (`DTSTART`)"));
        };
        let start = self.stamp_of(entry, "DTSTART")?;
        let mut event = Event {
            line: self.block.line,
            uid: text(Property::Uid),
            summary: text(Property::Summary),
            cancelled: matches!(first(Property::Status), Some(Content::Status(ICalendarStatus::Cancelled))),
            lasts: self.duration(component, &start)?,
            recurrence: match component.property(&Property::Rrule) {
                Some(entry) => Some(self.recurrence(entry, &start)?),
                None => None,
            },
            start,
            more_starts: Vec::new(),
            replaces: None,
            excluded: Vec::new(),
        };
        for entry in &component.entries {
            match entry.name {
                Property::Rdate => {
                    let stamps = self.stamps(entry, "RDATE")?;
                    event.more_starts.extend(stamps.iter().map(|stamp| stamp.in_zone_of(&event.start).at));
                }
                Property::Exdate => {
                    self.stamps(entry, "EXDATE")?.iter().for_each(|stamp| event.exclude(stamp));
                }
                Property::RecurrenceId
                    if entry.parameters(&ICalendarParameterName::Range).next().is_some() =>
                {
                    return Err(
                        self.left_out("RECURRENCE-ID", "`RECURRENCE-ID` changes all later repeats, too")
                    );
                }
                Property::RecurrenceId => {
                    event.replaces = Some(self.stamp_of(entry, "RECURRENCE-ID")?);
                }
                _ => {}
            }
        }
        Ok(event)
    }

    fn duration(
        &mut self,
        component: &ICalendarComponent,
        start: &Stamp,
    ) -> Result<SignedDuration, ImportProblem> {
        let lasts = if let Some(entry) = component.property(&Property::Dtend) {
            let end = self.stamp_of(entry, "DTEND")?.in_zone_of(start);
            end.at.duration_since(start.at)
        } else if let Some(entry) = component.property(&Property::Duration) {
            let Some(Content::Duration(duration)) = entry.values.first() else {
                return Err(self.left_out("DURATION", "`DURATION` is not a duration like `P1D`"));
            };
            SignedDuration::from_secs(duration.as_seconds())
        } else {
            SignedDuration::ZERO
        };
        if lasts.is_negative() {
            return Err(self.left_out("VEVENT", "the event ends before it starts"));
        }
        // Without an end an all-day event is one day; some programs end it on its own day.
        Ok(if start.whole_day { lasts.max(DAY) } else { lasts })
    }

    fn recurrence(&mut self, entry: &ICalendarEntry, start: &Stamp) -> Result<Recurrence, ImportProblem> {
        let Some(Content::RecurrenceRule(rule)) = entry.values.first() else {
            return Err(self.left_out("RRULE", "`RRULE` is not a repeat rule like `FREQ=YEARLY`"));
        };
        let source = self.block.value_of("RRULE").to_ascii_uppercase();
        for part in ["COUNT", "INTERVAL"] {
            let zero = |rule: &str| {
                let value = rule.strip_prefix(part).and_then(|rest| rest.strip_prefix('='));
                value.is_some_and(|value| !value.is_empty() && value.bytes().all(|digit| digit == b'0'))
            };
            if source.split(';').any(|rule| zero(rule.trim())) {
                return Err(
                    self.left_out("RRULE", &format!("`RRULE` has `{part}=0`, which must be 1 or more"))
                );
            }
        }
        let mut rule = rule.clone();
        if let Some(until) = rule.until.take() {
            let Some(until) = stamp(&until, None) else {
                return Err(self.left_out("RRULE", "`RRULE` has no valid date after `UNTIL`"));
            };
            // calcard compares clock readings, so the limit must be read on the same clock.
            let until = until.in_zone_of(start);
            let until = if until.whole_day { until.at.date().at(23, 59, 59, 0) } else { until.at };
            rule.until = Some(written(until));
        }
        Ok(Recurrence { line: self.block.line_of("RRULE"), rule })
    }

    fn stamp_of(&mut self, entry: &ICalendarEntry, property: &str) -> Result<Stamp, ImportProblem> {
        let first = self.stamps(entry, property)?.into_iter().next();
        first.ok_or_else(|| self.left_out(property, &format!("`{property}` is empty")))
    }

    fn stamps(&mut self, entry: &ICalendarEntry, property: &str) -> Result<Vec<Stamp>, ImportProblem> {
        let zone = entry.tz_id().and_then(|id| {
            let zone = self.zones.get(id);
            if zone.is_none() {
                let message =
                    format!("the time zone `{id}` is unknown, so the event is read in the site's local time");
                self.problems.push(ImportProblem { line: self.block.line_of(property), message });
            }
            zone
        });
        let stamps = entry.values.iter().map(|value| match value {
            Content::PartialDateTime(time) => stamp(time, zone.as_ref()),
            Content::Period(
                ICalendarPeriod::Range { start, .. } | ICalendarPeriod::Duration { start, .. },
            ) => stamp(start, zone.as_ref()),
            _ => None,
        });
        let stamps: Option<Vec<Stamp>> = stamps.collect();
        stamps.ok_or_else(|| self.left_out(property, &format!("`{property}` is not a date like `20271225`")))
    }
}

fn stamp(time: &PartialDateTime, zone: Option<&TimeZone>) -> Option<Stamp> {
    let read = time.to_date_time()?;
    let ahead = read.offset.map(|offset| i64::from(offset.local_minus_utc()));
    let at = clock(read.date_time.and_utc().timestamp() - ahead.unwrap_or(0))?;
    let zone = match (time.has_time(), ahead) {
        (false, _) => None,
        (true, None) => zone.cloned(),
        (true, Some(_)) => Some(TimeZone::UTC),
    };
    Some(Stamp { at, whole_day: !time.has_time(), zone })
}

impl Stamp {
    /// The same instant on the clock of another; dates and zoneless times stay what they are.
    fn in_zone_of(&self, other: &Self) -> Self {
        let at = match (&self.zone, &other.zone) {
            (Some(own), Some(other)) => own.to_timestamp(self.at).map(|instant| other.to_datetime(instant)),
            _ => Ok(self.at),
        };
        Self { at: at.unwrap_or(self.at), whole_day: self.whole_day, zone: other.zone.clone() }
    }
}

/// A clock reading in calcard's form, without a zone.
fn written(at: DateTime) -> PartialDateTime {
    PartialDateTime {
        year: u16::try_from(at.year()).ok(),
        month: Some(at.month().unsigned_abs()),
        day: Some(at.day().unsigned_abs()),
        hour: Some(at.hour().unsigned_abs()),
        minute: Some(at.minute().unsigned_abs()),
        second: Some(at.second().unsigned_abs()),
        ..PartialDateTime::default()
    }
}

impl Recurrence {
    /// Starts from `first` to `last`, at most `most`.
    ///
    /// calcard sees the start and the rule only, on a clock without a zone: its own handling of
    /// other properties leaves `EXDATE` out of account where there is no rule, and joins the
    /// replaced occurrences of unlike events.
    pub(super) fn starts(
        &self,
        first: DateTime,
        last: DateTime,
        most: usize,
    ) -> Result<Vec<DateTime>, String> {
        let mut rule = self.rule.clone();
        let limit = written(last);
        if rule.until.as_ref().is_none_or(|until| *until > limit) {
            rule.until = Some(limit);
        }
        let entry = |name, value| ICalendarEntry { name, params: Vec::new(), values: vec![value] };
        let event = ICalendarComponent {
            component_type: ICalendarComponentType::VEvent,
            entries: vec![
                entry(Property::Dtstart, Content::PartialDateTime(Box::new(written(first)))),
                entry(Property::Rrule, Content::RecurrenceRule(rule)),
            ],
            component_ids: Vec::new(),
        };
        let expanded = ICalendar { components: vec![event] }.expand_dates(Tz::Floating, most);
        match expanded.errors.into_iter().next() {
            Some(error) => Err(error.error.to_string()),
            None => Ok(expanded.events.iter().filter_map(|event| clock(event.start.timestamp())).collect()),
        }
    }
}
