//! From a unit's input back to what decides it: a schedule, a call, a contact, a hand.

use crate::reasons::Because;
use logic::{Expr, Var};
use model::{
    Driver, EntryId, Found, Name, Operator, Place, Point, Schedule, Source, Spot, Unit, View, Wiring,
    Words, Written,
};
use rustc_hash::FxHashMap;

/// Something that is on or off by itself, as far as the unit is concerned.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Atom {
    /// A call of a zone's thermostat.
    Call {
        /// The zone.
        zone: Name,
        /// The call.
        call: &'static str,
    },
    /// A schedule: on while it is occupied.
    Schedule(Name),
    /// A free contact, by the point that carries it.
    Contact(Name),
    /// A point an operator may leave on or off.
    Operator(Name),
    /// Something that could not be read or found; it may be on or off.
    Unknown(Name),
}

/// A unit's input as wired: what turns it on, and the path to it.
#[derive(Clone, Debug)]
pub struct Signal {
    /// The input.
    pub input: Name,
    /// When it is on, over the atoms of [`Wires`].
    pub expr: Expr,
    /// The written facts from the terminal to the source.
    pub path: Vec<Because>,
    /// Whether the unit's wiring list names it at all.
    pub mentioned: bool,
    /// Whether an end of the path hangs free: an input with no wire, a point that nothing drives.
    pub hangs_free: bool,
}

/// The atoms behind a unit's inputs; variable `i` of a signal is atom `i`.
#[derive(Default)]
pub struct Wires {
    atoms: Vec<Atom>,
    numbers: FxHashMap<Atom, Var>,
    hangs_free: bool,
    /// Points that give themselves their value, each once.
    pub circles: Vec<(EntryId, Name)>,
}

impl Wires {
    /// The atoms in the order of their first use.
    pub fn atoms(&self) -> &[Atom] {
        &self.atoms
    }

    /// The variable of an atom that is in use.
    pub fn var(&self, atom: &Atom) -> Option<Var> {
        self.numbers.get(atom).copied()
    }

    fn atom(&mut self, atom: Atom) -> Expr {
        let next = Var(self.atoms.len() as u16);
        let var = *self.numbers.entry(atom.clone()).or_insert_with(|| {
            self.atoms.push(atom);
            next
        });
        Expr::var(var)
    }

    /// The signal at an input of a unit.
    pub fn input(&mut self, view: &View<'_>, unit: Found<'_, Unit>, input: &Name) -> Signal {
        let mut path = Vec::new();
        let mut tied = Vec::new();
        self.hangs_free = false;
        let expr = self.wired(view, unit, input, &mut path, &mut tied);
        let (mentioned, hangs_free) = (unit.is.wiring(input).is_some(), self.hangs_free);
        Signal { input: input.clone(), expr, path, mentioned, hangs_free }
    }

    fn wired(
        &mut self,
        view: &View<'_>,
        unit: Found<'_, Unit>,
        input: &Name,
        path: &mut Vec<Because>,
        tied: &mut Vec<Name>,
    ) -> Expr {
        let Some((_, wiring)) = unit.is.wiring(input) else {
            let at = unit.is.inputs_at.map_or_else(|| unit.head(), |at| unit.place(at));
            path.push(Because::new(at, format!("nothing is wired to `{input}`")));
            self.hangs_free = true;
            // In an entry that could not be read in full, the line may be the broken one.
            return if unit.entry.facts.broken { self.atom(Atom::Unknown(input.clone())) } else { Expr::constant(false) };
        };
        let place = unit.place(wiring.at);
        match &wiring.value {
            Wiring::NotWired => {
                path.push(Because::new(place, format!("`{input}` is not wired")));
                self.hangs_free = true;
                Expr::constant(false)
            }
            Wiring::Tied(on) => {
                path.push(Because::new(place, format!("`{input}` is tied {}", on_off(*on))));
                Expr::constant(*on)
            }
            Wiring::TiedTo(other) => {
                path.push(Because::new(place, format!("`{input}` is tied to `{other}`")));
                tied.push(input.clone());
                if tied.contains(other) {
                    return self.atom(Atom::Unknown(other.clone()));
                }
                self.wired(view, unit, other, path, tied)
            }
            Wiring::Point(point) => {
                path.push(Because::new(place, format!("`{input}` is wired to {point}")));
                self.point(view, point, path, &mut Vec::new())
            }
            Wiring::Unreadable => self.atom(Atom::Unknown(input.clone())),
        }
    }

    /// The value of a point; `within` are the points that ask for it.
    pub fn point(&mut self, view: &View<'_>, name: &Name, path: &mut Vec<Because>, within: &mut Vec<Name>) -> Expr {
        let Some(point) = view.find::<Point>(name) else {
            return self.atom(Atom::Unknown(name.clone()));
        };
        if within.contains(name) || within.len() > LONGEST_CHAIN {
            if !self.circles.iter().any(|(id, _)| *id == point.id) {
                self.circles.push((point.id, name.clone()));
            }
            return self.atom(Atom::Unknown(name.clone()));
        }
        let Some(driver) = in_command(point.is) else {
            if point.is.measures.is_some() {
                return self.atom(Atom::Contact(name.clone()));
            }
            if point.entry.facts.broken {
                return self.atom(Atom::Unknown(name.clone()));
            }
            path.push(Because::new(point.head(), format!("nothing drives {name}, so it stays off")));
            self.hangs_free = true;
            return Expr::constant(false);
        };
        match driver {
            Command::Pinned { at, value, priority } => {
                path.push(Because::new(
                    point.place(at),
                    format!("{name} is pinned {} at priority {priority}", on_off(value)),
                ));
                Expr::constant(value)
            }
            Command::Source(driver) => {
                within.push(name.clone());
                let value = self.source(view, point, driver, path, within);
                within.pop();
                if driver.inverted.is_some() { !value } else { value }
            }
        }
    }

    fn source(
        &mut self,
        view: &View<'_>,
        point: Found<'_, Point>,
        driver: &Driver,
        path: &mut Vec<Because>,
        within: &mut Vec<Name>,
    ) -> Expr {
        let name = Name::new(point.name());
        let inverted = if driver.inverted.is_some() { ", inverted" } else { "" };
        let mut because = |place: Place, text: String| path.push(Because::new(place, text + inverted));
        let at = point.place(driver.at);
        match &driver.source {
            None => self.atom(Atom::Unknown(name)),
            Some(Source::Schedule(schedule)) => {
                because(at, format!("{name} follows schedule `{}`", schedule.value));
                match view.find::<Schedule>(&schedule.value) {
                    Some(_) => self.atom(Atom::Schedule(schedule.value.clone())),
                    None => self.atom(Atom::Unknown(schedule.value.clone())),
                }
            }
            Some(Source::Call { call, zone }) => match zone {
                Some(zone) => {
                    because(at, format!("{name} carries {} of `{}`", crate::words::call_words(call.value), zone.value));
                    self.atom(Atom::Call { zone: zone.value.clone(), call: call.value })
                }
                None => self.atom(Atom::Unknown(name)),
            },
            Some(Source::Operator(Written { value: Operator::Either, .. })) => {
                because(at, format!("{name} is set by hand"));
                self.atom(Atom::Operator(name))
            }
            Some(Source::Operator(operator)) => {
                let on = operator.value == Operator::On;
                because(at, format!("{name} is left {} by hand", on_off(on)));
                Expr::constant(on)
            }
            Some(Source::Contact(contact)) => {
                because(at, format!("{name} is the contact `{}`", contact.value));
                self.atom(Atom::Contact(name))
            }
            Some(Source::Point(other)) => {
                because(at, format!("{name} follows {}", other.value));
                self.point(view, &other.value, path, within)
            }
            Some(Source::Logic(words)) => {
                because(at, format!("{name} is worked out from other points"));
                self.words(view, &words.value, path, within)
            }
        }
    }

    fn words(&mut self, view: &View<'_>, words: &Words, path: &mut Vec<Because>, within: &mut Vec<Name>) -> Expr {
        match words {
            Words::Is(name, _) => self.point(view, name, path, within),
            Words::Choice { option, .. } => self.atom(Atom::Unknown(option.0.clone())),
            Words::Not(inner) => !self.words(view, inner, path, within),
            Words::And(all) => {
                let all: Vec<Expr> = all.iter().map(|w| self.words(view, w, path, within)).collect();
                Expr::and(all)
            }
            Words::Or(all) => {
                let all: Vec<Expr> = all.iter().map(|w| self.words(view, w, path, within)).collect();
                Expr::or(all)
            }
        }
    }
}

/// A chain of points longer than this is taken for a circle; panels chain two or three.
const LONGEST_CHAIN: usize = 64;

/// What commands a point in the end.
pub(crate) enum Command<'p> {
    /// A pinned value.
    Pinned {
        /// Where it is written.
        at: Spot,
        /// The value.
        value: bool,
        /// Its priority.
        priority: u8,
    },
    /// A source.
    Source(&'p Driver),
}

/// The command of the highest priority; of equals the first written, an override before a source.
pub(crate) fn in_command(point: &Point) -> Option<Command<'_>> {
    let pinned = point.drivers.iter().filter_map(|d| d.override_.as_ref());
    let pinned = pinned.map(|o| (o.priority, Command::Pinned { at: o.at.into(), value: o.value, priority: o.priority }));
    let sources = point.drivers.iter().filter(|d| d.source.is_some() || d.override_.is_none());
    let sources = sources.map(|d| (d.priority, Command::Source(d)));
    // `min_by_key` keeps the first of equals.
    pinned.chain(sources).min_by_key(|(priority, _)| *priority).map(|(_, command)| command)
}

/// `on` or `off`.
pub(crate) fn on_off(on: bool) -> &'static str {
    if on { "on" } else { "off" }
}
