//! What units have in common that are wired and set alike, whatever their names: on a campus, most of them.

use crate::proof::circuit::Circuit;
use crate::proof::course::Kind;
use crate::proof::followed::{Hours, State};
use crate::signal::Feed;
use logic::{Expr, Op};
use std::sync::Arc;

/// All that a unit's [`Solved`](crate::proof::solved::Solved) is worked out from, written out in numbers; what follows from
/// equal shapes is equal. Of names, places and hours it knows nothing.
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct Shape(Box<[u32]>);

impl Shape {
    /// The shape of a circuit whose schedules come together in these kinds of moments.
    pub(crate) fn of(circuit: &Circuit<'_, '_>, kinds: &[Kind]) -> Shape {
        // Every list is preceded by its length, so that no two circuits are written alike.
        let mut writer = Writer(Vec::with_capacity(256));
        let address = Arc::as_ptr(circuit.logic) as usize as u64;
        writer.0.extend([address as u32, (address >> 32) as u32]);
        writer.list(circuit.chosen, |w, choice| w.number(*choice));
        writer.list(circuit.signals, |w, signal| match &signal.feed {
            Feed::Open => w.0.push(0),
            Feed::Tie(other) => w.0.extend([1, *other as u32]),
            Feed::Value(expr) => {
                w.0.push(2);
                w.expr(expr);
            }
        });
        writer.list(circuit.wires.lines(), |w, line| {
            w.0.push(u32::from(line.because.is_some()));
            w.expr(&line.near);
        });
        let followed = circuit.followed;
        writer.list(&followed.schedules, |w, schedule| w.0.push(u32::from(schedule.var.0)));
        writer.list(kinds, |w, kind| w.list(&followed.states(kind), |w, state| w.state(*state)));
        writer.hours(followed.own);
        writer.list(&followed.zones, |w, calling| {
            w.hours(calling.hours);
            w.list(&calling.calls, |w, (call, var)| {
                w.text(call);
                w.0.push(u32::from(var.0));
            });
            w.list(&calling.modes, |w, rules| rules.write(followed, w));
        });
        Shape(writer.0.into())
    }
}

/// Writes a shape.
pub(crate) struct Writer(Vec<u32>);

impl Writer {
    pub(crate) fn list<T>(&mut self, items: &[T], mut item: impl FnMut(&mut Writer, &T)) {
        self.0.push(items.len() as u32);
        items.iter().for_each(|one| item(self, one));
    }

    pub(crate) fn number(&mut self, number: Option<usize>) {
        self.0.push(number.map_or(u32::MAX, |n| n as u32));
    }

    pub(crate) fn text(&mut self, text: &str) {
        self.0.push(text.len() as u32);
        self.0.extend(text.as_bytes().chunks(4).map(|four| {
            let mut word = [0; 4];
            word.iter_mut().zip(four).for_each(|(to, from)| *to = *from);
            u32::from_le_bytes(word)
        }));
    }

    pub(crate) fn state(&mut self, state: State) {
        self.0.push(match state {
            State::Switch(on) => u32::from(on),
            State::Unknown => 2,
            State::Quantity(value) => 3 + u32::from(value),
        });
    }

    fn hours(&mut self, hours: Hours) {
        match hours {
            Hours::Always => self.0.push(0),
            Hours::Unknown => self.0.push(1),
            Hours::Scheduled(n) => self.0.extend([2, n as u32]),
        }
    }

    fn expr(&mut self, expr: &Expr) {
        self.list(expr.ops(), |w, op| match op {
            Op::Constant(on) => w.0.push(u32::from(*on)),
            Op::Not => w.0.push(2),
            Op::Unknown => w.0.push(3),
            Op::Var(var) => w.0.push(4 + u32::from(var.0)),
            Op::And(count) => w.0.extend([u32::MAX, *count]),
            Op::Or(count) => w.0.extend([u32::MAX - 1, *count]),
        });
    }
}
