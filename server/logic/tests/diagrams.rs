//! Functions of more inputs than a table holds, against their expressions and their own tables.
#![allow(clippy::unwrap_used)]

mod brute;

use brute::expr;
use logic::{Cube, Expr, Function, Literal, SearchLimits, Var, merge_rows, prime_implicants};
use proptest::prelude::*;

const VARS: u32 = 30;

/// A conjunction with every variable, so that no table will do, around an arbitrary expression.
fn wide() -> impl Strategy<Value = Expr> {
    let guard = |inner: Expr| {
        let odd = Expr::or((0..VARS / 2).map(|at| Expr::var(Var(2 * at)) & !Expr::var(Var(2 * at + 1))));
        (odd.clone() & inner.clone()) | (!odd & !inner)
    };
    expr(VARS).prop_map(guard)
}

fn at(row: u64) -> impl Fn(Var) -> bool {
    move |var| row >> var.0 & 1 == 1
}

proptest! {
    #[test]
    fn operations_at_random_points(
        a in wide(), b in wide(), c in expr(VARS),
        points in prop::collection::vec(any::<u64>(), 48),
        var in 0..VARS, other in 0..VARS, value: bool,
    ) {
        let [f, g, h] = [&a, &b, &c].map(Function::from_expr);
        prop_assert!(f.diagram_size().is_some());
        let with = |row: u64, value: bool| if value { row | 1 << var } else { row & !(1 << var) };
        let made = [f.and(&g), f.or(&h), f.xor(&g), f.not(), h.implication(&f), f.restrict(Var(var), value)];
        let (some, every) = (f.exists_all(&[Var(var), Var(other)]), f.forall(Var(var)));
        for row in points {
            let [a, b, c] = [&a, &b, &c].map(|e| |row: u64| e.eval(&at(row)));
            let expected = [a(row) && b(row), a(row) || c(row), a(row) != b(row), !a(row), !c(row) || a(row), a(with(row, value))];
            for (made, expected) in made.iter().zip(expected) {
                prop_assert_eq!(made.eval(&at(row)), Some(expected));
            }
            let near = [0, 1 << var, 1 << other, (1 << var) ^ (1 << other)].map(|flip| a(row ^ flip));
            // When both are the same variable the fourth point is the first again.
            prop_assert_eq!(some.eval(&at(row)), Some(near.into_iter().any(|on| on)));
            prop_assert_eq!(every.eval(&at(row)), Some(a(row) && a(row ^ 1 << var)));
        }
        prop_assert!(f.and(&g).implies(&f).is_yes());
        prop_assert!(f.xor(&g).xor(&g).equivalent(&f).is_yes());
        prop_assert_eq!(f.not().not(), f.clone());
        prop_assert!(every.implies(&f).is_yes() && f.implies(&some).is_yes());
    }

    /// Fixing all but a dozen inputs must give the very table that the fixed expression gives.
    #[test]
    fn the_table_within(a in wide(), values: u64) {
        let fixed = Cube::new((12..VARS).map(|var| Literal { var: Var(var), value: at(values)(Var(var)) })).unwrap();
        let within = a.substitute(|var| fixed.value(var).map_or_else(|| Expr::var(var), Expr::constant));
        let f = Function::from_expr(&a);
        prop_assert_eq!(f.restrict_all(&fixed), Function::from_expr(&within));
        let one_by_one = fixed.literals().iter().fold(f.clone(), |f, literal| f.restrict(literal.var, literal.value));
        let disjunct = f.or(&Function::cube(&fixed));
        prop_assert!(disjunct.is_forced_by(&fixed).is_yes());
        prop_assert_eq!(f.is_forced_by(&fixed), Function::cube(&fixed).implies(&f));
        prop_assert_eq!(one_by_one, Function::from_expr(&within));
    }

    #[test]
    fn models_and_counts(a in wide()) {
        let f = Function::from_expr(&a);
        let of = |f: &Function| f.count().unwrap() << (VARS as usize - f.support().unwrap().len());
        prop_assert_eq!(of(&f) + of(&f.not()), 1 << VARS);
        let model = f.any_model().unwrap();
        let value = |var: Var| model.contains(&(var, true));
        prop_assert!(a.eval(&value));
        // No smaller assignment: turning any input that is on off, with all before it kept, leaves none.
        for (place, _) in model.iter().enumerate().filter(|(_, pair)| pair.1) {
            let smaller = model[..=place].iter().enumerate().map(|(at, pair)| Literal { var: pair.0, value: pair.1 && at != place });
            prop_assert!(f.restrict_all(&Cube::new(smaller).unwrap()).is_false().is_yes());
        }
    }
}

fn var(var: u32) -> Expr {
    Expr::var(Var(var))
}

#[test]
fn neighbours_keep_a_chain_small() {
    let chain = Expr::and((0..59).map(|at| !var(at) | var(at + 1)));
    let f = Function::from_expr(&chain);
    assert!(f.diagram_size().unwrap() <= 2 * 60);
    // Monotone chains of 60 have 61 states.
    assert_eq!(f.count(), Some(61));
    let starred = f.and(&Function::var(Var(0)));
    assert!(starred.implies(&Function::var(Var(59))).is_yes());
}

#[test]
fn counts_do_not_overflow() {
    let f = Function::from_expr(&Expr::or((0..400).map(var)));
    assert_eq!(f.count(), Some(u128::MAX));
    assert_eq!(f.not().count(), Some(1));
}

/// Partners that are numbered far apart stand together where the expression has them together.
#[test]
fn the_order_is_that_of_the_expression() {
    let pair = |at: u32| var(at) & var(at + 40);
    let forwards = Function::from_expr(&Expr::or((0..40).map(pair)));
    let backwards = Function::from_expr(&Expr::or((0..40).rev().map(|at| var(at + 40) & var(at))));
    assert!(forwards.diagram_size().unwrap() <= 80);
    assert!(forwards.and(&backwards.not()).is_false().is_yes());
    assert!(forwards.equivalent(&backwards).is_yes());
}

#[test]
fn too_many_inputs_are_given_up() {
    assert!(Function::from_expr(&Expr::and((0..1024).map(var))).is_known());
    assert!(!Function::from_expr(&Expr::and((0..1025).map(var))).is_known());
    // Two halves that interleave recurse through all the variables of both.
    let evens = Function::from_expr(&Expr::and((0..1024).map(|at| var(2 * at))));
    let odds = Function::from_expr(&Expr::and((0..1024).map(|at| var(2 * at + 1))));
    assert!(!evens.and(&odds).is_known());
    let few = Function::from_expr(&Expr::or((0..500).map(|at| var(2 * at + 1))));
    let half = Function::from_expr(&Expr::and((0..500).map(|at| var(2 * at))));
    assert_eq!(half.xor(&few).support().map(<[Var]>::len), Some(1000));
}

/// Recursion is as deep as a diagram has inputs: a thread's ordinary stack must do.
#[test]
fn the_deepest_diagrams() {
    let no = Function::constant(false);
    let limits = SearchLimits { answers: 2000, tests: 0 };
    let inputs: Vec<Var> = (0..1024).map(Var).collect();
    for e in [Expr::and((0..1024).map(var)), Expr::or((0..1024).map(var))] {
        let f = Function::from_expr(&e);
        let primes = prime_implicants(&f, &no, limits);
        assert_eq!(primes.items.len() * primes.items[0].len(), 1024);
        assert!(f.exists_all(&inputs).is_true().is_yes());
    }
    let all = Function::from_expr(&Expr::and((0..1024).map(var)));
    let rows = merge_rows(&[all], &no.not(), limits);
    assert_eq!((rows.items.len(), rows.complete), (1025, true));
}
