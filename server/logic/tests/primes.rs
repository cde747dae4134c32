//! Prime implicants and blocking sets against a look at every cube there is.
#![allow(clippy::unwrap_used)]

mod brute;

use brute::{at, mixed, rows, values};
use logic::{Cube, Expr, Function, Literal, SearchLimits, Var, blocking_sets, prime_implicants};
use proptest::prelude::*;

const VARS: u32 = 6;

/// Every cube over the variables `0..vars`.
fn cubes(vars: u32) -> impl Iterator<Item = Cube> {
    (0..3_u32.pow(vars)).map(move |code| {
        let literals = (0..vars).filter_map(|var| match code / 3_u32.pow(var) % 3 {
            2 => None,
            value => Some(Literal { var: Var(var), value: value == 1 }),
        });
        Cube::new(literals).unwrap()
    })
}

/// The minimal cubes among those that force `f` wherever `care` is on, and meet `care`; in order.
fn minimal_forcing(f: impl Fn(u32) -> bool, care: impl Fn(u32) -> bool) -> Vec<Cube> {
    let forces = |cube: &Cube| {
        let mut inside = rows(VARS).filter(|row| cube.eval(&at(*row)) && care(*row));
        inside.all(&f)
    };
    let meets = |cube: &Cube| rows(VARS).any(|row| cube.eval(&at(row)) && care(row));
    let minimal = |cube: &Cube| (cube.literals().iter()).all(|literal| !forces(&cube.without(literal.var)));
    let mut found: Vec<Cube> =
        cubes(VARS).filter(|cube| forces(cube) && meets(cube) && minimal(cube)).collect();
    found.sort();
    found
}

proptest! {
    #[test]
    fn primes_are_all_the_minimal_cubes(f in mixed(VARS), ignored in mixed(VARS)) {
        let expected = minimal_forcing(values(&f, VARS), |row| !ignored.eval(&at(row)));
        let (f, ignored) = (Function::from_expr(&f), Function::from_expr(&ignored));
        let found = prime_implicants(&f, &ignored, SearchLimits::default());
        prop_assert!(found.complete);
        prop_assert_eq!(&found.items, &expected);
        let few = prime_implicants(&f, &ignored, SearchLimits { answers: 2, ..SearchLimits::default() });
        prop_assert_eq!(few.complete, expected.len() <= 2);
        prop_assert_eq!(&few.items[..], &expected[..expected.len().min(2)]);
    }

    #[test]
    fn blocking(demand in mixed(VARS), service in mixed(VARS), allowed in mixed(VARS)) {
        let asked = |row| demand.eval(&at(row)) && allowed.eval(&at(row));
        let expected = minimal_forcing(|row| !service.eval(&at(row)), asked);
        let [demand, service, allowed] = [demand, service, allowed].map(|e| Function::from_expr(&e));
        let found = blocking_sets(&demand, &service, &allowed, SearchLimits::default());
        prop_assert!(found.complete);
        prop_assert_eq!(found.items, expected);
    }
}

/// Sixty primes of two literals, which no table holds; and 3^20 primes of twenty, which no list does.
#[test]
fn more_inputs_than_a_table() {
    let var = |var| Expr::var(Var(var));
    let pairs = Expr::or((0..60).map(|at| var(2 * at) & !var(2 * at + 1)));
    let never = Function::constant(false);
    let found = prime_implicants(&Function::from_expr(&pairs), &never, SearchLimits::default());
    assert!(found.complete);
    assert_eq!(found.items.len(), 60);
    assert!(found.items.iter().all(|cube| cube.len() == 2));

    let clauses = Expr::and((0..20).map(|at| Expr::or((0..3).map(|way| var(3 * at + way)))));
    let f = Function::from_expr(&clauses);
    let found = prime_implicants(&f, &never, SearchLimits { answers: 100, ..SearchLimits::default() });
    assert!(!found.complete);
    assert_eq!(found.items.len(), 100);
    for cube in &found.items {
        assert_eq!(cube.len(), 20);
        assert!(Function::cube(cube).implies(&f).is_yes());
    }
    assert!(found.items.is_sorted());
}

#[test]
fn nothing_is_claimed_of_the_unknown() {
    let a = Function::var(Var(0));
    for (f, ignored) in [(&Function::unknown(), &a), (&a, &Function::unknown())] {
        let found = prime_implicants(f, ignored, SearchLimits::default());
        assert!(found.items.is_empty() && !found.complete);
    }
}

/// A list of cubes of very different sizes ends with the small ones, and says so.
#[test]
fn far_larger_cubes_are_told_of() {
    let either = |far: u32| {
        let all = Expr::and((1..far).map(|at| Expr::var(Var(at))));
        Function::from_expr(&(Expr::var(Var(0)) | all))
    };
    let found = |far| prime_implicants(&either(far), &Function::constant(false), SearchLimits::default());
    assert_eq!((found(100).items.len(), found(100).complete), (2, true));
    assert_eq!((found(200).items.len(), found(200).complete), (1, false));
}
