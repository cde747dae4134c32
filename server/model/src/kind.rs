//! The sections of a job. This table is the one place that lists them: the facts of entries, lowering, the index, the
//! schema, completion, hover, the outline and the colours of names are made from it.

/// Hands the rows of the table to a macro, in the order sections are shown. A row holds the kind and what its entries
/// are lowered to (see [`Section`](crate::lower::section::Section)), the section's key in a file, what one of its
/// entries is called, how entries stand in it, and what an editor shows their names as.
macro_rules! sections {
    ($rows:ident) => {
        $rows! {
            /// One field of `site:`.
            Site: site::SiteField, "site", "site setting", Fields, Property;
            /// A calendar of closures.
            Calendar: calendar::Calendar, "calendars", "calendar", Named, Event;
            /// A BACnet Schedule in readable form.
            Schedule: schedule::Schedule, "schedules", "schedule", Named, Event;
            /// A thermostat zone.
            Zone: zone::Zone, "zones", "zone", Named, Struct;
            /// A unit with its options and wiring.
            Unit: unit::Unit, "units", "unit", Named, Object;
            /// A BACnet device.
            Device: device::Device, "devices", "device", Named, Module;
            /// One line of the point list.
            Point: point::Point, "points", "point", Named, Variable;
            /// A type of unit, built in or the job's own.
            UnitType: unit_type::UnitType, "unit-types", "unit type", Named, Class;
            /// One line of the Owner's Project Requirements.
            Requirement: requirement::Requirement, "requirements", "requirement", Listed, Property;
        }
    };
}
pub(crate) use sections;

/// How the entries of a section stand in it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Entries {
    /// Each is a field of one thing, which may be spread over several files.
    Fields,
    /// By name.
    Named,
    /// As items of a list, without a name.
    Listed,
}

/// What an editor shows a name as, in the words of the Language Server Protocol.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Symbol {
    Property,
    Event,
    Struct,
    Object,
    Module,
    Variable,
    Class,
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $Kind:ident: $module:ident::$Facts:ident, $section:literal, $noun:literal, $entries:ident, $symbol:ident;)+) => {
        /// What an entry declares; one kind for each section of a job.
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
        pub enum Kind { $($(#[$doc])* $Kind),+ }

        impl Kind {
            /// Every kind, in the order sections are shown.
            pub const ALL: [Kind; [$($section),+].len()] = [$(Kind::$Kind),+];

            /// The section that declares this kind: `points` for [`Kind::Point`].
            pub fn section(self) -> &'static str {
                match self { $(Kind::$Kind => $section),+ }
            }

            /// One of them, in words: `unit type`.
            pub fn noun(self) -> &'static str {
                match self { $(Kind::$Kind => $noun),+ }
            }

            /// How they stand in their section.
            pub fn entries(self) -> Entries {
                match self { $(Kind::$Kind => Entries::$entries),+ }
            }

            /// What an editor shows their names as.
            pub fn symbol(self) -> Symbol {
                match self { $(Kind::$Kind => Symbol::$symbol),+ }
            }
        }
    };
}
sections!(kinds);

impl Kind {
    /// The kind that a section declares, if it is one of ours.
    pub fn of_section(section: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.section() == section)
    }
}
