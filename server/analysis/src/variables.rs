//! How the variables of a unit's functions are numbered: each kind of thing has a range of its own.
//!
//! Atoms come first, so that variable `i` is atom `i`. The rest appear in functions only where
//! something is left open.

use logic::{Expr, Var};

/// How many variables a range holds. Functions give up far below (at 1,024 inputs).
const RANGE: usize = 1 << 14;

const TYPE: u16 = 1 << 14;
const POINTS: u16 = 2 << 14;
const SCHEDULES: u16 = 3 << 14;
const MODES: u16 = SCHEDULES + (1 << 13);

/// A variable of a unit type, left open.
pub(crate) fn of_type(var: Var) -> Var {
    Var(TYPE + (var.0 & (TYPE - 1)))
}

/// The variable of a unit type that a variable stands for.
pub(crate) fn in_type(var: Var) -> Option<Var> {
    (TYPE..POINTS).contains(&var.0).then(|| Var(var.0 - TYPE))
}

/// The value of point `n` of the wires.
pub(crate) fn of_point(n: usize) -> Var {
    Var(POINTS + n as u16 % TYPE)
}

/// The number of the point that a variable stands for.
pub(crate) fn point(var: Var) -> Option<usize> {
    (POINTS..SCHEDULES).contains(&var.0).then(|| usize::from(var.0 - POINTS))
}

/// Schedule `n`, where no atom stands for it.
pub(crate) fn of_schedule(n: usize) -> Var {
    Var(SCHEDULES + n as u16 % (1 << 13))
}

/// Whether zone `n` is occupied, where no schedule says it.
pub(crate) fn of_mode(n: usize) -> Var {
    Var(MODES + n as u16 % (1 << 13))
}

/// Variable `n` of a range, as long as there is room.
pub(crate) fn within(n: usize, var: impl FnOnce(usize) -> Var) -> Expr {
    if n < RANGE { Expr::var(var(n)) } else { Expr::unknown() }
}
