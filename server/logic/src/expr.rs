//! Expressions as written, kept as a flat program so that no depth of nesting can hurt.

use std::ops;
use std::vec::Drain;

use crate::{Bounds, Var};

/// One step of an expression in postfix order: operands stand before their operator.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Op {
    /// Always on, or always off.
    Constant(bool),
    /// An input.
    Var(Var),
    /// Negates the operand before it.
    Not,
    /// All of the given number of operands before it (two or more).
    And(u32),
    /// Any of the given number of operands before it (two or more).
    Or(u32),
    /// An expression too large to keep: nothing is known of it.
    Unknown,
}

/// A boolean expression: constants, inputs, `not`, `and`, `or`.
///
/// It owns one list of [`Op`]s, so building, copying and dropping take no recursion. Builders drop
/// neutral operands and double negations, and flatten nothing else: what was written can be shown.
/// An expression of more steps than [`Bounds::ops`] becomes a single [`Op::Unknown`].
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Expr(Vec<Op>);

impl Expr {
    /// Always on, or always off.
    pub fn constant(value: bool) -> Self {
        Self(vec![Op::Constant(value)])
    }

    /// One input.
    pub fn var(var: Var) -> Self {
        Self(vec![Op::Var(var)])
    }

    /// An expression of which nothing is known.
    pub fn unknown() -> Self {
        Self(vec![Op::Unknown])
    }

    /// On when all operands are; always on without any.
    pub fn and(operands: impl IntoIterator<Item = Expr>) -> Self {
        Self::join(operands, true)
    }

    /// On when any operand is; always off without any.
    pub fn or(operands: impl IntoIterator<Item = Expr>) -> Self {
        Self::join(operands, false)
    }

    /// `neutral` is the constant that changes nothing: on for `and`, off for `or`.
    fn join(operands: impl IntoIterator<Item = Expr>, neutral: bool) -> Self {
        let mut kept = Vec::new();
        for operand in operands {
            match operand.0.as_slice() {
                [Op::Constant(value)] if *value == neutral => {}
                [Op::Constant(_)] => return operand,
                _ => kept.push(operand),
            }
        }
        if kept.iter().map(|operand| operand.0.len()).sum::<usize>() >= Bounds::current().ops {
            return Self::unknown();
        }
        let operator = match kept.len() {
            0 => return Self::constant(neutral),
            1 => None,
            count if neutral => Some(Op::And(count as u32)),
            count => Some(Op::Or(count as u32)),
        };
        let steps = kept.into_iter().flat_map(|operand| operand.0);
        Self(steps.chain(operator).collect())
    }

    /// The steps, operands before operators; never empty.
    pub fn ops(&self) -> &[Op] {
        &self.0
    }

    /// The inputs it mentions, in order of first appearance.
    pub fn mentions(&self) -> Vec<Var> {
        let mut seen = rustc_hash::FxHashSet::default();
        let vars = self.0.iter().filter_map(|op| match op {
            Op::Var(var) => Some(*var),
            _ => None,
        });
        vars.filter(|var| seen.insert(*var)).collect()
    }

    /// The same expression with other inputs.
    #[must_use]
    pub fn map_vars(&self, mut to: impl FnMut(Var) -> Var) -> Self {
        Self(
            (self.0.iter())
                .map(|op| match op {
                    Op::Var(var) => Op::Var(to(*var)),
                    other => *other,
                })
                .collect(),
        )
    }

    /// The expression with each input replaced by an expression of its own.
    #[must_use]
    pub fn substitute(&self, mut by: impl FnMut(Var) -> Expr) -> Self {
        self.fold(|op, mut operands| match op {
            Op::Var(var) => by(var),
            Op::Constant(value) => Self::constant(value),
            Op::Not => !operands.next().unwrap_or_else(Self::unknown),
            Op::And(_) => Self::and(operands),
            Op::Or(_) => Self::or(operands),
            Op::Unknown => Self::unknown(),
        })
        .unwrap_or_else(Self::unknown)
    }

    /// Its value under an assignment; off where nothing is known.
    pub fn eval(&self, value: &dyn Fn(Var) -> bool) -> bool {
        self.fold(|op, mut operands: Drain<'_, bool>| match op {
            Op::Var(var) => value(var),
            Op::Constant(value) => value,
            Op::Not => !operands.next().unwrap_or_default(),
            Op::And(_) => operands.all(|on| on),
            Op::Or(_) => operands.any(|on| on),
            Op::Unknown => false,
        })
        .unwrap_or_default()
    }

    /// Computes a value bottom up: `step` is given each step with the values of its operands.
    pub fn fold<T>(&self, mut step: impl FnMut(Op, Drain<'_, T>) -> T) -> Option<T> {
        let mut stack = Vec::new();
        for op in &self.0 {
            let operands = match op {
                Op::Constant(_) | Op::Var(_) | Op::Unknown => 0,
                Op::Not => 1,
                Op::And(count) | Op::Or(count) => *count as usize,
            };
            let at = stack.len().saturating_sub(operands);
            let value = step(*op, stack.drain(at..));
            stack.push(value);
        }
        stack.pop()
    }
}

impl ops::Not for Expr {
    type Output = Self;

    fn not(mut self) -> Self {
        match self.0.last_mut() {
            Some(Op::Constant(value)) => *value = !*value,
            Some(Op::Not) => drop(self.0.pop()),
            Some(Op::Unknown) => {}
            _ => self.0.push(Op::Not),
        }
        self
    }
}

impl ops::BitAnd for Expr {
    type Output = Self;

    fn bitand(self, other: Self) -> Self {
        Self::and([self, other])
    }
}

impl ops::BitOr for Expr {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Self::or([self, other])
    }
}
