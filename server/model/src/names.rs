//! Names, kinds of things, and facts that remember where they were written.

use smol_str::SmolStr;
use syntax::NodeId;

/// A name as written: of a point, a zone, an option. Short ones (23 bytes) are stored in place.
pub type Name = SmolStr;

/// What an entry declares; one kind for each section of a job.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Kind {
    /// One field of `site:`.
    Site,
    /// A calendar of closures.
    Calendar,
    /// A BACnet Schedule in readable form.
    Schedule,
    /// A thermostat zone.
    Zone,
    /// A unit with its options and wiring.
    Unit,
    /// A BACnet device.
    Device,
    /// One line of the point list.
    Point,
    /// A type of unit, built in or the job's own.
    UnitType,
    /// One line of the Owner's Project Requirements.
    Requirement,
}

impl Kind {
    /// Every kind, in the order sections are shown.
    pub const ALL: [Kind; 9] = [
        Kind::Site,
        Kind::Calendar,
        Kind::Schedule,
        Kind::Zone,
        Kind::Unit,
        Kind::Device,
        Kind::Point,
        Kind::UnitType,
        Kind::Requirement,
    ];

    /// The section that declares this kind: `points` for [`Kind::Point`].
    pub fn section(self) -> &'static str {
        match self {
            Kind::Site => "site",
            Kind::Calendar => "calendars",
            Kind::Schedule => "schedules",
            Kind::Zone => "zones",
            Kind::Unit => "units",
            Kind::Device => "devices",
            Kind::Point => "points",
            Kind::UnitType => "unit-types",
            Kind::Requirement => "requirements",
        }
    }

    /// The kind that a section declares, if it is one of ours.
    pub fn of_section(section: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|k| k.section() == section)
    }

    /// One of them, in words: `unit type`.
    pub fn noun(self) -> &'static str {
        match self {
            Kind::Site => "site setting",
            Kind::Calendar => "calendar",
            Kind::Schedule => "schedule",
            Kind::Zone => "zone",
            Kind::Unit => "unit",
            Kind::Device => "device",
            Kind::Point => "point",
            Kind::UnitType => "unit type",
            Kind::Requirement => "requirement",
        }
    }
}

/// A fact and the node of its entry that states it. Node numbers survive edits of white space and
/// comments, so that two readings of the same facts compare equal.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Written<T> {
    /// What is stated.
    pub value: T,
    /// Where in the entry.
    pub at: NodeId,
}

impl<T> Written<T> {
    /// `value`, stated at `at`.
    pub fn new(value: T, at: NodeId) -> Self {
        Written { value, at }
    }

    /// The same place, another form of the value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Written<U> {
        Written { value: f(self.value), at: self.at }
    }
}

/// A reason for or place of a finding inside a scalar: byte offsets into its written text.
pub type Within = std::ops::Range<u32>;

/// A place in an entry, free of byte offsets wherever the entry could be read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Spot {
    /// A node.
    Node(NodeId),
    /// A part of a plain scalar's text.
    Within(NodeId, Within),
    /// A comment, by its number in the entry.
    Comment(usize),
    /// Bytes of the entry: only for what could not be read.
    Bytes(Within),
}

impl Spot {
    /// The node it lies in, if it lies in one.
    pub fn node(&self) -> Option<NodeId> {
        match self {
            Spot::Node(node) | Spot::Within(node, _) => Some(*node),
            Spot::Comment(_) | Spot::Bytes(_) => None,
        }
    }

    /// Its bytes in the text of `part`.
    pub fn span(&self, part: &syntax::Part) -> Within {
        match self {
            Spot::Node(node) => part.span(*node),
            Spot::Within(node, within) => {
                let span = part.span(*node);
                (span.start + within.start).min(span.end)..(span.start + within.end).min(span.end)
            }
            Spot::Comment(n) => part.comments().get(*n).map_or(0..0, |c| c.range.clone()),
            Spot::Bytes(bytes) => bytes.clone(),
        }
    }
}

impl From<NodeId> for Spot {
    fn from(node: NodeId) -> Self {
        Spot::Node(node)
    }
}
