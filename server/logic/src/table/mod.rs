//! Truth tables, sixty-four rows to a word: functions of up to sixteen inputs.
//!
//! Bit `r` of a table is the value in row `r`; bit `i` of `r` is the value of the `i`-th variable.
//! A table of fewer than six variables fills its one word by repetition, so that word operations
//! need no masks and equal functions have equal words.

mod words;

use crate::{Expr, Literal, Op, Var};
use words::{COLUMNS, bit, depends, fold_top, merge_halves, push_column, swap, word_count};

/// The most variables a table may have.
pub(crate) const MAX_INPUTS: usize = 16;

/// A connective of two functions; the others are these with a negation.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Connective {
    And,
    Or,
    Xor,
}

/// Up to sixteen variables in ascending order, kept in place.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub(crate) struct VarList {
    len: u8,
    vars: [Var; MAX_INPUTS],
}

impl VarList {
    pub(crate) fn from_sorted(vars: &[Var]) -> Option<Self> {
        let mut list = Self::default();
        for var in vars {
            list.push(*var)?;
        }
        Some(list)
    }

    fn push(&mut self, var: Var) -> Option<()> {
        *self.vars.get_mut(usize::from(self.len))? = var;
        self.len += 1;
        Some(())
    }

    pub(crate) fn as_slice(&self) -> &[Var] {
        self.vars.get(..usize::from(self.len)).unwrap_or_default()
    }

    fn len(&self) -> usize {
        usize::from(self.len)
    }

    fn position(&self, var: Var) -> Option<usize> {
        self.as_slice().iter().position(|own| *own == var)
    }

    /// Both lists merged; `None` when that is more than a table holds.
    pub(crate) fn union(&self, other: &Self) -> Option<Self> {
        if self == other {
            return Some(*self);
        }
        let mut merged = Self::default();
        let (mut left, mut right) = (self.as_slice(), other.as_slice());
        loop {
            let next = match (left.first(), right.first()) {
                (Some(a), Some(b)) => *a.min(b),
                (Some(only), None) | (None, Some(only)) => *only,
                (None, None) => return Some(merged),
            };
            left = left.strip_prefix(&[next]).unwrap_or(left);
            right = right.strip_prefix(&[next]).unwrap_or(right);
            merged.push(next)?;
        }
    }
}

/// The words of a table; most tables are one word and take no allocation.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
enum Words {
    One(u64),
    Many(Box<[u64]>),
}

impl Words {
    fn of(vars: usize) -> Self {
        match word_count(vars) {
            1 => Self::One(0),
            count => Self::Many(vec![0; count].into_boxed_slice()),
        }
    }

    fn as_slice(&self) -> &[u64] {
        match self {
            Self::One(word) => std::slice::from_ref(word),
            Self::Many(words) => words,
        }
    }

    fn as_mut(&mut self) -> &mut [u64] {
        match self {
            Self::One(word) => std::slice::from_mut(word),
            Self::Many(words) => words,
        }
    }
}

/// A function of exactly the variables listed: it depends on every one of them.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub(crate) struct Table {
    vars: VarList,
    words: Words,
}

impl Table {
    pub(crate) fn constant(value: bool) -> Self {
        Self { vars: VarList::default(), words: Words::One(if value { u64::MAX } else { 0 }) }
    }

    pub(crate) fn var(var: Var) -> Self {
        let mut vars = VarList::default();
        vars.push(var);
        Self { vars, words: Words::One(COLUMNS[0]) }
    }

    /// Runs an expression over whole tables. `vars` must hold every variable it mentions.
    /// `None` when the expression is not known.
    pub(crate) fn of_expr(expr: &Expr, vars: VarList) -> Option<Self> {
        let width = word_count(vars.len());
        let mut stack: Vec<u64> = Vec::with_capacity(width * 4);
        for op in expr.ops() {
            match *op {
                Op::Constant(value) => {
                    stack.resize(stack.len() + width, if value { u64::MAX } else { 0 });
                }
                Op::Var(var) => push_column(&mut stack, width, vars.position(var)?),
                Op::Not => {
                    let at = stack.len().checked_sub(width)?;
                    for word in stack.get_mut(at..)? {
                        *word = !*word;
                    }
                }
                Op::And(count) => fold_top(&mut stack, width, count, |a, b| a & b)?,
                Op::Or(count) => fold_top(&mut stack, width, count, |a, b| a | b)?,
                Op::Unknown => return None,
            }
        }
        let words = match stack.as_slice() {
            [word] => Words::One(*word),
            _ => Words::Many(stack.into_boxed_slice()),
        };
        Some(Self { vars, words }.reduced())
    }

    /// A table from the value of each row. `rows` must be two to the number of variables.
    pub(crate) fn of_rows(vars: VarList, rows: impl Iterator<Item = bool>) -> Self {
        let mut words = Words::of(vars.len());
        for (row, _) in rows.enumerate().filter(|(_, value)| *value) {
            if let Some(word) = words.as_mut().get_mut(row / 64) {
                *word |= 1 << (row % 64);
            }
        }
        if let Words::One(word) = &mut words {
            for doubled in vars.len()..COLUMNS.len() {
                *word |= *word << (1 << doubled);
            }
        }
        Self { vars, words }.reduced()
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = bool> {
        let words = self.words.as_slice();
        (0..1_usize << self.vars.len()).map(|row| bit(words, row))
    }

    pub(crate) fn vars(&self) -> &[Var] {
        self.vars.as_slice()
    }

    pub(crate) fn var_list(&self) -> &VarList {
        &self.vars
    }

    /// The value, when it is the same in every row.
    pub(crate) fn as_constant(&self) -> Option<bool> {
        (self.vars.len == 0).then(|| bit(self.words.as_slice(), 0))
    }

    pub(crate) fn not(&self) -> Self {
        let mut negated = self.clone();
        for word in negated.words.as_mut() {
            *word = !*word;
        }
        negated
    }

    /// `None` when the two together have more variables than a table holds.
    pub(crate) fn combine(&self, other: &Self, connective: Connective) -> Option<Self> {
        let vars = self.vars.union(&other.vars)?;
        let mut words = self.spread(&vars);
        let others = other.spread(&vars);
        let pairs = words.as_mut().iter_mut().zip(others.as_slice());
        match connective {
            Connective::And => pairs.for_each(|(a, b)| *a &= b),
            Connective::Or => pairs.for_each(|(a, b)| *a |= b),
            Connective::Xor => pairs.for_each(|(a, b)| *a ^= b),
        }
        Some(Self { vars, words }.reduced())
    }

    /// Whether the other is on wherever this is; `None` as in [`Table::combine`].
    pub(crate) fn implies(&self, other: &Self) -> Option<bool> {
        let vars = self.vars.union(&other.vars)?;
        let (words, others) = (self.spread(&vars), other.spread(&vars));
        let mut pairs = words.as_slice().iter().zip(others.as_slice());
        Some(pairs.all(|(a, b)| a & !b == 0))
    }

    pub(crate) fn restrict(&self, var: Var, value: bool) -> Self {
        let Some(at) = self.vars.position(var) else {
            return self.clone();
        };
        let mut table = self.clone();
        merge_halves(table.words.as_mut(), at, |low, high| if value { high } else { low });
        table.reduced()
    }

    /// Joins the two values of each given variable: `Or` asks for some value, `And` for every one.
    pub(crate) fn quantify(&self, vars: &[Var], connective: Connective) -> Self {
        let mut table = self.clone();
        let words = table.words.as_mut();
        for at in vars.iter().filter_map(|var| self.vars.position(*var)) {
            match connective {
                Connective::Or => merge_halves(words, at, |low, high| low | high),
                Connective::And => merge_halves(words, at, |low, high| low & high),
                Connective::Xor => merge_halves(words, at, |low, high| low ^ high),
            }
        }
        table.reduced()
    }

    pub(crate) fn eval(&self, value: &dyn Fn(Var) -> bool) -> bool {
        let row =
            (self.vars().iter().enumerate()).fold(0, |row, (at, var)| row | usize::from(value(*var)) << at);
        bit(self.words.as_slice(), row)
    }

    /// In how many rows it is on.
    pub(crate) fn count(&self) -> u128 {
        let ones = |word: &u64| u128::from(word.count_ones());
        let total: u128 = self.words.as_slice().iter().map(ones).sum();
        total >> COLUMNS.len().saturating_sub(self.vars.len())
    }

    /// The first row that is on, counting with the first variable as the weightiest.
    pub(crate) fn least_model(&self) -> Option<Vec<Literal>> {
        let mut words = self.words.clone();
        if words.as_slice().iter().all(|word| *word == 0) {
            return None;
        }
        let mut model = Vec::with_capacity(self.vars.len());
        for (at, var) in self.vars().iter().enumerate() {
            let mut off = words.clone();
            merge_halves(off.as_mut(), at, |low, _| low);
            let value = off.as_slice().iter().all(|word| *word == 0);
            if !value {
                words = off;
            }
            model.push(Literal { var: *var, value });
        }
        Some(model)
    }

    /// The words over a longer list of variables that holds all of this table's.
    fn spread(&self, onto: &VarList) -> Words {
        if self.vars == *onto {
            return self.words.clone();
        }
        let mut words = Words::of(onto.len());
        let own = self.words.as_slice();
        for chunk in words.as_mut().chunks_exact_mut(own.len()) {
            chunk.copy_from_slice(own);
        }
        // From the last variable down, each one's place is still free of the ones before it.
        for (from, var) in self.vars().iter().enumerate().rev() {
            if let Some(to) = onto.position(*var) {
                swap(words.as_mut(), from, to);
            }
        }
        words
    }

    /// Drops the variables the function does not depend on.
    fn reduced(mut self) -> Self {
        let words = self.words.as_mut();
        let mut kept = VarList::default();
        for (at, var) in self.vars.as_slice().iter().enumerate() {
            if depends(words, at) {
                swap(words, kept.len(), at);
                kept.push(*var);
            }
        }
        if kept.len != self.vars.len {
            self.words = match self.words.as_slice().get(..word_count(kept.len())) {
                Some([word]) => Words::One(*word),
                Some(words) => Words::Many(words.into()),
                None => self.words,
            };
            self.vars = kept;
        }
        self
    }
}
