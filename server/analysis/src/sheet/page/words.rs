//! Times and names, short enough for a drawing.

use calendar::{Date, LocalTime, Period};
use model::{Service, SiteField, View};

const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// `Fri Mar 5`.
pub(super) fn short_date(date: Date) -> String {
    let day = DAYS.get(date.weekday().to_monday_zero_offset() as usize).copied().unwrap_or_default();
    let month = usize::try_from(date.month()).ok().and_then(|m| MONTHS.get(m.checked_sub(1)?));
    format!("{day} {} {}", month.copied().unwrap_or_default(), date.day())
}

/// `Fri Mar 5 18:00`; the end of the period is the end of its last day.
pub(super) fn short_moment(period: &Period, instant: i64) -> String {
    match period.local(instant) {
        Some(LocalTime { date, minute }) => format!("{} {}", short_date(date), clock(minute)),
        None => format!("{} 24:00", short_date(period.last_date())),
    }
}

/// `07:30`; the end of a day is `24:00`.
pub(super) fn clock(minute: u16) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// What a service does, as an order: `dehumidify`, `cool`, `serve`.
pub(super) fn verb(service: &str) -> String {
    let call = Service::of(service).and_then(|known| known.calls().next());
    match call {
        // A call that is named like an order says it.
        Some(call) if call.plain_words() == call.name() => call.name().to_owned(),
        _ => service.strip_suffix("ing").map_or_else(|| format!("run {service}"), str::to_owned),
    }
}

/// The name of the site.
pub(super) fn site_name(view: &View<'_>) -> Option<String> {
    match view.site_field("name")? {
        (_, SiteField::Name(name)) => Some(name.value.to_string()),
        _ => None,
    }
}
