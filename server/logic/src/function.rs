//! Boolean functions in one canonical form each.

use std::sync::Arc;
use std::vec::Drain;

use crate::diagram::{Diagram, Elimination, Finished, MAX_VARS, OFF, Ref, Workshop};
use crate::table::{Connective, MAX_INPUTS, Table, VarList};
use crate::{Cube, Expr, Op, Var};

/// What an expression means: its value for every assignment of its inputs.
///
/// Held as a truth table up to sixteen inputs *that matter*, and as a decision diagram ordered by
/// [`Var`] beyond; either way equal functions compare equal. Cheap to clone, free of shared state.
///
/// A function too large to hold (about a quarter of a million diagram nodes, or 1,024 inputs) is
/// [unknown](Function::unknown). Unknown spreads through every operation that depends on it, and
/// no question about it is answered yes, so no claim can rest on it; ask [`Function::is_known`].
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
                if vars.len() > MAX_VARS {
                    return Self::unknown();
                }
            }
        }
        if let Some(vars) = VarList::from_sorted(&vars) {
            return Table::of_expr(expr, vars).map_or_else(Self::unknown, Self::from);
        }
        let mut workshop = Workshop::default();
        let root = expr.fold(|op, operands| workshop.step(op, operands));
        Self::from(workshop.finish(root.unwrap_or(OFF)))
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
        let joined = functions.into_iter().reduce(|a, b| a.and(&b));
        joined.unwrap_or_else(|| Self::constant(true))
    }

    /// On where any of the functions is.
    pub fn any(functions: impl IntoIterator<Item = Function>) -> Self {
        let joined = functions.into_iter().reduce(|a, b| a.or(&b));
        joined.unwrap_or_else(|| Self::constant(false))
    }

    /// On where this is off.
    #[must_use]
    pub fn not(&self) -> Self {
        match &self.0 {
            Body::Table(table) => table.not().into(),
            Body::Diagram(_) => self.worked(Workshop::not),
            Body::Unknown => Self::unknown(),
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
            Body::Table(table) => table.restrict(var, value).into(),
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
            Body::Table(table) => (cube.literals().iter())
                .fold(table.clone(), |table, literal| table.restrict(literal.var, literal.value))
                .into(),
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

    /// The inputs it depends on, ascending; none when it is unknown.
    pub fn support(&self) -> &[Var] {
        match &self.0 {
            Body::Table(table) => table.vars(),
            Body::Diagram(diagram) => diagram.vars(),
            Body::Unknown => &[],
        }
    }

    /// Whether the function could be held at all.
    pub fn is_known(&self) -> bool {
        !matches!(self.0, Body::Unknown)
    }

    /// Its value, when it is certain to be the same everywhere.
    pub fn as_constant(&self) -> Option<bool> {
        match &self.0 {
            Body::Table(table) => table.as_constant(),
            Body::Diagram(_) | Body::Unknown => None,
        }
    }

    /// Whether it is certain to be off everywhere.
    pub fn is_false(&self) -> bool {
        self.as_constant() == Some(false)
    }

    /// Whether it is certain to be on everywhere.
    pub fn is_true(&self) -> bool {
        self.as_constant() == Some(true)
    }

    /// Whether the other is certain to be on wherever this is.
    pub fn implies(&self, other: &Self) -> bool {
        if let (Body::Table(a), Body::Table(b)) = (&self.0, &other.0)
            && let Some(answer) = a.implies(b)
        {
            return answer;
        }
        self.implication(other).is_true()
    }

    /// Whether it is certain to be on wherever the cube holds.
    pub fn is_forced_by(&self, cube: &Cube) -> bool {
        match &self.0 {
            Body::Diagram(diagram) => diagram.is_forced_by(cube),
            Body::Table(_) | Body::Unknown => self.restrict_all(cube).is_true(),
        }
    }

    /// Whether the two are certain to be the same function.
    pub fn equivalent(&self, other: &Self) -> bool {
        self.is_known() && self == other
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
    /// before on, the first input weightiest. `None` when there is none, or it is unknown.
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

    fn combine(&self, other: &Self, connective: Connective) -> Self {
        if let (Body::Table(a), Body::Table(b)) = (&self.0, &other.0)
            && let Some(table) = a.combine(b, connective)
        {
            return table.into();
        }
        self.worked(|workshop, own| {
            let others = other.enter(workshop);
            workshop.combine(own, others, connective)
        })
    }

    fn quantified(&self, vars: &[Var], connective: Connective) -> Self {
        match &self.0 {
            Body::Table(table) => table.quantify(vars, connective).into(),
            _ => self.eliminated(|var| {
                if vars.contains(&var) { Elimination::Join(connective) } else { Elimination::Keep }
            }),
        }
    }

    fn eliminated(&self, how: impl Fn(Var) -> Elimination) -> Self {
        self.worked(|workshop, own| workshop.eliminate(own, &how))
    }

    fn worked(&self, work: impl FnOnce(&mut Workshop, Ref) -> Ref) -> Self {
        let mut workshop = Workshop::default();
        let own = self.enter(&mut workshop);
        let made = work(&mut workshop, own);
        workshop.finish(made).into()
    }
}

impl Workshop {
    fn step(&mut self, op: Op, mut operands: Drain<'_, Ref>) -> Ref {
        match op {
            Op::Constant(value) => Ref::from(value),
            Op::Var(var) => self.var(var),
            Op::Not => {
                let of = operands.next().unwrap_or(OFF);
                self.not(of)
            }
            Op::And(_) => self.join(operands, Connective::And),
            Op::Or(_) => self.join(operands, Connective::Or),
            Op::Unknown => {
                self.fill();
                OFF
            }
        }
    }

    /// Joins in pairs of neighbours, then pairs of pairs: a long chain stays near linear.
    fn join(&mut self, operands: Drain<'_, Ref>, connective: Connective) -> Ref {
        let mut open: Vec<Ref> = operands.collect();
        while open.len() > 1 {
            let pair = |pair: &[Ref]| match *pair {
                [a, b] => self.combine(a, b, connective),
                _ => pair.first().copied().unwrap_or(OFF),
            };
            open = open.chunks(2).map(pair).collect();
        }
        open.pop().unwrap_or(OFF)
    }
}

impl From<Table> for Function {
    fn from(table: Table) -> Self {
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
