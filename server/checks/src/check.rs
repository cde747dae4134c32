//! What a check is, and what it reports.

use crate::about::About;
use crate::context::Ctx;
use crate::repair::proposal::Proposal;
use analysis::Because;
use model::{
    Calendar, Deviation, Device, EntryId, Found, Job, Kind, Name, Place, Point, Requirement, Schedule,
    SiteField, Spot, Unit, UnitType, Zone,
};
use std::borrow::Cow;

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

/// Proposes repairs of one finding.
pub(crate) type Maker = fn(&Ctx<'_>, &Finding, &mut Vec<Proposal>);

type Of<T> = fn(&Ctx<'_>, Found<'_, T>, &mut Sink);

/// The code of a check: called once for each entry of a kind, it reports places in that entry only.
#[derive(Debug)]
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

/// Something wrong with a job, at a place in the entry it was found in.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The check that found it.
    pub check: &'static Check,
    /// What in the entry it is about, which tells it from other findings of the check.
    pub about: About,
    /// How bad it is.
    pub severity: Severity,
    /// Where, in the entry that was looked at.
    pub spot: Spot,
    /// What is wrong, its effect, and what to do, in sentences; without what is known only when it is [shown](Finding::shown).
    pub message: String,
    /// A name that nothing goes by, where the message is to end with the names near it.
    pub missing: Option<(Kind, Name)>,
    /// The written facts that force it, each at its place.
    pub because: Vec<Because>,
    /// Whether it marks something without use, which editors can show dimmed.
    pub unused: bool,
    /// What may be written in place of what it marks, the likeliest first.
    pub instead: Vec<String>,
}

impl Finding {
    /// The message as people read it, with the names of the job as they are now.
    pub fn shown(&self, job: &Job) -> Cow<'_, str> {
        let Some((kind, name)) = &self.missing else { return Cow::Borrowed(&self.message) };
        let near = job.near(*kind, name);
        let advice = if near.is_empty() {
            format!("Correct the name, or add it under `{}:`.", kind.section())
        } else {
            model::did_you_mean(name, near.iter().map(Name::as_str))
        };
        Cow::Owned(format!("{} {advice}", self.message))
    }

    /// Gives back the room it does not need: it may be kept for long.
    pub(crate) fn shrink(&mut self) {
        self.message.shrink_to_fit();
        self.because.shrink_to_fit();
        self.because.iter_mut().for_each(|because| because.text.shrink_to_fit());
    }
}

/// A finding that a check is not done with.
pub(crate) struct FindingBuilder(pub(crate) Finding);

impl FindingBuilder {
    /// Gives it a severity of its own.
    pub(crate) fn severity(&mut self, severity: Severity) -> &mut Self {
        self.0.severity = severity;
        self
    }

    /// Has its message end with the names near one that nothing goes by. They are looked up when it is shown, so
    /// that the outcome of a check depends on no name but those it asks for.
    pub(crate) fn missing(&mut self, kind: Kind, name: Name) -> &mut Self {
        self.0.missing = Some((kind, name));
        self
    }

    /// Adds a reason.
    pub(crate) fn because(&mut self, place: Place, text: impl Into<String>) -> &mut Self {
        let because = Because { place, text: text.into() };
        if !self.0.because.contains(&because) {
            self.0.because.push(because);
        }
        self
    }

    /// Says what may be written in place of what it marks, the likeliest first.
    pub(crate) fn instead(&mut self, texts: impl IntoIterator<Item = impl Into<String>>) -> &mut Self {
        self.0.instead = texts.into_iter().map(Into::into).collect();
        self
    }

    /// Marks it as being about something without use.
    pub(crate) fn unused(&mut self) -> &mut Self {
        self.0.unused = true;
        self
    }
}

/// A check that would look, were it not for a finding of another.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HeldBackNote {
    /// The check that would look.
    pub check: &'static str,
    /// About what; about anything, where it does not say.
    pub about: Option<About>,
    /// The check whose finding holds it back.
    pub by: &'static str,
    /// Where that finding lies.
    pub at: EntryId,
}

impl HeldBackNote {
    pub(crate) fn is_about(&self, finding: &Finding) -> bool {
        self.check == finding.check.id && self.about.as_ref().is_none_or(|about| *about == finding.about)
    }
}

/// Takes the findings of one check after another on one entry.
pub struct Sink {
    /// The check that runs.
    pub(crate) check: &'static Check,
    pub(crate) found: Vec<FindingBuilder>,
    /// What checks would report but for a fault; only where somebody asks for it.
    pub(crate) held: Option<Vec<HeldBackNote>>,
}

impl Sink {
    pub(crate) fn new(check: &'static Check) -> Sink {
        Sink { check, found: Vec::new(), held: None }
    }

    /// Reports a finding about something in the entry that is looked at, at a spot of it.
    pub(crate) fn report(
        &mut self,
        about: About,
        spot: impl Into<Spot>,
        message: impl Into<String>,
    ) -> &mut FindingBuilder {
        let (check, last) = (self.check, self.found.len());
        self.found.push(FindingBuilder(Finding {
            check,
            about,
            severity: check.severity,
            spot: spot.into(),
            message: message.into(),
            missing: None,
            because: Vec::new(),
            unused: false,
            instead: Vec::new(),
        }));
        &mut self.found[last]
    }

    /// Says that the check would look, were it not for what another check reports at an entry: about one thing, or
    /// at all.
    pub(crate) fn held_back(&mut self, about: Option<About>, by: &'static str, at: EntryId) {
        if let Some(held) = &mut self.held {
            held.push(HeldBackNote { check: self.check.id, about, by, at });
        }
    }
}
