//! From a point back to what decides it: a schedule, a call, a contact, a hand.

use crate::atom::Atom;
use crate::command::{Command, in_command};
use crate::reasons::Because;
use crate::variables;
use crate::words::on_off;
use logic::{Expr, Var};
use model::graph::{self, Group};
use model::{Driver, EntryId, Found, Name, Operator, Point, Schedule, Source, View, Words};
use rustc_hash::{FxHashMap, FxHashSet};

/// A value on the way to a terminal.
#[derive(Clone)]
pub(crate) struct WireValue {
    /// Over atoms and the points just behind it.
    pub(crate) near: Expr,
    /// The facts it comes from, nearest first, each once.
    pub(crate) path: Vec<Because>,
    /// Whether an end of the path hangs free.
    pub(crate) hangs_free: bool,
}

/// A point's logic beyond this length is not quoted: its line is there to be read.
const LONGEST_WORDS: usize = 80;

/// Facts of a path beyond this are of no use to a reader.
const LONGEST_PATH: usize = 64;

impl WireValue {
    pub(crate) fn of(near: Expr) -> WireValue {
        WireValue { near, path: Vec::new(), hangs_free: false }
    }

    /// Off, since nothing gives it a value.
    pub(crate) fn hanging() -> WireValue {
        WireValue { hangs_free: true, ..WireValue::of(Expr::constant(false)) }
    }

    /// The same value with `path` before its own.
    pub(crate) fn after(self, mut path: Vec<Because>) -> WireValue {
        for because in self.path {
            if path.len() < LONGEST_PATH && !path.contains(&because) {
                path.push(because);
            }
        }
        WireValue { path, ..self }
    }
}

/// A point that was followed: one line of the point list.
pub(crate) struct FollowedPoint {
    /// What it says, where it says so; nothing if that could not be read.
    pub(crate) because: Option<Because>,
    /// When it is on, over atoms and points followed before it.
    pub(crate) near: Expr,
    /// Whether nothing drives it.
    pub(crate) undriven: bool,
    /// Whether an end of its path hangs free.
    hangs_free: bool,
}

/// The atoms and points behind a unit's inputs; variable `i` of a signal is atom `i`.
#[derive(Default)]
pub struct Wires {
    atoms: Vec<Atom>,
    numbers: FxHashMap<Atom, Var>,
    lines: Vec<FollowedPoint>,
    known: FxHashMap<Name, usize>,
    /// Points that give themselves their value, each once.
    pub circles: Vec<(EntryId, Name)>,
}

impl Wires {
    /// The atoms in the order of their first use.
    pub fn atoms(&self) -> &[Atom] {
        &self.atoms
    }

    /// The atom that a variable is.
    pub fn atom_of(&self, var: Var) -> Option<&Atom> {
        self.atoms.get(var.0 as usize)
    }

    /// The variable of an atom that is in use.
    pub fn var(&self, atom: &Atom) -> Option<Var> {
        self.numbers.get(atom).copied()
    }

    /// Whether calls of more than one zone reach the unit.
    pub(crate) fn of_several_zones(&self) -> bool {
        let mut zones = self.atoms.iter().filter_map(|atom| match atom {
            Atom::Call { zone, .. } => Some(zone),
            _ => None,
        });
        let first = zones.next();
        zones.any(|zone| Some(zone) != first)
    }

    /// The points followed, each after those it takes its value from.
    pub(crate) fn lines(&self) -> &[FollowedPoint] {
        &self.lines
    }

    fn atom(&mut self, atom: Atom) -> Expr {
        if let Some(var) = self.numbers.get(&atom) {
            return Expr::var(*var);
        }
        let var = variables::own(self.atoms.len());
        if let Some(var) = var {
            self.numbers.insert(atom.clone(), var);
            self.atoms.push(atom);
        }
        variables::expr(var)
    }

    /// Something of which nothing is known but its name.
    pub(crate) fn unknown(&mut self, name: &Name) -> Expr {
        self.atom(Atom::Unknown(name.clone()))
    }

    /// The value of a point.
    pub(crate) fn point(&mut self, view: &View<'_>, name: &Name) -> WireValue {
        self.follow(view, name);
        let line = self.known.get(name).and_then(|n| self.lines.get(*n));
        let hangs_free = line.is_some_and(|line| line.hangs_free);
        WireValue { near: self.near(name), path: self.path(name), hangs_free }
    }

    /// Follows a point and all that it takes its value from, those behind it first.
    fn follow(&mut self, view: &View<'_>, name: &Name) {
        if self.known.contains_key(name) {
            return;
        }
        let behind = |name: &Name| view.find::<Point>(name).map_or_else(Vec::new, |point| sources(point.is));
        for group in graph::groups(name.clone(), |name| !self.known.contains_key(name), behind) {
            match group {
                Group::One(name) => match view.find::<Point>(&name) {
                    Some(point) => {
                        let line = self.driven(view, point, &name);
                        self.push(name, line);
                    }
                    None => drop(self.unknown(&name)),
                },
                // Whichever of its points a circle is met at, all of them are unknown.
                Group::Circle(names) => {
                    for name in names {
                        let near = self.unknown(&name);
                        self.circles.extend(view.find::<Point>(&name).map(|point| (point.id, name.clone())));
                        self.push(
                            name,
                            FollowedPoint { because: None, near, undriven: false, hangs_free: false },
                        );
                    }
                }
            }
        }
    }

    fn push(&mut self, name: Name, line: FollowedPoint) {
        self.known.insert(name, self.lines.len());
        self.lines.push(line);
    }

    /// A point that was followed, as others see it: by the number of its line, or unknown.
    fn near(&mut self, name: &Name) -> Expr {
        match self.known.get(name) {
            Some(line) => variables::expr(variables::of_point(*line)),
            None => self.unknown(name),
        }
    }

    /// The facts that a point's value comes from, nearest first.
    fn path(&self, name: &Name) -> Vec<Because> {
        let mut path: Vec<Because> = Vec::new();
        let (mut open, mut seen) = (Vec::from_iter(self.known.get(name).copied()), FxHashSet::default());
        while let Some(n) = open.pop().filter(|_| path.len() < LONGEST_PATH) {
            let Some(line) = self.lines.get(n).filter(|_| seen.insert(n)) else { continue };
            path.extend(line.because.clone().filter(|because| !path.contains(because)));
            open.extend(line.near.mentions().into_iter().rev().filter_map(variables::point));
        }
        path
    }

    /// The atoms behind a value, in the order of their first appearance in it.
    pub(crate) fn behind(&self, near: &Expr) -> Vec<&Atom> {
        let (mut atoms, mut seen) = (Vec::new(), FxHashSet::default());
        let mut open: Vec<Var> = near.mentions().into_iter().rev().collect();
        while let Some(var) = open.pop() {
            if !seen.insert(var) {
                continue;
            }
            match variables::point(var) {
                Some(n) => {
                    let mentions = self.lines.get(n).map(|line| line.near.mentions());
                    open.extend(mentions.into_iter().flatten().rev());
                }
                None => atoms.extend(self.atom_of(var)),
            }
        }
        atoms
    }

    fn driven(&mut self, view: &View<'_>, point: Found<'_, Point>, name: &Name) -> FollowedPoint {
        let said = |near: Expr, because: Because| FollowedPoint {
            because: Some(because),
            near,
            undriven: false,
            hangs_free: false,
        };
        let unread = |near: Expr| FollowedPoint { because: None, near, undriven: false, hangs_free: false };
        match in_command(point.is) {
            None if point.is.measures.is_some() => {
                let because = Because::new(point.head(), format!("`{name}` is read from the field"));
                said(self.atom(Atom::Contact(name.clone())), because)
            }
            None if point.entry.facts.doubtful() => unread(self.unknown(name)),
            None => {
                let text = format!("`{name}` has no source, so it stays off");
                let because = Because::new(point.head(), text);
                FollowedPoint { undriven: true, hangs_free: true, ..said(Expr::constant(false), because) }
            }
            Some(Command::Pinned { at, value, priority }) => {
                let text = format!("`{name}` is overridden {} at priority {priority}", on_off(value));
                said(Expr::constant(value), Because::new(point.place(at), text))
            }
            Some(Command::Source(driver)) => {
                let line = self.source(view, point, driver, name);
                let inverted = driver.inverted.is_some() && !is_free(driver);
                if inverted { FollowedPoint { near: !line.near, ..line } } else { line }
            }
        }
    }

    fn source(
        &mut self,
        view: &View<'_>,
        point: Found<'_, Point>,
        driver: &Driver,
        name: &Name,
    ) -> FollowedPoint {
        let inverted = if driver.inverted.is_some() { ", inverted" } else { "" };
        let at = point.place(driver.at);
        let because = |text: String| Some(Because::new(at.clone(), text + inverted));
        let line = |near: Expr, because: Option<Because>| FollowedPoint {
            because,
            near,
            undriven: false,
            hangs_free: false,
        };
        match &driver.source {
            None | Some(Source::Call { zone: None, .. }) => line(self.unknown(name), None),
            Some(Source::Schedule(schedule)) => {
                let known = view.find::<Schedule>(&schedule.value).is_some();
                let schedule = schedule.value.clone();
                let because = because(format!("`{name}` follows `{schedule}`"));
                let atom = if known { Atom::Schedule(schedule) } else { Atom::Unknown(schedule) };
                line(self.atom(atom), because)
            }
            Some(Source::Call { call, zone: Some(zone) }) => {
                let words = call.value.words();
                let because = because(format!("`{name}` carries {words} of `{}`", zone.value));
                line(self.atom(Atom::Call { zone: zone.value.clone(), call: call.value }), because)
            }
            Some(Source::Operator(operator)) => match operator.value {
                Operator::Either => {
                    let because = because(format!("`{name}` is set by hand"));
                    line(self.atom(Atom::Operator(name.clone())), because)
                }
                Operator::On | Operator::Off => {
                    let on = operator.value == Operator::On;
                    let because = because(format!("`{name}` is left {} by hand", on_off(on)));
                    line(Expr::constant(on), because)
                }
            },
            Some(Source::Contact(contact)) => {
                let because = because(format!("`{name}` is a contact (`{}`)", contact.value));
                line(self.atom(Atom::Contact(name.clone())), because)
            }
            Some(Source::Point(other)) => {
                let because = because(format!("`{name}` follows `{}`", other.value));
                let near = self.near(&other.value);
                FollowedPoint { hangs_free: self.any_hangs_free(&near), ..line(near, because) }
            }
            Some(Source::Logic(words)) => {
                let text = point.entry.part.scalar(words.at).filter(|text| text.len() <= LONGEST_WORDS);
                let because = match (text, driver.inverted.is_some()) {
                    (Some(text), false) => Because::new(at, format!("`{name}` is on when `{text}`")),
                    (Some(text), true) => Because::new(at, format!("`{name}` is off when `{text}`")),
                    (None, _) => {
                        Because::new(at, format!("`{name}` is worked out from other points{inverted}"))
                    }
                };
                let near = self.words(&words.value);
                FollowedPoint { hangs_free: self.any_hangs_free(&near), ..line(near, Some(because)) }
            }
        }
    }

    /// Whether a path hangs free behind any of the points that a value comes from.
    fn any_hangs_free(&self, near: &Expr) -> bool {
        let points = near.mentions().into_iter().filter_map(variables::point);
        points.into_iter().any(|n| self.lines.get(n).is_some_and(|line| line.hangs_free))
    }

    /// The meaning of words whose points were followed. What the reader of words accepts nests little.
    fn words(&mut self, words: &Words) -> Expr {
        match words {
            Words::Is(name, _) => self.near(name),
            Words::Choice { option, .. } => self.unknown(&option.0),
            Words::Not(inner) => !self.words(inner),
            Words::And(all) => Expr::and(all.iter().map(|w| self.words(w)).collect::<Vec<_>>()),
            Words::Or(all) => Expr::or(all.iter().map(|w| self.words(w)).collect::<Vec<_>>()),
        }
    }
}

/// The points that a point takes its value from, in the order written.
fn sources(point: &Point) -> Vec<Name> {
    let mut names = Vec::new();
    if let Some(Command::Source(driver)) = in_command(point) {
        match &driver.source {
            Some(Source::Point(other)) => names.push(other.value.clone()),
            Some(Source::Logic(words)) => words.value.each_name(&mut |name, _| names.push(name.clone())),
            Some(Source::Call { .. } | Source::Schedule(_) | Source::Contact(_) | Source::Operator(_))
            | None => {}
        }
    }
    names
}

/// Whether the point itself is what may be on or off, whichever way its relay is wired.
fn is_free(driver: &Driver) -> bool {
    match &driver.source {
        None | Some(Source::Contact(_) | Source::Call { zone: None, .. }) => true,
        Some(Source::Operator(operator)) => operator.value == Operator::Either,
        Some(Source::Call { .. } | Source::Schedule(_) | Source::Point(_) | Source::Logic(_)) => false,
    }
}
