//! How the variables of a unit's functions are numbered: each kind of thing has a range of its own.
//!
//! Atoms come first, so that variable `i` is atom `i`. The rest appear in functions only where
//! something is left open. A number past its range has no variable: what it stands for is unknown.

use logic::{Expr, Function, Var};

/// How many variables a range holds.
const RANGE: u32 = 1 << 28;

const TYPE: u32 = 1 << 28;
const POINTS: u32 = 2 << 28;
const SCHEDULES: u32 = 3 << 28;
const MODES: u32 = SCHEDULES + (1 << 27);

fn numbered(first: u32, n: usize, room: u32) -> Option<Var> {
    let n = u32::try_from(n).ok().filter(|n| *n < room)?;
    Some(Var(first + n))
}

/// Atom `n`, or variable `n` of a unit type among its own kind.
pub(crate) fn own(n: usize) -> Option<Var> {
    numbered(0, n, RANGE)
}

/// A variable of a unit type, left open.
pub(crate) fn of_type(var: Var) -> Option<Var> {
    numbered(TYPE, var.0 as usize, RANGE)
}

/// The variable of a unit type that a variable stands for.
pub(crate) fn in_type(var: Var) -> Option<Var> {
    (TYPE..POINTS).contains(&var.0).then(|| Var(var.0 - TYPE))
}

/// The value of point `n` of the wires.
pub(crate) fn of_point(n: usize) -> Option<Var> {
    numbered(POINTS, n, RANGE)
}

/// The number of the point that a variable stands for.
pub(crate) fn point(var: Var) -> Option<usize> {
    (POINTS..SCHEDULES).contains(&var.0).then(|| (var.0 - POINTS) as usize)
}

/// Schedule `n`, where no atom stands for it.
pub(crate) fn of_schedule(n: usize) -> Option<Var> {
    numbered(SCHEDULES, n, RANGE / 2)
}

/// Whether zone `n` is occupied, where no schedule says it.
pub(crate) fn of_mode(n: usize) -> Option<Var> {
    numbered(MODES, n, RANGE / 2)
}

/// What is on when a variable is.
pub(crate) fn expr(var: Option<Var>) -> Expr {
    var.map_or_else(Expr::unknown, Expr::var)
}

/// The same as a function.
pub(crate) fn function(var: Option<Var>) -> Function {
    var.map_or_else(Function::unknown, Function::var)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_do_not_run_into_each_other() {
        let last = RANGE as usize - 1;
        assert_eq!(own(last).and_then(of_type).and_then(in_type), own(last));
        assert_eq!(of_point(last).and_then(point), Some(last));
        let last_half = RANGE as usize / 2 - 1;
        let ends = [own(last), own(last).and_then(of_type), of_point(last), of_schedule(last_half)];
        let starts = [of_type(Var(0)), of_point(0), of_schedule(0), of_mode(0)];
        assert!(ends.iter().zip(starts).all(|(end, start)| end.is_some() && *end < start));
        let past = RANGE as usize;
        assert_eq!([own(past), of_type(Var(RANGE)), of_point(past), of_schedule(past)], [None; 4]);
        assert_eq!([of_mode(past), of_point(usize::MAX)], [None; 2]);
    }
}
