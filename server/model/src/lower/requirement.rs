//! `requirements:` — the Owner's Project Requirements, as far as humidity goes.

use super::reader::{Reader, shortened};
use super::section::Section;
use crate::fields::{Field, ValueShape, free, needed};
use crate::kind::Kind;
use crate::names::{Name, Written};
use crate::nearest::nearest;
use crate::problem::ProblemKind;
use crate::quantity::{Quantity, QuantityKind};
use crate::trade::{Mode, Service};
use crate::word_list::list_words;
use syntax::{NodeId, NodeKind};

const FIELDS: &[Field] = &[
    needed("zone", ValueShape::NameOf(Kind::Zone), "the zone it is about"),
    free(
        Service::Dehumidification.name(),
        ValueShape::Either(&[ValueShape::Word(&["always"]), ValueShape::Fields(GAP)]),
        "when it must be able to run",
    ),
    free("dew-point-at-most", ValueShape::Quantity("58 °F"), "the highest space dew point"),
    free("relative-humidity-at-most", ValueShape::Quantity("60 %RH"), "the highest relative humidity"),
    free("hours", ValueShape::Word(HOURS), "the hours it holds in; all when left out"),
    free("description", ValueShape::Text, "where it comes from"),
];

/// What a requirement may ask for.
const DEMANDS: [&str; 3] =
    [Service::Dehumidification.name(), "dew-point-at-most", "relative-humidity-at-most"];

const GAP: &[Field] =
    &[needed("gap-at-most", ValueShape::Quantity("12 h"), "the longest time it may be unable to run")];

/// No gap, and one as long as the longest year.
const GAPS: (&str, &str) = ("0 h", "8784 h");

/// `all`, or the name of a mode.
const HOURS: &[&str] = &{
    let mut words = ["all"; Mode::ALL.len() + 1];
    let mut n = 0;
    while n < Mode::ALL.len() {
        words[n + 1] = Mode::ALL[n].name();
        n += 1;
    }
    words
};

/// Hours a requirement holds in.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Hours {
    #[default]
    All,
    /// Those of a mode.
    In(Mode),
}

impl Hours {
    /// Whether an hour of a mode is one of them.
    pub fn hold_in(self, mode: Option<Mode>) -> bool {
        match self {
            Hours::All => true,
            Hours::In(wanted) => mode == Some(wanted),
        }
    }

    /// The modes whose hours they are.
    pub fn modes(self) -> &'static [Mode] {
        match self {
            Hours::All => &Mode::ALL,
            Hours::In(mode) => Mode::ALL.get(mode as usize).map_or(&[], std::slice::from_ref),
        }
    }
}

/// What dehumidification must be able to do.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Demand {
    /// Run at every hour.
    Always,
    /// Be unable to run for no longer than this.
    GapAtMost(Quantity),
}

/// One requirement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Requirement {
    pub zone: Option<Written<Name>>,
    /// When dehumidification must be able to run.
    pub dehumidification: Option<Written<Demand>>,
    /// Highest space dew point.
    pub dew_point_at_most: Option<Written<Quantity>>,
    /// Highest relative humidity.
    pub relative_humidity_at_most: Option<Written<Quantity>>,
    /// The hours it holds in.
    pub hours: Hours,
}

impl Section for Requirement {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<Requirement> {
        Some(lower(r))
    }

    fn brief(&self) -> Option<String> {
        self.zone.as_ref().map(|zone| zone.value.to_string())
    }
}

fn lower(r: &mut Reader<'_>) -> Requirement {
    let f = r.fields(r.part.value(), FIELDS, "a requirement");
    if let Some(zone) = f.get("zone")
        && DEMANDS.iter().all(|demand| f.get(demand).is_none())
        && r.problems.is_empty()
        && !r.part.broken()
    {
        // It would count as met.
        let demands = list_words(DEMANDS.into_iter(), "or");
        r.problem(
            ProblemKind::KeyMissing,
            zone,
            format!("This requirement asks for nothing. Add {demands}."),
        );
    }
    let hours = f.get("hours").and_then(|n| r.word(n, HOURS));
    Requirement {
        zone: f.get("zone").and_then(|n| r.reference(n, Kind::Zone)),
        dehumidification: f.get(Service::Dehumidification.name()).and_then(|n| demand(r, n)),
        dew_point_at_most: f
            .get("dew-point-at-most")
            .and_then(|n| r.quantity(n, &[QuantityKind::Temperature, QuantityKind::DewPoint], "58 °F")),
        relative_humidity_at_most: f
            .get("relative-humidity-at-most")
            .and_then(|n| r.quantity(n, &[QuantityKind::RelativeHumidity], "60 %RH")),
        hours: hours
            .and_then(|word| Some(Hours::In(*Mode::ALL.get(word.checked_sub(1)?)?)))
            .unwrap_or_default(),
    }
}

fn demand(r: &mut Reader<'_>, node: NodeId) -> Option<Written<Demand>> {
    if r.part.kind(node) == NodeKind::Map {
        let f = r.fields(node, GAP, &format!("`{}`", Service::Dehumidification));
        let gap = r.quantity_within(f.get("gap-at-most")?, &[QuantityKind::Duration], "12 h", GAPS)?;
        return Some(Written::new(Demand::GapAtMost(gap.value), node));
    }
    match r.part.scalar(node) {
        Some("always") => Some(Written::new(Demand::Always, node)),
        Some(text) => {
            r.unfit(
                node,
                format!("Unknown value `{}`. Use `always` or `{{gap-at-most: 4 h}}`.", shortened(text)),
            );
            r.instead(nearest(text, std::iter::once("always")));
            None
        }
        None => {
            r.unfit(node, "Write `always` or `{gap-at-most: 4 h}` here.");
            None
        }
    }
}
