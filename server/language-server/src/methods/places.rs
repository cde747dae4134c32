//! Everywhere a name is written: where it is declared, and where it is used.

use super::subject::{Detail, Subject, subject};
use model::{EntryId, Found, Key, Kind, Name, Spot, Unit, UnitType, View, Wiring, Within, Words};
use rustc_hash::FxHashSet;
use std::ops::Range;
use syntax::{NodeId, Part};

/// What a name stands for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Target {
    /// Something that entries declare.
    Thing(Kind, Name),
    /// A part of a unit type; [`Detail::Logic`] for its terms alone.
    Part(EntryId, Detail),
}

/// A name, written once.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Mention {
    pub(super) entry: EntryId,
    pub(super) node: NodeId,
    /// Its bytes in the entry; nothing where it is not written as it reads, as in an alias.
    pub(super) bytes: Option<Range<u32>>,
    /// Whether it is the one that declares it.
    pub(super) declares: bool,
}

impl Mention {
    pub(super) fn spot(&self) -> Spot {
        self.bytes.clone().map_or(Spot::Node(self.node), Spot::Bytes)
    }
}

impl Target {
    /// What the name at a byte of an entry stands for, and where it stands.
    pub(super) fn at(view: &View<'_>, id: EntryId, offset: u32) -> Option<(Spot, Target)> {
        let (spot, subject) = subject(view, id, offset)?;
        let target = match subject {
            Subject::Used(used) => Target::Thing(used.kind, used.name.clone()),
            Subject::Own(kind, name) => Target::Thing(kind, name),
            Subject::OfUnit(unit, detail) => of_type(view.find(&unit.is.type_.as_ref()?.value)?, detail)?,
            Subject::OfType(unit_type, detail) => of_type(unit_type, detail)?,
            Subject::Key(_) => return None,
        };
        Some((spot, target))
    }

    pub(super) fn name(&self) -> &Name {
        match self {
            Target::Thing(_, name) => name,
            Target::Part(_, detail) => match detail {
                Detail::Choice { choice, .. } => choice,
                Detail::Option(name) | Detail::Input(name) | Detail::Output(name) | Detail::Logic(name) => {
                    name
                }
            },
        }
    }

    /// What it is called in words: `point`, `choice`.
    pub(super) fn noun(&self) -> &'static str {
        match self {
            Target::Thing(kind, _) => kind.noun(),
            Target::Part(_, Detail::Option(_)) => "option",
            Target::Part(_, Detail::Choice { .. }) => "choice",
            Target::Part(_, Detail::Input(_)) => "input",
            Target::Part(_, Detail::Output(_)) => "output",
            Target::Part(_, Detail::Logic(_)) => "term",
        }
    }

    /// Every place in the job, declarations first.
    pub(super) fn mentions(&self, view: &View<'_>) -> Vec<Mention> {
        let mut places = Places { view, seen: FxHashSet::default(), found: Vec::new() };
        match self {
            Target::Thing(kind, name) => places.of_thing(*kind, name),
            Target::Part(id, detail) => {
                if let Some(unit_type) = view.as_found(*id) {
                    places.in_type(unit_type, detail);
                    for unit in units(view, unit_type) {
                        places.in_unit(unit, detail);
                    }
                }
            }
        }
        places.found
    }
}

/// The part of a type that a detail means, if the type declares it.
fn of_type(unit_type: Found<'_, UnitType>, detail: Detail) -> Option<Target> {
    let is = unit_type.is;
    let detail = match detail {
        Detail::Logic(name) if is.input(&name).is_some() => Detail::Input(name),
        Detail::Logic(name) if is.terms.iter().any(|(term, _)| term.value == name) => Detail::Logic(name),
        Detail::Logic(name) => Detail::Output(name),
        other => other,
    };
    let declared = match &detail {
        Detail::Option(name) => is.option(name).is_some(),
        Detail::Choice { option, choice } => {
            is.option(option).is_some_and(|o| o.choices.iter().any(|c| c.value == *choice))
        }
        Detail::Input(name) => is.input(name).is_some(),
        Detail::Output(name) => is.output(name).is_some(),
        Detail::Logic(_) => true,
    };
    declared.then_some(Target::Part(unit_type.id, detail))
}

/// The units that are of this type, and not of another by its name.
pub(super) fn units<'j>(view: &View<'j>, unit_type: Found<'j, UnitType>) -> Vec<Found<'j, Unit>> {
    let name = Name::new(unit_type.name());
    let meant = view.find::<UnitType>(&name).is_some_and(|found| found.id == unit_type.id);
    if meant { view.users(Kind::UnitType, &name) } else { Vec::new() }
}

struct Places<'a, 'j> {
    view: &'a View<'j>,
    seen: FxHashSet<(EntryId, NodeId, u32)>,
    found: Vec<Mention>,
}

impl Places<'_, '_> {
    /// A scalar that is the name.
    fn whole(&mut self, entry: EntryId, node: NodeId, declares: bool) {
        let length = |part: &Part| part.scalar(node).map_or(0, str::len) as u32;
        let length = self.view.entry(entry).map_or(0, |e| length(&e.part));
        self.within(entry, node, &(0..length), declares);
    }

    /// A part of a scalar's value.
    fn within(&mut self, entry: EntryId, node: NodeId, within: &Within, declares: bool) {
        let Some(part) = self.view.entry(entry).map(|e| &e.part) else { return };
        if self.seen.insert((entry, node, within.start)) {
            self.found.push(Mention { entry, node, bytes: bytes(part, node, within), declares });
        }
    }

    fn of_thing(&mut self, kind: Kind, name: &Name) {
        for id in self.view.contributors(Key::Define(kind, name.clone())) {
            if let Some(entry) = self.view.entry(id) {
                self.whole(id, entry.part.key_node(), true);
            }
        }
        for id in self.view.contributors(Key::Refer(kind, name.clone())) {
            let Some(entry) = self.view.entry(id) else { continue };
            for used in entry.facts.uses.iter().filter(|used| used.kind == kind && used.name == *name) {
                match &used.spot() {
                    Spot::Within(node, within) => self.within(id, *node, within, false),
                    Spot::Node(node) if entry.part.scalar(*node) == Some(name) => {
                        self.whole(id, *node, false);
                    }
                    Spot::Node(node) => {
                        let logic = entry.part.scalar(*node).and_then(|text| Words::parse(text).ok());
                        let Some(logic) = logic else { continue };
                        logic.each_name(&mut |other, within| {
                            if other == name {
                                self.within(id, *node, within, false);
                            }
                        });
                    }
                    Spot::Comment(_) | Spot::Bytes(_) => {}
                }
            }
        }
    }

    fn in_type(&mut self, unit_type: Found<'_, UnitType>, detail: &Detail) {
        let (id, is, part) = (unit_type.id, unit_type.is, &unit_type.entry.part);
        let declared = match detail {
            Detail::Option(name) => is.option(name).map(|o| o.name.at),
            Detail::Choice { option, choice } => {
                let choices = is.option(option).map_or(&[][..], |o| &o.choices);
                choices.iter().find(|c| c.value == *choice).map(|c| c.at)
            }
            Detail::Input(name) | Detail::Output(name) | Detail::Logic(name) => is.declaration(name),
        };
        if let Some(node) = declared {
            self.whole(id, node, true);
        }
        if let Detail::Choice { option, choice } = detail
            && let Some(node) = default(part, is, option).filter(|node| part.scalar(*node) == Some(choice))
        {
            self.whole(id, node, false);
        }
        for logic in is.logic() {
            logic.value.each_name(&mut |name, within| {
                let meant =
                    matches!(detail, Detail::Input(n) | Detail::Output(n) | Detail::Logic(n) if n == name);
                if meant {
                    self.within(id, logic.at, within, false);
                }
            });
            logic.value.each_choice(&mut |option, choice| match detail {
                Detail::Option(name) if option.0 == *name => self.within(id, logic.at, &option.1, false),
                Detail::Choice { option: o, choice: c } if option.0 == *o && choice.0 == *c => {
                    self.within(id, logic.at, &choice.1, false);
                }
                _ => {}
            });
        }
    }

    fn in_unit(&mut self, unit: Found<'_, Unit>, detail: &Detail) {
        let (id, part) = (unit.id, &unit.entry.part);
        match detail {
            Detail::Option(name) => {
                for (option, _) in unit.is.options.iter().filter(|(option, _)| option.value == *name) {
                    self.whole(id, option.at, false);
                }
            }
            Detail::Choice { option, choice } => {
                let chosen = unit.is.options.iter().filter(|(o, c)| o.value == *option && c.value == *choice);
                chosen.for_each(|(_, choice)| self.whole(id, choice.at, false));
            }
            Detail::Input(name) => {
                for (input, wiring) in &unit.is.inputs {
                    if input.value == *name {
                        self.whole(id, input.at, false);
                    }
                    if matches!(&wiring.value, Wiring::TiedTo(other) if other == name) {
                        let tie = part.pairs(wiring.at).find(|(_, to)| part.scalar(*to) == Some(name));
                        tie.into_iter().for_each(|(_, to)| self.whole(id, to, false));
                    }
                }
            }
            Detail::Output(name) => {
                for (output, _) in unit.is.outputs.iter().filter(|(output, _)| output.value == *name) {
                    self.whole(id, output.at, false);
                }
            }
            Detail::Logic(_) => {}
        }
    }
}

/// The node that names the default choice of an option.
fn default(part: &Part, unit_type: &UnitType, option: &str) -> Option<NodeId> {
    let key = unit_type.option(option)?.name.at;
    let value = |map: NodeId, wanted: NodeId| part.pairs(map).find(|(k, _)| *k == wanted).map(|(_, v)| v);
    let fields = value(part.parent(key)?, key)?;
    part.pairs(fields).find(|(key, _)| part.scalar(*key) == Some("default")).map(|(_, value)| value)
}

/// Where a part of a scalar's value is written, in bytes of the entry.
fn bytes(part: &Part, node: NodeId, within: &Within) -> Option<Range<u32>> {
    let span = part.span(node);
    let (source, value) = (part.text().get(span.start as usize..span.end as usize)?, part.scalar(node)?);
    let shifted = |by: u32| span.start + by + within.start..span.start + by + within.end;
    if source == value {
        return Some(shifted(0));
    }
    let quoted = source.strip_prefix(['"', '\'']);
    if quoted.and_then(|inner| inner.get(..value.len())) == Some(value) && source.len() == value.len() + 2 {
        return Some(shifted(1));
    }
    // Folded over lines, or with escapes: word by word, as far as the words are the same.
    let at = words(value).position(|word| word == (within.start as usize..within.end as usize))?;
    let skipped = usize::from(source.starts_with(['|', '>']));
    let (inner, by) =
        quoted.map_or((source, 0), |inner| (inner.get(..inner.len().saturating_sub(1)).unwrap_or(""), 1));
    let same = words(inner).skip(skipped).map(|w| inner.get(w)).eq(words(value).map(|w| value.get(w)));
    let word = words(inner).nth(skipped + at).filter(|_| same)?;
    Some(span.start + by + word.start as u32..span.start + by + word.end as u32)
}

/// The words of a logic text, parentheses left out.
pub(super) fn words(text: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    let stops = |c: char| c.is_whitespace() || matches!(c, '(' | ')');
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = text.get(at..)?;
        let start = at + rest.find(|c| !stops(c))?;
        let length = text.get(start..)?.find(stops).unwrap_or(text.len() - start);
        at = start + length;
        Some(start..at)
    })
}
