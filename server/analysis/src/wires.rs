//! From a point back to what decides it: a schedule, a call, a contact, a hand.

use crate::atom::Atom;
use crate::command::{Command, in_command};
use crate::reasons::Because;
use crate::variables;
use crate::words::on_off;
use logic::{Expr, Var};
use model::{Driver, EntryId, Found, Name, Operator, Point, Schedule, Source, View, Words};
use rustc_hash::FxHashMap;

/// A value on the way to a terminal.
#[derive(Clone)]
pub(crate) struct Value {
    /// Over atoms and the points just behind it.
    pub(crate) near: Expr,
    /// Over atoms alone.
    pub(crate) expr: Expr,
    /// The facts it comes from, nearest first, each once.
    pub(crate) path: Vec<Because>,
    /// Whether an end of the path hangs free.
    pub(crate) hangs_free: bool,
}

/// A point's logic beyond this length is not quoted: its line is there to be read.
const LONGEST_WORDS: usize = 80;

/// Facts of a path beyond this are of no use to a reader.
const LONGEST_PATH: usize = 64;

impl Value {
    pub(crate) fn of(expr: Expr) -> Value {
        Value { near: expr.clone(), expr, path: Vec::new(), hangs_free: false }
    }

    /// Off, since nothing gives it a value.
    pub(crate) fn hanging() -> Value {
        Value { hangs_free: true, ..Value::of(Expr::constant(false)) }
    }

    fn constant(on: bool, because: Because) -> Value {
        Value::of(Expr::constant(on)).after(vec![because])
    }

    /// The same value with `path` before its own.
    pub(crate) fn after(self, mut path: Vec<Because>) -> Value {
        for because in self.path {
            if path.len() < LONGEST_PATH && !path.contains(&because) {
                path.push(because);
            }
        }
        Value { path, ..self }
    }

    fn inverted(self) -> Value {
        Value { near: !self.near, expr: !self.expr, ..self }
    }

    fn join(all: Vec<Value>, join: fn(Vec<Expr>) -> Expr) -> Value {
        let near = join(all.iter().map(|v| v.near.clone()).collect());
        let expr = join(all.iter().map(|v| v.expr.clone()).collect());
        let hangs_free = all.iter().any(|v| v.hangs_free);
        let joined = Value { near, expr, path: Vec::new(), hangs_free };
        let path = all.into_iter().fold(Vec::new(), |path, v| v.after(path).path);
        Value { path, ..joined }
    }
}

/// A point that was followed: one line of the point list.
pub(crate) struct Line {
    /// What it says, where it says so; nothing if that could not be read.
    pub(crate) because: Option<Because>,
    /// When it is on, over atoms and points followed before it.
    pub(crate) near: Expr,
    /// Whether nothing drives it.
    pub(crate) undriven: bool,
    value: Value,
}

/// The atoms and points behind a unit's inputs; variable `i` of a signal is atom `i`.
#[derive(Default)]
pub struct Wires {
    atoms: Vec<Atom>,
    numbers: FxHashMap<Atom, Var>,
    lines: Vec<Line>,
    known: FxHashMap<Name, usize>,
    /// Points being followed, the outermost first.
    trail: Vec<Name>,
    depth: usize,
    /// Points on a circle, each with the outermost it was followed from.
    circular: FxHashMap<Name, Name>,
    /// Points that give themselves their value, each once.
    pub circles: Vec<(EntryId, Name)>,
}

/// Points and operators nest no deeper than this, wherever a person wrote them.
const DEEPEST: usize = 512;

impl Wires {
    /// The atoms in the order of their first use.
    pub fn atoms(&self) -> &[Atom] {
        &self.atoms
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
    pub(crate) fn lines(&self) -> &[Line] {
        &self.lines
    }

    fn atom(&mut self, atom: Atom) -> Value {
        let next = self.atoms.len();
        let room = variables::within(next, |n| Var(n as u16));
        if let Some(var) = self.numbers.get(&atom) {
            return Value::of(Expr::var(*var));
        }
        if let [logic::Op::Var(var)] = room.ops() {
            self.numbers.insert(atom.clone(), *var);
            self.atoms.push(atom);
        }
        Value::of(room)
    }

    /// Something of which nothing is known but its name.
    pub(crate) fn unknown(&mut self, name: &Name) -> Value {
        self.atom(Atom::Unknown(name.clone()))
    }

    /// The value of a point.
    pub(crate) fn point(&mut self, view: &View<'_>, name: &Name) -> Value {
        if let Some(line) = self.known.get(name) {
            let line = *line;
            if let Some(outermost) = self.circular.get(name).cloned() {
                self.close_circle(view, &outermost);
            }
            return self.line(line);
        }
        let Some(point) = view.find::<Point>(name) else {
            return self.unknown(name);
        };
        if self.trail.contains(name) {
            self.close_circle(view, name);
            return self.unknown(name);
        }
        if self.depth > DEEPEST {
            return self.unknown(name);
        }
        self.trail.push(name.clone());
        self.depth += 1;
        let value = self.driven(view, point, name);
        self.depth -= 1;
        self.trail.pop();
        // Whichever of its points a circle is met at, all of them are unknown.
        let value = if self.circular.contains_key(name) { self.unknown(name) } else { value };
        let because = value.path.first().cloned();
        let undriven = value.hangs_free && value.path.len() == 1;
        self.lines.push(Line { because, near: value.near.clone(), undriven, value });
        self.known.insert(name.clone(), self.lines.len() - 1);
        self.line(self.lines.len() - 1)
    }

    /// Marks the points that are being followed from `outermost` on, if it is one of them.
    fn close_circle(&mut self, view: &View<'_>, outermost: &Name) {
        let Some(first) = self.trail.iter().position(|n| n == outermost) else {
            return;
        };
        for name in self.trail.get(first..).unwrap_or(&[]) {
            let known = self.circular.get(name).and_then(|n| self.trail.iter().position(|t| t == n));
            if known.is_none_or(|known| first < known)
                && self.circular.insert(name.clone(), outermost.clone()).is_none()
            {
                self.circles.extend(view.find::<Point>(name).map(|point| (point.id, name.clone())));
            }
        }
    }

    fn line(&self, n: usize) -> Value {
        match self.lines.get(n) {
            Some(line) => Value { near: variables::within(n, variables::of_point), ..line.value.clone() },
            None => Value::of(Expr::unknown()),
        }
    }

    fn driven(&mut self, view: &View<'_>, point: Found<'_, Point>, name: &Name) -> Value {
        match in_command(point.is) {
            None if point.is.measures.is_some() => {
                let because = Because::new(point.head(), format!("{name} is read from the field"));
                self.atom(Atom::Contact(name.clone())).after(vec![because])
            }
            None if point.entry.facts.doubtful() => self.unknown(name),
            None => {
                let text = format!("nothing drives {name}, so it stays off");
                Value::hanging().after(vec![Because::new(point.head(), text)])
            }
            Some(Command::Pinned { at, value, priority }) => {
                let text = format!("{name} is pinned {} at priority {priority}", on_off(value));
                Value::constant(value, Because::new(point.place(at), text))
            }
            Some(Command::Source(driver)) => {
                let value = self.source(view, point, driver, name);
                if driver.inverted.is_some() && !is_free(driver) { value.inverted() } else { value }
            }
        }
    }

    fn source(&mut self, view: &View<'_>, point: Found<'_, Point>, driver: &Driver, name: &Name) -> Value {
        let inverted = if driver.inverted.is_some() { ", inverted" } else { "" };
        let at = point.place(driver.at);
        let because = |text: String| vec![Because::new(at.clone(), text + inverted)];
        match &driver.source {
            None | Some(Source::Call { zone: None, .. }) => self.unknown(name),
            Some(Source::Schedule(schedule)) => {
                let known = view.find::<Schedule>(&schedule.value).is_some();
                let schedule = schedule.value.clone();
                let because = because(format!("{name} follows schedule `{schedule}`"));
                self.atom(if known { Atom::Schedule(schedule) } else { Atom::Unknown(schedule) })
                    .after(because)
            }
            Some(Source::Call { call, zone: Some(zone) }) => {
                let words = call.value.words();
                let because = because(format!("{name} carries {words} of `{}`", zone.value));
                self.atom(Atom::Call { zone: zone.value.clone(), call: call.value }).after(because)
            }
            Some(Source::Operator(operator)) => match operator.value {
                Operator::Either => {
                    let because = because(format!("{name} is set by hand"));
                    self.atom(Atom::Operator(name.clone())).after(because)
                }
                Operator::On | Operator::Off => {
                    let on = operator.value == Operator::On;
                    let because = because(format!("{name} is left {} by hand", on_off(on)));
                    Value::of(Expr::constant(on)).after(because)
                }
            },
            Some(Source::Contact(contact)) => {
                let because = because(format!("{name} is a contact ({})", contact.value));
                self.atom(Atom::Contact(name.clone())).after(because)
            }
            Some(Source::Point(other)) => {
                let because = because(format!("{name} follows {}", other.value));
                self.point(view, &other.value).after(because)
            }
            Some(Source::Logic(words)) => {
                let text = point.entry.part.scalar(words.at).filter(|text| text.len() <= LONGEST_WORDS);
                let because = match (text, driver.inverted.is_some()) {
                    (Some(text), false) => Because::new(at, format!("{name} is on when {text}")),
                    (Some(text), true) => Because::new(at, format!("{name} is off when {text}")),
                    (None, _) => {
                        Because::new(at, format!("{name} is worked out from other points{inverted}"))
                    }
                };
                self.words(view, &words.value).after(vec![because])
            }
        }
    }

    fn words(&mut self, view: &View<'_>, words: &Words) -> Value {
        if self.depth > DEEPEST {
            return Value::of(Expr::unknown());
        }
        self.depth += 1;
        let value = match words {
            Words::Is(name, _) => self.point(view, name),
            Words::Choice { option, .. } => self.unknown(&option.0),
            Words::Not(inner) => self.words(view, inner).inverted(),
            Words::And(all) => Value::join(all.iter().map(|w| self.words(view, w)).collect(), Expr::and),
            Words::Or(all) => Value::join(all.iter().map(|w| self.words(view, w)).collect(), Expr::or),
        };
        self.depth -= 1;
        value
    }
}

/// Whether the point itself is what may be on or off, whichever way its relay is wired.
fn is_free(driver: &Driver) -> bool {
    match &driver.source {
        None | Some(Source::Contact(_) | Source::Call { zone: None, .. }) => true,
        Some(Source::Operator(operator)) => operator.value == Operator::Either,
        Some(Source::Call { .. } | Source::Schedule(_) | Source::Point(_) | Source::Logic(_)) => false,
    }
}
