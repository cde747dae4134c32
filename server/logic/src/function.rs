//! Boolean functions in one canonical form each.

use std::sync::Arc;
use std::vec::Drain;

use crate::bounds::{Bounds, spend};
use crate::diagram::{Diagram, Elimination, Finished, OFF, Ref, Workshop};
use crate::order::arranged;
use crate::table::{Connective, MAX_INPUTS, Table, VarList};
use crate::{Answer, Cube, Expr, Op, Var};

/// What an expression means: its value for every assignment of its inputs.
///
/// Held as a truth table up to sixteen inputs *that matter*, and as a decision diagram beyond.
/// Tables of equal functions compare equal; diagrams may differ in the order of their variables, so
/// ask [`Function::equivalent`] there. Cheap to clone, free of shared state.
///
/// A function too large for the [`Bounds`] in force is [unknown](Function::unknown). Unknown
/// spreads through every operation that depends on it, and every question about it is answered
/// [`Answer::Unknown`], so that no claim can rest on it.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Function(Body);

#[derive(Clone, PartialEq, Eq, Hash, Debug)]
enum Body {
    Table(Table),
    Diagram(Arc<Diagram>),
    Unknown,
}

impl Function {
    /// Always on, or always off.
    pub fn constant(value: bool) -> Self {
        Self(Body::Table(Table::constant(value)))
    }

    /// On when the input is.
    pub fn var(var: Var) -> Self {
        Self(Body::Table(Table::var(var)))
    }

    /// The function too large to hold.
    pub fn unknown() -> Self {
        Self(Body::Unknown)
    }

    /// On exactly where the cube holds.
    pub fn cube(cube: &Cube) -> Self {
        let literal = |literal: &crate::Literal| {
            let var = Expr::var(literal.var);
            if literal.value { var } else { !var }
        };
        Self::from_expr(&Expr::and(cube.literals().iter().map(literal)))
    }

    /// What an expression means.
    pub fn from_expr(expr: &Expr) -> Self {
        let mut vars = Vec::with_capacity(MAX_INPUTS);
        for op in expr.ops() {
            if let Op::Var(var) = op
                && let Err(at) = vars.binary_search(var)
            {
                vars.insert(at, *var);
                if vars.len() > MAX_INPUTS {
                    return Self::substituted(expr, Self::var);
                }
            }
        }
        let work = expr.ops().len().saturating_mul(1 << vars.len().saturating_sub(6));
        match VarList::from_sorted(&vars) {
            Some(vars) if spend(work as u64 / WORDS_OF_A_STEP + 1) => {
                Table::of_expr(expr, vars).map_or_else(Self::unknown, Self::from)
            }
            _ => Self::unknown(),
        }
    }

    /// What an expression means when each of its inputs stands for a function of its own.
    pub fn substituted(expr: &Expr, mut by: impl FnMut(Var) -> Function) -> Self {
        let meaning = expr.fold(|op, mut operands: Drain<'_, Function>| match op {
            Op::Constant(value) => Self::constant(value),
            Op::Var(var) => by(var),
            Op::Not => operands.next().map_or_else(Self::unknown, |of| of.not()),
            Op::And(_) => Self::all(operands),
            Op::Or(_) => Self::any(operands),
            Op::Unknown => Self::unknown(),
        });
        meaning.unwrap_or_else(Self::unknown)
    }

    /// On where all of the functions are.
    pub fn all(functions: impl IntoIterator<Item = Function>) -> Self {
        Self::join(functions, Connective::And)
    }

    /// On where any of the functions is.
    pub fn any(functions: impl IntoIterator<Item = Function>) -> Self {
        Self::join(functions, Connective::Or)
    }

    /// All of the functions at once: only so can a good order of their variables be found.
    fn join(functions: impl IntoIterator<Item = Function>, connective: Connective) -> Self {
        // What changes nothing, and what decides whatever the others are.
        let neutral = connective == Connective::And;
        let (mut known, mut is_known) = (Vec::new(), true);
        for function in functions {
            match function.as_constant() {
                Some(value) if value == neutral => {}
                Some(decided) => return Self::constant(decided),
                None if function.is_known() => known.push(function),
                None => is_known = false,
            }
        }
        let joined = match known.as_slice() {
            [] => Self::constant(neutral),
            [one] => one.clone(),
            [a, b] => a.combine(b, connective),
            all => Self::join_tables(all, connective).unwrap_or_else(|| Self::join_diagrams(all, connective)),
        };
        if is_known || joined.as_constant() == Some(!neutral) { joined } else { Self::unknown() }
    }

    /// Nothing where the functions together have more inputs than a table holds.
    fn join_tables(all: &[Function], connective: Connective) -> Option<Self> {
        let mut vars = VarList::default();
        for function in all {
            vars = vars.union(function.table()?.var_list())?;
        }
        let (first, rest) = all.split_first()?;
        let mut joined = first.table()?.clone();
        for function in rest {
            if !joined.spend() {
                return Some(Self::unknown());
            }
            joined = joined.combine(function.table()?, connective)?;
        }
        Some(joined.into())
    }

    fn join_diagrams(all: &[Function], connective: Connective) -> Self {
        let mut workshop = Workshop::new(arranged(all));
        let mut open: Vec<Ref> = all.iter().map(|function| function.enter(&mut workshop)).collect();
        // In pairs of neighbours, then pairs of pairs: a long chain stays near linear.
        while open.len() > 1 && !workshop.is_full() {
            let pair = |pair: &[Ref]| match *pair {
                [a, b] => workshop.combine(a, b, connective),
                _ => pair.first().copied().unwrap_or(OFF),
            };
            open = open.chunks(2).map(pair).collect();
        }
        workshop.finish(open.pop().unwrap_or(OFF)).into()
    }

    /// On where this is off.
    #[must_use]
    pub fn not(&self) -> Self {
        match &self.0 {
            Body::Table(table) if table.spend() => table.not().into(),
            Body::Diagram(diagram) if spend(diagram.size() as u64) => {
                Self(Body::Diagram(Arc::new(diagram.not())))
            }
            Body::Table(_) | Body::Diagram(_) | Body::Unknown => Self::unknown(),
        }
    }

    /// On where both are. Off for certain when either is always off.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        match (self.as_constant(), other.as_constant()) {
            (Some(false), _) | (_, Some(false)) => Self::constant(false),
            (Some(true), _) => other.clone(),
            (_, Some(true)) => self.clone(),
            _ => self.combine(other, Connective::And),
        }
    }

    /// On where either is. On for certain when either is always on.
    #[must_use]
    pub fn or(&self, other: &Self) -> Self {
        match (self.as_constant(), other.as_constant()) {
            (Some(true), _) | (_, Some(true)) => Self::constant(true),
            (Some(false), _) => other.clone(),
            (_, Some(false)) => self.clone(),
            _ => self.combine(other, Connective::Or),
        }
    }

    /// On where they differ.
    #[must_use]
    pub fn xor(&self, other: &Self) -> Self {
        self.combine(other, Connective::Xor)
    }

    /// On where this is off or the other on.
    #[must_use]
    pub fn implication(&self, other: &Self) -> Self {
        self.not().or(other)
    }

    /// On where they agree.
    #[must_use]
    pub fn equivalence(&self, other: &Self) -> Self {
        self.xor(other).not()
    }

    /// The function with one input fixed.
    #[must_use]
    pub fn restrict(&self, var: Var, value: bool) -> Self {
        match &self.0 {
            Body::Table(table) if table.spend() => table.restrict(var, value).into(),
            Body::Table(_) => Self::unknown(),
            _ => self.eliminated(
                |other| {
                    if other == var { Elimination::Fix(value) } else { Elimination::Keep }
                },
            ),
        }
    }

    /// The function with the inputs of a cube fixed as the cube has them.
    #[must_use]
    pub fn restrict_all(&self, cube: &Cube) -> Self {
        match &self.0 {
            Body::Table(table) if table.spend() => (cube.literals().iter())
                .fold(table.clone(), |table, literal| table.restrict(literal.var, literal.value))
                .into(),
            Body::Table(_) => Self::unknown(),
            _ => self.eliminated(|var| cube.value(var).map_or(Elimination::Keep, Elimination::Fix)),
        }
    }

    /// On where some value of the input turns it on.
    #[must_use]
    pub fn exists(&self, var: Var) -> Self {
        self.exists_all(&[var])
    }

    /// On where some values of the inputs turn it on.
    #[must_use]
    pub fn exists_all(&self, vars: &[Var]) -> Self {
        self.quantified(vars, Connective::Or)
    }

    /// On where it is on whatever the input's value.
    #[must_use]
    pub fn forall(&self, var: Var) -> Self {
        self.forall_all(&[var])
    }

    /// On where it is on whatever the inputs' values.
    #[must_use]
    pub fn forall_all(&self, vars: &[Var]) -> Self {
        self.quantified(vars, Connective::And)
    }

    /// The inputs it depends on, ascending; `None` when it is unknown.
    pub fn support(&self) -> Option<&[Var]> {
        match &self.0 {
            Body::Table(table) => Some(table.vars()),
            Body::Diagram(diagram) => Some(diagram.vars()),
            Body::Unknown => None,
        }
    }

    /// Whether its value changes with an input.
    pub fn depends_on(&self, var: Var) -> Answer {
        self.support().map_or(Answer::Unknown, |vars| Answer::of(vars.binary_search(&var).is_ok()))
    }

    /// Whether the function could be held at all.
    pub fn is_known(&self) -> bool {
        !matches!(self.0, Body::Unknown)
    }

    /// Its value, when it is certain to be the same everywhere. `None` says nothing.
    pub fn as_constant(&self) -> Option<bool> {
        match &self.0 {
            Body::Table(table) => table.as_constant(),
            Body::Diagram(_) | Body::Unknown => None,
        }
    }

    /// Whether some assignment turns it on.
    pub fn can_be_on(&self) -> Answer {
        match &self.0 {
            Body::Table(table) => Answer::of(table.as_constant() != Some(false)),
            // A diagram depends on each of its inputs.
            Body::Diagram(_) => Answer::Yes,
            Body::Unknown => Answer::Unknown,
        }
    }

    /// Whether it is off everywhere.
    pub fn is_false(&self) -> Answer {
        !self.can_be_on()
    }

    /// Whether it is on everywhere.
    pub fn is_true(&self) -> Answer {
        match &self.0 {
            Body::Table(table) => Answer::of(table.as_constant() == Some(true)),
            Body::Diagram(_) => Answer::No,
            Body::Unknown => Answer::Unknown,
        }
    }

    /// Whether the other is on wherever this is.
    pub fn implies(&self, other: &Self) -> Answer {
        if let (Body::Table(a), Body::Table(b)) = (&self.0, &other.0)
            && a.spend()
            && let Some(answer) = a.implies(b)
        {
            return Answer::of(answer);
        }
        self.implication(other).is_true()
    }

    /// Whether it is on wherever the cube holds.
    pub fn is_forced_by(&self, cube: &Cube) -> Answer {
        match &self.0 {
            Body::Diagram(diagram) if spend(diagram.size() as u64) => Answer::of(diagram.is_forced_by(cube)),
            Body::Diagram(_) => Answer::Unknown,
            Body::Table(_) | Body::Unknown => self.restrict_all(cube).is_true(),
        }
    }

    /// Whether the two are the same function.
    pub fn equivalent(&self, other: &Self) -> Answer {
        match (&self.0, &other.0) {
            (Body::Table(a), Body::Table(b)) => Answer::of(a == b),
            (Body::Diagram(a), Body::Diagram(b)) if a == b => Answer::Yes,
            // Each depends on all of its inputs.
            _ if self.support().is_some()
                && other.support().is_some()
                && self.support() != other.support() =>
            {
                Answer::No
            }
            _ => self.xor(other).is_false(),
        }
    }

    /// Its value under an assignment; `None` when it is unknown.
    pub fn eval(&self, value: &dyn Fn(Var) -> bool) -> Option<bool> {
        match &self.0 {
            Body::Table(table) => Some(table.eval(value)),
            Body::Diagram(diagram) => Some(diagram.eval(value)),
            Body::Unknown => None,
        }
    }

    /// An assignment of its [support](Function::support) that turns it on: the least of them, off
    /// before on, the first input that is asked for weightiest. `None` when there is none, or it is
    /// unknown: [`Function::can_be_on`] tells which.
    pub fn any_model(&self) -> Option<Vec<(Var, bool)>> {
        let literals = match &self.0 {
            Body::Table(table) => table.least_model()?,
            Body::Diagram(diagram) => diagram.least_model(),
            Body::Unknown => return None,
        };
        let pairs = literals.into_iter().map(|literal| (literal.var, literal.value));
        Some(pairs.collect())
    }

    /// How many assignments of its [support](Function::support) turn it on, at most `u128::MAX`;
    /// `None` when it is unknown.
    pub fn count(&self) -> Option<u128> {
        match &self.0 {
            Body::Table(table) => Some(table.count()),
            Body::Diagram(diagram) => Some(diagram.count()),
            Body::Unknown => None,
        }
    }

    /// How many nodes its diagram has; `None` while a table serves. For benches and bug reports.
    pub fn diagram_size(&self) -> Option<usize> {
        match &self.0 {
            Body::Diagram(diagram) => Some(diagram.size()),
            Body::Table(_) | Body::Unknown => None,
        }
    }

    /// Brings the function into a workshop; an unknown one fills it.
    pub(crate) fn enter(&self, workshop: &mut Workshop) -> Ref {
        match &self.0 {
            Body::Table(table) => workshop.import_table(table),
            Body::Diagram(diagram) => workshop.import(diagram),
            Body::Unknown => {
                workshop.fill();
                OFF
            }
        }
    }

    fn table(&self) -> Option<&Table> {
        if let Body::Table(table) = &self.0 { Some(table) } else { None }
    }

    /// The inputs in the order in which it asks for them, and how much that order matters.
    pub(crate) fn order(&self) -> (&[Var], usize) {
        match &self.0 {
            Body::Table(table) => (table.vars(), 0),
            Body::Diagram(diagram) => (diagram.order(), diagram.size()),
            Body::Unknown => (&[], 0),
        }
    }

    fn combine(&self, other: &Self, connective: Connective) -> Self {
        if let (Body::Table(a), Body::Table(b)) = (&self.0, &other.0)
            && let Some(vars) = a.var_list().union(b.var_list())
        {
            return if spend(vars.words() / WORDS_OF_A_STEP + 1) {
                a.combine(b, connective).map_or_else(Self::unknown, Self::from)
            } else {
                Self::unknown()
            };
        }
        if !self.is_known() || !other.is_known() {
            return Self::unknown();
        }
        let mut workshop = Workshop::new(arranged([self, other]));
        let (own, others) = (self.enter(&mut workshop), other.enter(&mut workshop));
        let made = workshop.combine(own, others, connective);
        workshop.finish(made).into()
    }

    fn quantified(&self, vars: &[Var], connective: Connective) -> Self {
        match &self.0 {
            Body::Table(table) if table.spend() => table.quantify(vars, connective).into(),
            Body::Table(_) => Self::unknown(),
            _ => self.eliminated(|var| {
                if vars.contains(&var) { Elimination::Join(connective) } else { Elimination::Keep }
            }),
        }
    }

    fn eliminated(&self, how: impl Fn(Var) -> Elimination) -> Self {
        let mut workshop = Workshop::new(arranged([self]));
        let own = self.enter(&mut workshop);
        let made = workshop.eliminate(own, &how);
        workshop.finish(made).into()
    }
}

/// So many words of tables are worked on in the time that a diagram takes for a step.
const WORDS_OF_A_STEP: u64 = 16;

impl VarList {
    /// The words of a table of these variables.
    fn words(&self) -> u64 {
        1 << self.as_slice().len().saturating_sub(6)
    }
}

impl Table {
    /// Counts the work of going over the table once; whether it may be done.
    fn spend(&self) -> bool {
        spend(self.var_list().words() / WORDS_OF_A_STEP + 1)
    }
}

impl From<Table> for Function {
    fn from(table: Table) -> Self {
        if table.vars().len() > Bounds::current().inputs {
            return Self::unknown();
        }
        Self(Body::Table(table))
    }
}

impl From<Finished> for Function {
    fn from(finished: Finished) -> Self {
        match finished {
            Finished::Table(table) => table.into(),
            Finished::Diagram(diagram) => Self(Body::Diagram(Arc::new(diagram))),
            Finished::TooLarge => Self::unknown(),
        }
    }
}
