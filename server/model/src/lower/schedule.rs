//! `schedules:` — a BACnet Schedule (ASHRAE 135) in readable form.

use super::calendar::{Days, ENTRY, entry};
use super::reader::{Fields, Reader, shortened};
use super::section::Section;
use crate::fields::{Field, ValueShape, free, needed};
use crate::kind::Kind;
use crate::names::{Name, Written};
use crate::quantity::{Quantity, UnitOfMeasure};
use crate::trade::Mode;
use calendar::Value;
use jiff::civil::Date;
use syntax::{NodeId, NodeKind};

const FIELDS: &[Field] = &[
    needed(
        "values",
        ValueShape::Either(&[
            ValueShape::Word(&["occupancy"]),
            ValueShape::Text,
            ValueShape::List(&ValueShape::LocalName),
        ]),
        "what it schedules: `occupancy`, a unit like \"°F\", or a list of states",
    ),
    needed(
        "default",
        ValueShape::Text,
        "the value when no day or exception applies, like `default: unoccupied`",
    ),
    free(
        "week",
        ValueShape::Named(&ValueShape::DayPlan),
        "windows for each day or range of days: `mon-fri: 08:00-17:30`",
    ),
    free("exceptions", ValueShape::List(&ValueShape::Fields(EXCEPTION)), "days that differ from the week"),
    free(
        "effective",
        ValueShape::Fields(EFFECTIVE),
        "the first and last day on which the schedule acts; always when left out",
    ),
];

const EXCEPTION: &[Field] = &[
    needed(
        "on",
        ValueShape::Either(&[
            ValueShape::NameOf(Kind::Calendar),
            ValueShape::Date,
            ValueShape::Fields(ENTRY),
        ]),
        "a calendar's name, a date, or an entry written as in a calendar",
    ),
    free("hours", ValueShape::DayPlan, "the hours of the day, in place of the week's"),
    free("also", ValueShape::DayPlan, "added to the day"),
    free("priority", ValueShape::Whole(1, 16), "1 wins over 16; 16 when left out"),
];

const EFFECTIVE: &[Field] =
    &[free("from", ValueShape::Date, "first day"), free("to", ValueShape::Date, "last day, itself included")];

/// What a schedule's values are.
#[derive(Clone, PartialEq, Debug)]
pub enum Values {
    /// `occupied` and `unoccupied`.
    Occupancy,
    /// Numbers with this unit.
    Quantity(UnitOfMeasure),
    /// States by name.
    States,
}

/// One value a schedule can take.
#[derive(Clone, PartialEq, Debug)]
pub struct ScheduleValue {
    /// As written: `occupied`, `70 °F`, `standby`.
    pub name: Name,
    /// Its number, for schedules of a quantity.
    pub quantity: Option<Quantity>,
}

impl ScheduleValue {
    /// Whether a relay driven by it is closed: the state `occupied` or `on`.
    pub fn is_on(&self) -> bool {
        self.name == Mode::Occupied.name() || self.name == "on"
    }

    /// Whether it can drive a relay at all.
    pub fn is_switch(&self) -> bool {
        self.is_on() || self.name == Mode::Unoccupied.name() || self.name == "off"
    }
}

/// One window as written; `start` may be at or after `end`, which a check reports.
#[derive(Clone, PartialEq, Debug)]
pub struct Window {
    /// Where it is written.
    pub at: NodeId,
    /// First minute of the local day.
    pub start: u16,
    /// Minute of the day at which it ends, 1440 at most.
    pub end: u16,
    /// Number of its value in [`Schedule::states`].
    pub value: Value,
}

/// Windows of some days of the week.
#[derive(Clone, PartialEq, Debug)]
pub struct DayRule {
    /// The key that names the days.
    pub at: NodeId,
    /// Monday to Sunday.
    pub days: [bool; 7],
    pub windows: Vec<Window>,
}

/// The days an exception is on.
#[derive(Clone, PartialEq, Debug)]
pub enum On {
    /// Those of a calendar.
    Calendar(Name),
    /// Those it names itself.
    Days(Days),
}

/// One exception.
#[derive(Clone, PartialEq, Debug)]
pub struct Exception {
    /// The whole exception.
    pub at: NodeId,
    /// Its days.
    pub on: Option<Written<On>>,
    /// Whether it replaces the day (`hours`) or adds to it (`also`).
    pub replaces: bool,
    pub windows: Vec<Window>,
    /// BACnet event priority, 1 to 16.
    pub priority: u8,
}

#[derive(Clone, PartialEq, Debug)]
pub struct Schedule {
    /// What its values are; nothing if that cannot be read.
    pub values: Option<Written<Values>>,
    /// The values it can take, the default's first; the index is a [`Value`].
    pub states: Vec<ScheduleValue>,
    /// Where the default is written.
    pub default_at: Option<NodeId>,
    /// The value a window gives way to at its end, and `none` means.
    pub off: Value,
    pub week: Vec<DayRule>,
    /// Exceptions in the order written.
    pub exceptions: Vec<Exception>,
    /// First and last day on which it acts.
    pub effective: (Option<Date>, Option<Date>),
    /// Where that is written.
    pub effective_at: Option<NodeId>,
}

impl Section for Schedule {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<Schedule> {
        Some(lower(r))
    }
}

fn lower(r: &mut Reader<'_>) -> Schedule {
    let f = r.fields(r.part.value(), FIELDS, "a schedule");
    let mut s = Schedule {
        values: None,
        states: Vec::new(),
        default_at: f.get("default"),
        off: 0,
        week: Vec::new(),
        exceptions: Vec::new(),
        effective: (None, None),
        effective_at: f.key("effective"),
    };
    let mut allowed = None;
    if let Some(node) = f.get("values") {
        (s.values, allowed) = values(r, node);
    }
    let mut plan = Planner { schedule: s, allowed };
    if let Some(node) = f.get("default") {
        plan.value(r, node);
    }
    if plan.schedule.states.is_empty() {
        // Something must stand for the default that could not be read.
        plan.schedule
            .states
            .push(ScheduleValue { name: Name::new_static(Mode::Unoccupied.name()), quantity: None });
    }
    if plan.is_occupancy() {
        plan.schedule.off = plan.state(Mode::Unoccupied.name());
    }
    plan.week(r, &f);
    plan.exceptions(r, &f);
    if let Some(node) = f.get("effective") {
        let e = r.fields(node, EFFECTIVE, "`effective`");
        let mut date = |key| e.get(key).and_then(|n| r.date(n));
        plan.schedule.effective = (date("from"), date("to"));
    }
    plan.schedule
}

fn values(r: &mut Reader<'_>, node: NodeId) -> (Option<Written<Values>>, Option<Vec<Name>>) {
    if r.part.kind(node) == NodeKind::List {
        let mut states = Vec::new();
        for item in r.list(node) {
            states.extend(r.name(item, "the name of a state").map(|n| n.value));
        }
        return (Some(Written::new(Values::States, node)), Some(states));
    }
    let Some(text) = r.text(node, "`occupancy`, a unit of measure, or a list of states") else {
        return (None, None);
    };
    let values = match (text, UnitOfMeasure::parse(text)) {
        ("occupancy", _) => Values::Occupancy,
        (_, Some(unit)) => Values::Quantity(unit),
        _ => {
            r.unfit(
                node,
                format!(
                    "Unknown value `{}`. Use `occupancy`, a unit of measure like `°F`, or a list of states.",
                    shortened(text)
                ),
            );
            return (None, None);
        }
    };
    let allowed = (values == Values::Occupancy)
        .then(|| [Mode::Unoccupied, Mode::Occupied].map(|mode| mode.name().into()).to_vec());
    (Some(Written::new(values, node)), allowed)
}

struct Planner {
    schedule: Schedule,
    allowed: Option<Vec<Name>>,
}

impl Planner {
    fn is_occupancy(&self) -> bool {
        self.schedule.values.as_ref().is_some_and(|v| v.value == Values::Occupancy)
    }

    fn state(&mut self, name: &str) -> Value {
        let states = &mut self.schedule.states;
        let found = states.iter().position(|s| s.name == name).unwrap_or_else(|| {
            states.push(ScheduleValue { name: Name::new(name), quantity: None });
            states.len() - 1
        });
        found as Value
    }

    /// The number of the value that a node states.
    fn value(&mut self, r: &mut Reader<'_>, node: NodeId) -> Option<Value> {
        let text = r.text(node, "a value")?;
        if let Some(Written { value: Values::Quantity(unit), .. }) = &self.schedule.values {
            let unit = *unit;
            let example = format!("70 {}", unit.symbol());
            let measure = crate::quantity::measures_of(unit);
            let quantity = r.quantity(node, measure, &example)?.value;
            let number = self.state(&quantity.to_string());
            if let Some(state) = self.schedule.states.get_mut(usize::from(number)) {
                state.quantity = Some(quantity);
            }
            return Some(number);
        }
        if let Some(allowed) = &self.allowed
            && !allowed.iter().any(|a| a == text)
        {
            let names = crate::word_list::list_words(allowed.iter().map(Name::as_str), "or");
            r.unfit(node, format!("`{}` is not a value of this schedule. Use {names}.", shortened(text)));
            return None;
        }
        Some(self.state(text))
    }

    fn week(&mut self, r: &mut Reader<'_>, f: &Fields) {
        let Some(node) = f.get("week") else { return };
        for (days, value) in r.named(node, "`week`") {
            match parse_days(&days.value) {
                Some(set) => {
                    let windows = self.windows(r, value);
                    self.schedule.week.push(DayRule { at: days.at, days: set, windows });
                }
                None => r.unfit(
                    days.at,
                    format!(
                        "`{}` is not a day. Use `mon`, `tue`, `wed`, `thu`, `fri`, `sat`, `sun`, or a range like `mon-fri`.",
                        days.value
                    ),
                ),
            }
        }
    }

    fn exceptions(&mut self, r: &mut Reader<'_>, f: &Fields) {
        let Some(list) = f.get("exceptions") else { return };
        for node in r.list(list) {
            let e = r.fields(node, EXCEPTION, "an exception");
            let on = e.get("on").and_then(|n| on(r, n));
            let (replaces, plan) = match (e.get("hours"), e.get("also")) {
                (Some(hours), None) => (true, hours),
                (None, Some(also)) => (false, also),
                (hours, _) => {
                    if r.part.kind(node) == NodeKind::Map && !r.part.broken() {
                        let wrong = if hours.is_some() {
                            "both `hours` and `also`"
                        } else {
                            "neither `hours` nor `also`"
                        };
                        r.unfit(node, format!("This exception has {wrong}. Write `hours` to replace the day, or `also` to add to it."));
                    }
                    continue;
                }
            };
            let windows = self.windows(r, plan);
            let priority = e.get("priority").and_then(|n| r.whole(n, 1, 16, "`priority`"));
            self.schedule.exceptions.push(Exception {
                at: node,
                on,
                replaces,
                windows,
                priority: priority.map_or(16, |p| p as u8),
            });
        }
    }

    /// The windows of a day: one, a list, `all-day`, `none`, or windows with values.
    fn windows(&mut self, r: &mut Reader<'_>, node: NodeId) -> Vec<Window> {
        let mut windows = Vec::new();
        match r.part.kind(node) {
            NodeKind::Map => {
                for (text, value) in r.named(node, "the day") {
                    let value = self.value(r, value);
                    if let (Some((start, end)), Some(value)) = (times(r, text.at, &text.value), value) {
                        windows.push(Window { at: text.at, start, end, value });
                    }
                }
            }
            NodeKind::Null => r.unfit(
                node,
                "This day has no hours. Write them like `08:00-17:30`, or `none` if it is closed.",
            ),
            NodeKind::Scalar if matches!(r.part.scalar(node), Some("none")) => {}
            NodeKind::Scalar | NodeKind::List => {
                for item in r.list(node) {
                    let Some(text) = r.text(item, "hours like `08:00-17:30`") else { continue };
                    let Some((start, end)) = times(r, item, text) else { continue };
                    if self.is_occupancy() {
                        let value = self.state(Mode::Occupied.name());
                        windows.push(Window { at: item, start, end, value });
                    } else if self.schedule.values.is_some() {
                        r.unfit(
                            item,
                            format!(
                                "This schedule needs a value for each window. Write `{{{}: VALUE}}`.",
                                shortened(text)
                            ),
                        );
                    }
                }
            }
        }
        windows
    }
}

fn on(r: &mut Reader<'_>, node: NodeId) -> Option<Written<On>> {
    if r.part.kind(node) == NodeKind::Map {
        return entry(r, node).map(|days| Written::new(On::Days(days), node));
    }
    let text = r.text(node, "a calendar's name or a date")?;
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        let date = r.date(node)?;
        let days = Days::Occurrence(calendar::Occurrence::Date(date));
        return Some(Written::new(On::Days(days), node));
    }
    r.reference(node, Kind::Calendar).map(|name| name.map(On::Calendar))
}

const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// `mon`, `monday`, `mon-fri`, `sat-sun`; a range may pass the week's end.
fn parse_days(text: &str) -> Option<[bool; 7]> {
    let day = |t: &str| {
        let t = t.trim().to_lowercase();
        let full = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
        DAYS.iter().position(|d| *d == t).or_else(|| full.iter().position(|d| *d == t))
    };
    let mut set = [false; 7];
    if let Some((first, last)) = text.split_once('-') {
        let (first, last) = (day(first)?, day(last)?);
        let length = (last + 7 - first) % 7;
        (0..=length).for_each(|i| set[(first + i) % 7] = true);
    } else {
        set[day(text)?] = true;
    }
    Some(set)
}

/// `08:00-17:30` or `all-day`, in minutes of the day.
fn times(r: &mut Reader<'_>, node: NodeId, text: &str) -> Option<(u16, u16)> {
    if text == "all-day" {
        return Some((0, 1440));
    }
    let minute = |t: &str| -> Option<u16> {
        let (hour, minute) = t.trim().split_once(':')?;
        let ok = |t: &str| (1..=2).contains(&t.len()) && t.bytes().all(|b| b.is_ascii_digit());
        if !ok(hour) || minute.len() != 2 || !ok(minute) {
            return None;
        }
        let (hour, minute): (u16, u16) = (hour.parse().ok()?, minute.parse().ok()?);
        (minute < 60 && hour * 60 + minute <= 1440).then_some(hour * 60 + minute)
    };
    let found = text.split_once(['-', '–']).and_then(|(start, end)| Some((minute(start)?, minute(end)?)));
    if found.is_none() {
        r.unfit(
            node,
            format!(
                "`{}` cannot be read as hours. Write them like `08:00-17:30`, or use `all-day` or `none`.",
                shortened(text)
            ),
        );
    }
    found
}
