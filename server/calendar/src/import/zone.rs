//! Which time zone a `TZID` means.

use std::collections::BTreeMap;
use std::str::FromStr;

use calcard::common::timezone::Tz;
use calcard::icalendar::{ICalendar, ICalendarComponent};
use jiff::tz::{TimeZone, TimeZoneDatabase};

use super::text::{Block, BlockKind};

/// Zones by the names a file gives them.
pub(super) struct Zones {
    declared: BTreeMap<String, TimeZone>,
}

impl Zones {
    /// The zones that a file's `VTIMEZONE` components tie to a zone of the IANA database.
    pub(super) fn declared(blocks: &[Block<'_>]) -> Self {
        let zones = blocks.iter().filter(|block| block.kind == BlockKind::Zone);
        let declared = zones.filter_map(|block| {
            let component = component_of(block)?;
            let (name, zone) = component.timezone()?;
            Some((name.to_owned(), by_name(&zone.name()?)?))
        });
        Self { declared: declared.collect() }
    }

    /// The zone of a `TZID`; `None` where nobody knows it.
    pub(super) fn get(&self, id: &str) -> Option<TimeZone> {
        let id = id.trim().trim_start_matches('/');
        // Some programs write names of their own; calcard knows the widespread ones.
        let guessed = || by_name(&Tz::from_str(id).ok()?.name()?);
        by_name(id).or_else(|| self.declared.get(id).cloned()).or_else(guessed)
    }
}

fn by_name(name: &str) -> Option<TimeZone> {
    TimeZoneDatabase::bundled().get(name).ok()
}

/// Parses one block alone.
pub(super) fn component_of(block: &Block<'_>) -> Option<ICalendarComponent> {
    let alone = format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{}\r\nEND:VCALENDAR\r\n", block.text.trim_end());
    let calendar = ICalendar::parse(&alone).ok()?;
    calendar.components.into_iter().nth(1)
}
