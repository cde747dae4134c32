//! A unit's inputs as wired: which terminal is fed by what.

use crate::reasons::Because;
use crate::wires::{Value, Wires};
use crate::words::on_off;
use logic::Expr;
use model::{Found, Name, Unit, View, Wiring};

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
    /// What stands at the terminal itself.
    pub(crate) feed: Feed,
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

/// Ties in a row beyond this lead nowhere; panels have one.
const LONGEST_TIE: usize = 16;

/// The signals at `inputs`, the inputs of a unit's type in their order.
pub(crate) fn signals(
    wires: &mut Wires,
    view: &View<'_>,
    unit: Found<'_, Unit>,
    inputs: &[Name],
) -> Vec<Signal> {
    let mut terminals = Terminals { wires, view, unit, inputs, in_circle: false };
    inputs.iter().map(|input| terminals.signal(input)).collect()
}

struct Terminals<'a, 'j> {
    wires: &'a mut Wires,
    view: &'a View<'j>,
    unit: Found<'j, Unit>,
    inputs: &'a [Name],
    /// Whether the ties of the signal at hand lead nowhere: none of them may then be followed.
    in_circle: bool,
}

impl Terminals<'_, '_> {
    fn signal(&mut self, input: &Name) -> Signal {
        let mentioned = self.unit.is.wiring(input).is_some();
        let mut path = Vec::new();
        self.in_circle = false;
        let (feed, value) = self.terminal(input, &mut path, &mut Vec::new());
        let Value { expr, path, hangs_free, .. } = value.after(path);
        Signal { input: input.clone(), expr, path, mentioned, hangs_free, feed }
    }

    /// What feeds an input, and its value in the end; `path` takes the wiring on the way.
    fn terminal(&mut self, input: &Name, path: &mut Vec<Because>, tied: &mut Vec<Name>) -> (Feed, Value) {
        let Some((_, wiring)) = self.unit.is.wiring(input) else {
            return self.nothing(input, path);
        };
        let place = self.unit.place(wiring.at);
        let mut because = |text: String| path.push(Because::new(place.clone(), text));
        match &wiring.value {
            Wiring::NotWired => {
                because(format!("`{input}` is not wired"));
                (Feed::Open, Value::hanging())
            }
            Wiring::Tied(on) => {
                because(format!("`{input}` is tied {}", on_off(*on)));
                (Feed::Value(Expr::constant(*on)), Value::of(Expr::constant(*on)))
            }
            Wiring::TiedTo(other) => {
                because(format!("`{input}` is tied to `{other}`"));
                tied.push(input.clone());
                if tied.contains(other) || tied.len() > LONGEST_TIE {
                    self.in_circle = true;
                    return self.unknown(other);
                }
                let (feed, value) = self.terminal(other, path, tied);
                let known = self.inputs.iter().position(|i| i == other);
                (known.filter(|_| !self.in_circle).map_or(feed, Feed::Tie), value)
            }
            Wiring::Point(point) => {
                because(format!("`{input}` is wired to {point}"));
                let value = self.wires.point(self.view, point);
                (Feed::Value(value.near.clone()), value)
            }
            Wiring::Unreadable => self.unknown(input),
        }
    }

    /// An input that the wiring list does not name.
    fn nothing(&mut self, input: &Name, path: &mut Vec<Because>) -> (Feed, Value) {
        // Its line may be one that could not be read, or one whose name is mistyped.
        let strays = self.unit.is.inputs.iter().any(|(name, _)| !self.inputs.contains(&name.value));
        if self.unit.entry.facts.doubtful() || strays || !self.inputs.contains(input) {
            return self.unknown(input);
        }
        let at = self.unit.is.inputs_at.map_or_else(|| self.unit.head(), |at| self.unit.place(at));
        path.push(Because::new(at, format!("nothing is wired to `{input}`")));
        (Feed::Open, Value::hanging())
    }

    fn unknown(&mut self, input: &Name) -> (Feed, Value) {
        let value = self.wires.unknown(input);
        (Feed::Value(value.near.clone()), value)
    }
}
