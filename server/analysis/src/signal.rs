//! A unit's inputs as wired: which terminal is fed by what.

use crate::atom::Atom;
use crate::reasons::Because;
use crate::wires::{WireValue, Wires};
use crate::words::on_off;
use logic::Expr;
use model::{Found, Name, Unit, View, Wiring, Written};
use rustc_hash::{FxHashMap, FxHashSet};

/// A unit's input as wired: what turns it on, and the path to it.
#[derive(Clone, Debug)]
pub struct Signal {
    pub input: Name,
    /// The written facts from the terminal to the source.
    pub path: Vec<Because>,
    /// Whether the unit's wiring list names it at all.
    pub mentioned: bool,
    /// Whether an end of the path hangs free: an input with no wire, a point that nothing drives.
    pub hangs_free: bool,
    /// What stands at the terminal itself.
    pub(crate) feed: Feed,
    /// What stands at the end of its ties.
    near: Expr,
}

impl Signal {
    /// What decides it, in the order of the first appearance.
    pub fn atoms<'w>(&self, wires: &'w Wires) -> Vec<&'w Atom> {
        wires.behind(&self.near)
    }
}

/// What feeds a terminal.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(crate) enum Feed {
    /// Another input of the type, by its number.
    Tie(usize),
    /// A value over atoms and points.
    Value(Expr),
    /// Nothing.
    Open,
}

/// Ties beyond so many are followed and not named one by one; panels have one.
const LONGEST_TIE: usize = 16;

/// The signals at `inputs`, the inputs of a unit's type in their order.
pub(crate) fn signals(
    wires: &mut Wires,
    view: &View<'_>,
    unit: Found<'_, Unit>,
    inputs: &[Name],
) -> Vec<Signal> {
    let numbers: FxHashMap<&Name, usize> =
        inputs.iter().enumerate().rev().map(|(n, input)| (input, n)).collect();
    let wiring = unit.is.inputs.iter().rev().map(|(input, wiring)| (&input.value, wiring)).collect();
    let strays = unit.is.inputs.iter().any(|(input, _)| !numbers.contains_key(&input.value));
    let mut terminals = Terminals { wires, view, unit, numbers, wiring, strays };
    inputs.iter().map(|input| terminals.signal(input)).collect()
}

struct Terminals<'a, 'j> {
    wires: &'a mut Wires,
    view: &'a View<'j>,
    unit: Found<'j, Unit>,
    /// The inputs of the type by name.
    numbers: FxHashMap<&'a Name, usize>,
    /// What the unit writes of each input.
    wiring: FxHashMap<&'j Name, &'j Written<Wiring>>,
    /// Whether the unit names inputs that the type has not.
    strays: bool,
}

impl Terminals<'_, '_> {
    /// What feeds an input, through however many ties.
    fn signal(&mut self, input: &Name) -> Signal {
        let mut path = Vec::new();
        let mut tied: FxHashSet<&Name> = FxHashSet::default();
        let mut tie = None;
        let mut at = input;
        let value = loop {
            let Some(wiring) = self.wiring.get(at).copied() else {
                break self.nothing(at, &mut path);
            };
            let mut because = |text: String| {
                if path.len() < LONGEST_TIE {
                    path.push(Because::new(self.unit.place(wiring.at), text));
                }
            };
            match &wiring.value {
                Wiring::NotWired => {
                    because(format!("`{at}` is not wired"));
                    break (Feed::Open, WireValue::hanging());
                }
                Wiring::Tied(on) => {
                    because(format!("`{at}` is tied {}", on_off(*on)));
                    break (Feed::Value(Expr::constant(*on)), WireValue::of(Expr::constant(*on)));
                }
                Wiring::TiedTo(other) => {
                    because(format!("`{at}` is tied to `{other}`"));
                    tied.insert(at);
                    if tied.contains(other) {
                        // Ties that lead round lead nowhere: none of them may be followed.
                        tie = None;
                        break self.unknown(other);
                    }
                    tie = tie.or_else(|| self.numbers.get(other).copied());
                    at = other;
                }
                Wiring::Point(point) => {
                    because(format!("`{at}` is wired to `{point}`"));
                    let value = self.wires.point(self.view, point);
                    break (Feed::Value(value.near.clone()), value);
                }
                Wiring::Unreadable => break self.unknown(at),
            }
        };
        let (feed, value) = value;
        let WireValue { near, path, hangs_free } = value.after(path);
        let mentioned = self.wiring.contains_key(input);
        let feed = tie.map_or(feed, Feed::Tie);
        Signal { input: input.clone(), path, mentioned, hangs_free, feed, near }
    }

    /// An input that the wiring list does not name.
    fn nothing(&mut self, input: &Name, path: &mut Vec<Because>) -> (Feed, WireValue) {
        // Its line may be one that could not be read, or one whose name is mistyped.
        if self.unit.entry.facts.doubtful() || self.strays || !self.numbers.contains_key(input) {
            return self.unknown(input);
        }
        let at = self.unit.is.inputs_at.map_or_else(|| self.unit.head(), |at| self.unit.place(at));
        path.push(Because::new(at, format!("`{input}` is not wired")));
        (Feed::Open, WireValue::hanging())
    }

    fn unknown(&mut self, input: &Name) -> (Feed, WireValue) {
        let near = self.wires.unknown(input);
        (Feed::Value(near.clone()), WireValue::of(near))
    }
}
