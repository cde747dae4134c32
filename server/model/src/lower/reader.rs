//! Reads the nodes of one entry, noting what cannot be read as meant instead of stopping at it.

use crate::fields::{Field, ValueShape};
use crate::kind::Kind;
use crate::names::{Name, Spot, Within, Written};
use crate::nearest::nearest;
use crate::problem::{Problem, ProblemKind};
use crate::quantity::{NotAQuantity, Quantity, QuantityKind, Range, UnitOfMeasure};
use crate::renamed::did_you_mean;
use crate::trade::Mode;
use crate::word_list::list_words;
use crate::words::Words;
use jiff::civil::Date;
use smallvec::SmallVec;
use std::borrow::Cow;
use std::fmt::Display;
use syntax::{NodeId, NodeKind, Part};

/// A name of something elsewhere, and where it is written.
#[derive(Clone, PartialEq, Debug)]
pub struct Use {
    /// Kind of the thing named.
    pub kind: Kind,
    pub name: Name,
    at: NodeId,
    /// Where it is named inside the scalar; empty where the scalar is meant as a whole.
    within: Within,
}

impl Use {
    pub(crate) fn new(kind: Kind, name: Name, at: NodeId) -> Use {
        Use { kind, name, at, within: 0..0 }
    }

    pub(crate) fn within(kind: Kind, name: Name, at: NodeId, within: Within) -> Use {
        Use { kind, name, at, within }
    }

    /// Where it is named.
    pub fn spot(&self) -> Spot {
        if self.within.is_empty() { Spot::Node(self.at) } else { Spot::Within(self.at, self.within.clone()) }
    }
}

pub(crate) struct Reader<'p> {
    pub(crate) part: &'p Part,
    pub(crate) problems: Vec<Problem>,
    pub(crate) uses: SmallVec<[Use; 8]>,
    pub(crate) imports: Vec<Name>,
}

/// The recognised keys of a mapping.
pub(crate) struct Fields {
    found: SmallVec<[(&'static str, NodeId, NodeId); 8]>,
}

impl Fields {
    pub(crate) fn get(&self, key: &str) -> Option<NodeId> {
        self.found.iter().find(|(k, ..)| *k == key).map(|(.., value)| *value)
    }

    pub(crate) fn key(&self, key: &str) -> Option<NodeId> {
        self.found.iter().find(|(k, ..)| *k == key).map(|(_, key, _)| *key)
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = (&'static str, NodeId, NodeId)> + '_ {
        self.found.iter().copied()
    }
}

impl<'p> Reader<'p> {
    pub(crate) fn new(part: &'p Part) -> Self {
        Reader { part, problems: Vec::new(), uses: SmallVec::new(), imports: Vec::new() }
    }

    pub(crate) fn problem(&mut self, kind: ProblemKind, at: NodeId, message: String) {
        self.problems.push(Problem {
            kind,
            spot: Spot::Node(at),
            missing: None,
            message,
            instead: Vec::new(),
        });
    }

    /// What may be written in place of what the last problem is about, the likeliest first.
    pub(crate) fn instead<'a>(&mut self, texts: impl IntoIterator<Item = &'a str>) {
        if let Some(problem) = self.problems.last_mut() {
            problem.instead = texts.into_iter().map(Name::new).collect();
        }
    }

    pub(crate) fn unfit(&mut self, at: NodeId, message: impl Into<String>) {
        self.problem(ProblemKind::ValueUnfit, at, message.into());
    }

    /// The mapping's keys by the table `of`; unknown and missing ones are noted. `what` names the
    /// mapping in messages: `a unit`, `` `thermostat` ``.
    pub(crate) fn fields(&mut self, node: NodeId, of: &'static [Field], what: &str) -> Fields {
        let mut found = SmallVec::new();
        let first = of.iter().find(|f| f.needed).or(of.first()).map_or("key", |f| f.key);
        if self.map(node, what, first) {
            let part = self.part;
            for (key, value) in part.pairs(node) {
                let Some(text) = part.scalar(key) else {
                    self.unfit(key, format!("Write each key of {what} as a plain word."));
                    continue;
                };
                match of.iter().find(|f| f.key == text) {
                    Some(field) => found.push((field.key, key, value)),
                    None => self.unknown_field(key, text, of, what),
                }
            }
        }
        let fields = Fields { found };
        if !self.part.broken() {
            for field in of.iter().filter(|f| f.needed && fields.get(f.key).is_none()) {
                let at = self.name_of(node);
                self.problem(ProblemKind::KeyMissing, at, format!("Add `{}`: {}.", field.key, field.text));
                if let Some(problem) = self.problems.last_mut() {
                    problem.missing = Some(Name::new_static(field.key));
                }
            }
        }
        fields
    }

    /// A key that is in none of the tables where it stands, but in that of a key beside it or above it.
    fn unknown_field(&mut self, key: NodeId, text: &str, of: &'static [Field], what: &str) {
        match of.iter().find(|field| inside(&field.shape, text)) {
            Some(field) => {
                let message =
                    format!("Unknown key `{text}` in {what}. `{text}` goes inside `{}`.", field.key);
                self.problem(ProblemKind::KeyUnknown, key, message);
            }
            None => self.unknown_key(key, text, of.iter().map(|f| f.key), Some(what)),
        }
    }

    /// A key that is not among the known ones; `what` has it, or it is a section of the job.
    pub(crate) fn unknown_key(
        &mut self,
        key: NodeId,
        text: &str,
        known: impl Iterator<Item = &'static str> + Clone,
        what: Option<&str>,
    ) {
        let near = nearest(text, known.clone());
        let hint = match near.first() {
            Some(near) => did_you_mean(text, [*near].into_iter()),
            None => format!("Use one of {}.", list_words(known, "or")),
        };
        let shown = shortened(text);
        let unknown = match what {
            Some(what) => format!("Unknown key `{shown}` in {what}."),
            None => format!("Unknown section `{shown}`."),
        };
        self.problem(ProblemKind::KeyUnknown, key, format!("{unknown} {hint}"));
        self.instead(near);
    }

    /// Where a missing thing is reported: the key whose value `node` is, else the entry's key.
    fn name_of(&self, node: NodeId) -> NodeId {
        let key = self.part.key_of(node).filter(|key| *key != node);
        key.unwrap_or_else(|| self.part.key_node())
    }

    /// Whether `node` is a mapping; anything else but nothing is noted, with how it is written: by an example where
    /// there is one for `what`, else by its `first` key.
    pub(crate) fn map(&mut self, node: NodeId, what: &str, first: &str) -> bool {
        match self.part.kind(node) {
            NodeKind::Map => true,
            NodeKind::Null => false,
            NodeKind::Scalar | NodeKind::List => {
                let message = match example_of(what) {
                    Some(example) => format!("Write `{}: {example}`, with braces.", what.trim_matches('`')),
                    None => format!("Write {what} as keys with values, like `{first}: …`."),
                };
                self.unfit(node, message);
                false
            }
        }
    }

    /// The names and values of a mapping with free keys.
    pub(crate) fn named(&mut self, node: NodeId, what: &str) -> Vec<(Written<Name>, NodeId)> {
        if !self.map(node, what, "NAME") {
            return Vec::new();
        }
        let part = self.part;
        let mut found: Vec<(Written<Name>, NodeId)> = Vec::new();
        for (key, value) in part.pairs(node) {
            match part.scalar(key) {
                Some(text) => found.push((Written::new(Name::new(text), key), value)),
                None => self.unfit(key, format!("Write each key of {what} as a plain word.")),
            }
        }
        found
    }

    /// The items of a list; a single scalar or mapping counts as a list of one.
    pub(crate) fn list(&self, node: NodeId) -> Vec<NodeId> {
        match self.part.kind(node) {
            NodeKind::List => self.part.items(node).collect(),
            NodeKind::Null => Vec::new(),
            NodeKind::Scalar | NodeKind::Map => vec![node],
        }
    }

    /// A scalar's text; `what` says what should stand here when something else does.
    pub(crate) fn text(&mut self, node: NodeId, what: impl Display) -> Option<&'p str> {
        let text = self.part.scalar(node);
        if text.is_none() {
            let message = match self.part.kind(node) {
                NodeKind::List => format!("Write {what} here, not a list."),
                NodeKind::Map => format!("Write {what} here, not keys with values."),
                NodeKind::Scalar | NodeKind::Null => format!("Write {what} here."),
            };
            self.unfit(node, message);
        }
        text
    }

    /// A name of the place's own.
    pub(crate) fn name(&mut self, node: NodeId, what: impl Display) -> Option<Written<Name>> {
        Some(Written::new(Name::new(self.text(node, what)?), node))
    }

    /// A name of something of `kind`, noted as a use.
    pub(crate) fn reference(&mut self, node: NodeId, kind: Kind) -> Option<Written<Name>> {
        let noun = kind.noun();
        if self.part.kind(node) == NodeKind::List {
            self.unfit(node, format!("Only one {noun} can be named here. Write one name, not a list."));
            return None;
        }
        let name = self.name(node, format_args!("the name of a {noun}"))?;
        self.uses.push(Use::new(kind, name.value.clone(), node));
        Some(name)
    }

    pub(crate) fn number(&mut self, node: NodeId, what: impl Display) -> Option<f64> {
        let text = self.text(node, "a number like `0.5`")?;
        let number = text.parse().ok().filter(|v: &f64| v.is_finite());
        if number.is_none() {
            let text = shortened(text);
            self.unfit(node, format!("`{text}` is not a number. Write {what} like `0.5`."));
        }
        number
    }

    pub(crate) fn whole(&mut self, node: NodeId, low: u64, high: u64, what: &str) -> Option<u64> {
        let text = self.text(node, format_args!("a whole number from {low} to {high}"))?;
        let number = text.parse().ok().filter(|n| (low..=high).contains(n));
        if number.is_none() {
            let text = shortened(text);
            self.unfit(
                node,
                format!("`{text}` does not work as {what}. Write a whole number from {low} to {high}."),
            );
        }
        number
    }

    pub(crate) fn date(&mut self, node: NodeId) -> Option<Date> {
        let text = self.text(node, "a date")?;
        let date = text.parse().ok();
        if date.is_none() {
            let meant = from_american(text);
            let hint = meant.map_or_else(
                || "Write it as year-month-day, like `2027-05-31`.".to_owned(),
                |date| format!("Did you mean `{date}`?"),
            );
            self.unfit(node, format!("`{}` is not a date. {hint}", shortened(text)));
            let meant = meant.map(|date| date.to_string());
            self.instead(meant.as_deref());
        }
        date
    }

    /// One of `words`, by its number in the list.
    pub(crate) fn word(&mut self, node: NodeId, words: &'static [&'static str]) -> Option<usize> {
        let Some(text) = self.part.scalar(node) else {
            self.unfit(node, format!("Write {} here.", list_words(words.iter().copied(), "or")));
            return None;
        };
        let found = words.iter().position(|w| *w == text);
        if found.is_none() {
            let near = nearest(text, words.iter().copied());
            let hint = match near.first() {
                Some(near) => did_you_mean(text, [*near].into_iter()),
                None => format!("Use {}.", list_words(words.iter().copied(), "or")),
            };
            self.unfit(node, format!("Unknown value `{}`. {hint}", shortened(text)));
            self.instead(near);
        }
        found
    }

    pub(crate) fn quantity(
        &mut self,
        node: NodeId,
        wanted: &[QuantityKind],
        example: &str,
    ) -> Option<Written<Quantity>> {
        let text = self.text(node, format_args!("a quantity like `{example}`"))?;
        let unit = example.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').trim();
        match Quantity::parse(text, wanted) {
            Ok(quantity) => return Some(Written::new(quantity, node)),
            Err(NotAQuantity::NoUnit) => {
                let meant = format!("{text} {unit}");
                self.problem(
                    ProblemKind::UnitOfMeasureMissing,
                    node,
                    format!(
                        "`{}` has no unit of measure. Did you mean `{}`?",
                        shortened(text),
                        shortened(&meant)
                    ),
                );
                self.instead([meant.as_str()]);
            }
            Err(NotAQuantity::WrongUnit(found)) => {
                self.wrong_unit(node, text, &found, wanted, example);
            }
            Err(NotAQuantity::OutOfRange) => {
                self.unfit(
                    node,
                    format!("`{}` is out of range. Write a value like `{example}`.", shortened(text)),
                );
            }
            Err(NotAQuantity::NoNumber) => {
                let text = shortened(text);
                self.unfit(node, format!("`{text}` is not a number with a unit. Write it like `{example}`."));
            }
        }
        None
    }

    /// A unit of measure that is none, or of something else. A temperature where a humidity belongs is a dew point.
    fn wrong_unit(&mut self, node: NodeId, text: &str, unit: &str, wanted: &[QuantityKind], example: &str) {
        let is_humidity = wanted.contains(&QuantityKind::RelativeHumidity);
        let meant = format!("{text} dew point");
        if is_humidity && Quantity::parse(&meant, wanted).is_ok() {
            let message = format!("A humidity limit is in %RH or a dew point. Did you mean `{meant}`?");
            self.unfit(node, message);
            return self.instead([meant.as_str()]);
        }
        let known = UnitOfMeasure::parse(unit).is_some();
        let wrong = if known { "cannot be used here" } else { "is not a known unit" };
        self.unfit(node, format!("`{}` {wrong}. Write a value like `{example}`.", shortened(unit)));
    }

    /// A quantity from `low` to `high`; anything else is a slip, of which nothing could be worked out.
    pub(crate) fn quantity_within(
        &mut self,
        node: NodeId,
        wanted: &[QuantityKind],
        example: &str,
        (low, high): (&str, &str),
    ) -> Option<Written<Quantity>> {
        let found = self.quantity(node, wanted, example)?;
        let end = |text: &str| Quantity::parse(text, wanted).map_or(f64::NAN, |q| q.si());
        if found.value.si() < end(low) || found.value.si() > end(high) {
            let key = self.part.scalar(self.name_of(node)).unwrap_or("this").to_owned();
            let within = |q: &Quantity| (end(low)..=end(high)).contains(&q.si());
            let meant = other_scale(found.value).filter(within);
            let hint = meant.map_or_else(
                || format!("It must be from {low} to {high}."),
                |meant| format!("Did you mean `{meant}`?"),
            );
            self.unfit(node, format!("`{key}` cannot be `{}`. {hint}", found.value));
            let meant = meant.map(|meant| meant.to_string());
            self.instead(meant.as_deref());
            return None;
        }
        Some(found)
    }

    pub(crate) fn range(&mut self, node: NodeId, example: &str) -> Option<Written<Range>> {
        let text = self.text(node, format_args!("a range like `{example}`"))?;
        let range = Range::parse(text);
        if range.is_none() {
            self.unfit(node, format!("`{}` is not a range. Write it like `{example}`.", shortened(text)));
        }
        range.map(|r| Written::new(r, node))
    }

    /// Logic in words; a place inside a scalar is kept only where the text stands as written.
    pub(crate) fn logic(&mut self, node: NodeId) -> Option<Written<Words>> {
        let text = self.text(node, "logic like `cool-1 and not heat-1`")?;
        match Words::parse(text) {
            Ok(words) => Some(Written::new(words, node)),
            Err(wrong) => {
                let plain = self.part.is_plain(node);
                self.problems.push(Problem {
                    kind: ProblemKind::ValueUnfit,
                    spot: if plain { Spot::Within(node, wrong.within) } else { Spot::Node(node) },
                    missing: None,
                    message: format!("This logic cannot be read: {}.", wrong.message),
                    instead: Vec::new(),
                });
                None
            }
        }
    }
}

/// Whether a mapping that may stand at a place has such a key.
fn inside(shape: &ValueShape, key: &str) -> bool {
    match shape {
        ValueShape::Fields(fields) => fields.iter().any(|field| field.key == key),
        ValueShape::List(item) => inside(item, key),
        ValueShape::Either(any) => any.iter().any(|shape| inside(shape, key)),
        _ => false,
    }
}

/// A mapping that people write as a single word, as it should be written.
fn example_of(what: &str) -> Option<&'static str> {
    Some(match what {
        "`driven-by`" => "{contact: field}",
        "`effective`" => "{from: 2027-01-01, to: 2027-12-31}",
        "`limits`" => "{indoor-dew-point: 60 °F}",
        "`measures`" => "{zone: NAME, quantity: temperature}",
        _ if Mode::ALL.iter().any(|mode| what.trim_matches('`') == mode.name()) => {
            "{heat-below: 68 °F, cool-above: 75 °F}"
        }
        "`override`" => "{value: on, priority: 8}",
        "`review`" => "{from: 2027-01-01, days: 365}",
        "`sensor-range`" => "{humidity: 0..100 %RH}",
        "`space`" => "{floor-area: 1200 ft²}",
        "`thermostat`" => "{differential: 1 °F}",
        "`weather`" => "{file: weather.csv}",
        _ => return None,
    })
}

/// A date written month/day/year, as it should be written.
fn from_american(text: &str) -> Option<Date> {
    let mut parts = text.split('/').map(str::trim);
    let (month, day, year) = (parts.next()?, parts.next()?, parts.next()?);
    let year = year.parse::<i16>().ok().filter(|year| *year >= 1900 && parts.next().is_none())?;
    Date::new(year, month.parse().ok()?, day.parse().ok()?).ok()
}

/// The same number on the other scale of temperature.
fn other_scale(value: Quantity) -> Option<Quantity> {
    let unit = match value.unit {
        UnitOfMeasure::Celsius => UnitOfMeasure::Fahrenheit,
        UnitOfMeasure::Fahrenheit => UnitOfMeasure::Celsius,
        _ => return None,
    };
    Some(Quantity { unit, ..value })
}

/// A text of the job for a message, which it must not fill.
pub(crate) fn shortened(text: &str) -> Cow<'_, str> {
    const LONGEST: usize = 60;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => Cow::Owned(format!("{}…", text.get(..end).unwrap_or_default())),
        None => Cow::Borrowed(text),
    }
}
