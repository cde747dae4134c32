//! What a check is.

use crate::context::Ctx;
use crate::finding::Sink;
use crate::repair::Maker;
use model::{
    Calendar, Deviation, Device, Found, Point, Requirement, Schedule, SiteField, Unit, UnitType, Zone,
};

/// How bad a finding is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Severity {
    /// Advice.
    Note,
    /// Works against the intent or a published limit.
    Warning,
    /// Cannot work as written.
    Error,
}

impl Severity {
    /// `error`, `warning` or `note`.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// One check. Its file holds its page, its code and its repair; the registry is
/// [`ALL`](crate::ALL).
#[derive(Debug)]
pub struct Check {
    /// Its name: of its file, in output, in deviations.
    pub id: &'static str,
    /// The severity its findings have unless they say otherwise.
    pub severity: Severity,
    /// The text of its own file, whose head is its page.
    pub source: &'static str,
    /// Its code, by what it looks at.
    pub run: Run,
    /// What proposes repairs of its findings; each proposal has still to be proven.
    pub repairs: &'static [Maker],
}

type Of<T> = fn(&Ctx<'_>, Found<'_, T>, &mut Sink);

/// The code of a check: called once for each entry of a kind, it reports places in that entry only.
#[derive(Debug)]
#[allow(missing_docs)] // the kinds of entries
pub enum Run {
    /// Any entry, headers and strays included.
    Entry(fn(&Ctx<'_>, &mut Sink)),
    Site(fn(&Ctx<'_>, &SiteField, &mut Sink)),
    Calendar(Of<Calendar>),
    Schedule(Of<Schedule>),
    Zone(Of<Zone>),
    Unit(Of<Unit>),
    Device(Of<Device>),
    Point(Of<Point>),
    UnitType(Of<UnitType>),
    Requirement(Of<Requirement>),
    /// A deviation stated in any entry, with the number of findings that it hides.
    Deviation(fn(&Deviation, usize, &mut Sink)),
}

impl Check {
    /// Its page: the head of its file, as Markdown.
    pub fn page(&self) -> String {
        let mut page = String::new();
        for line in self.source.lines().map_while(|line| line.strip_prefix("//!")) {
            page.push_str(line.strip_prefix(' ').unwrap_or(line));
            page.push('\n');
        }
        page
    }

    /// The first sentence of its page: what it finds.
    pub fn summary(&self) -> String {
        let page = self.page();
        let text = page.lines().skip_while(|l| l.starts_with('#') || l.trim().is_empty());
        let paragraph: Vec<&str> = text.take_while(|l| !l.trim().is_empty()).collect();
        paragraph.join(" ")
    }
}
