//! `calendars:` — dates, ranges, week-and-day in words, imports.

use super::reader::Reader;
use super::section::Section;
use crate::fields::{Field, ValueShape, free};
use crate::names::{Name, Written};
use calendar::{Occurrence, parse_week_n_day};
use syntax::{NodeId, NodeKind};

/// Keys of one calendar entry; which go together is in [`entry`].
pub(crate) const ENTRY: &[Field] = &[
    free("date", ValueShape::Date, "one day"),
    free("from", ValueShape::Date, "the first day of a range"),
    free("to", ValueShape::Date, "the last day of a range, itself included"),
    free("every", ValueShape::Text, "week and day in words: `last monday of may`, `every friday`"),
    free("import", ValueShape::Text, "an iCalendar file (RFC 5545) inside the job folder"),
];

/// A calendar: the days it names.
#[derive(Clone, PartialEq, Debug)]
pub struct Calendar {
    /// Its entries in the order written.
    pub entries: Box<[Written<Days>]>,
}

/// Days, as one entry of a calendar or an exception names them.
#[derive(Clone, PartialEq, Debug)]
pub enum Days {
    /// By the standard's rules.
    Occurrence(Occurrence),
    /// All days of a file, by its path as written.
    Import(Name),
}

impl Section for Calendar {
    const ENTRY: ValueShape = ValueShape::List(&ValueShape::Fields(ENTRY));

    fn lower(r: &mut Reader<'_>) -> Option<Calendar> {
        Some(lower(r))
    }
}

fn lower(r: &mut Reader<'_>) -> Calendar {
    let value = r.part.value();
    if r.part.kind(value) == NodeKind::Null && !r.part.broken() {
        r.unfit(
            r.part.key_node(),
            "This calendar has no days. List them, like `- {date: 2027-12-25}`, or write `[]` if it has none.",
        );
    }
    let mut entries = Vec::new();
    for node in r.list(value) {
        entries.extend(entry(r, node).map(|days| Written::new(days, node)));
    }
    Calendar { entries: entries.into() }
}

/// One entry, as in a calendar; also what an exception's `on` may hold.
pub(crate) fn entry(r: &mut Reader<'_>, node: NodeId) -> Option<Days> {
    let f = r.fields(node, ENTRY, "a calendar entry");
    let keys: Vec<&str> = f.iter().map(|(key, ..)| key).collect();
    match keys.as_slice() {
        ["date"] => {
            let date = r.date(f.get("date")?)?;
            Some(Days::Occurrence(Occurrence::Date(date)))
        }
        ["from" | "to"] | ["from", "to"] | ["to", "from"] => {
            let from = f.get("from").and_then(|n| r.date(n));
            let to = f.get("to").and_then(|n| r.date(n));
            if let (Some(first), Some(last)) = (from, to)
                && last < first
            {
                r.unfit(
                    f.get("to")?,
                    format!("The range ends on `{last}`, before it starts on `{first}`. Swap the two dates."),
                );
                return None;
            }
            // A date that could not be read must not turn into an open end.
            (from.is_some() == f.get("from").is_some() && to.is_some() == f.get("to").is_some())
                .then_some(Days::Occurrence(Occurrence::Range { from, to }))
        }
        ["every"] => {
            let at = f.get("every")?;
            let words = r.text(at, "week and day in words, like `last monday of may`")?;
            match parse_week_n_day(words) {
                Ok(occurrence) => Some(Days::Occurrence(occurrence)),
                Err(message) => {
                    r.unfit(at, message);
                    None
                }
            }
        }
        ["import"] => {
            let path = r.name(f.get("import")?, "a file name")?.value;
            r.imports.push(path.clone());
            Some(Days::Import(path))
        }
        [] => {
            if r.part.kind(node) == NodeKind::Map {
                r.unfit(node, ONE_OF);
            }
            None
        }
        _ => {
            r.unfit(
                node,
                format!(
                    "{} do not go together. {ONE_OF}",
                    crate::word_list::list_words(keys.into_iter(), "and")
                ),
            );
            None
        }
    }
}

const ONE_OF: &str = "Write one of `date`, `from` with `to`, `every` or `import`.";
