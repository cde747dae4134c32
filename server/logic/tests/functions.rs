//! Every operation on functions against enumeration of every assignment.
#![allow(clippy::unwrap_used)]

mod brute;

use brute::{at, mixed, rows, values};
use logic::{Answer, Bounds, Cube, Expr, Function, Literal, Op, Var};
use proptest::prelude::*;

const VARS: u32 = 10;

fn literal(var: u32, value: bool) -> Literal {
    Literal { var: Var(var), value }
}

/// Fails unless `function` equals `expected` in every row, and depends on exactly what it says.
fn check(function: &Function, vars: u32, expected: impl Fn(u32) -> bool) {
    for row in rows(vars) {
        assert_eq!(function.eval(&at(row)), Some(expected(row)), "row {row:b}");
    }
    let matters = |var: &u32| rows(vars).any(|row| expected(row) != expected(row ^ 1 << var));
    let support: Vec<Var> = (0..vars).filter(matters).map(Var).collect();
    assert_eq!(function.support(), Some(support.as_slice()));
    assert_eq!(function.is_false(), Answer::of(rows(vars).all(|row| !expected(row))));
    assert_eq!(function.is_true(), Answer::of(rows(vars).all(&expected)));
}

proptest! {
    #[test]
    fn building(e in mixed(VARS)) {
        check(&Function::from_expr(&e), VARS, values(&e, VARS));
    }

    #[test]
    fn connectives(a in mixed(VARS), b in mixed(VARS)) {
        let (f, g) = (Function::from_expr(&a), Function::from_expr(&b));
        let (a, b) = (values(&a, VARS), values(&b, VARS));
        check(&f.not(), VARS, |row| !a(row));
        check(&f.and(&g), VARS, |row| a(row) && b(row));
        check(&f.or(&g), VARS, |row| a(row) || b(row));
        check(&f.xor(&g), VARS, |row| a(row) != b(row));
        check(&f.implication(&g), VARS, |row| !a(row) || b(row));
        check(&f.equivalence(&g), VARS, |row| a(row) == b(row));
        prop_assert_eq!(f.implies(&g), Answer::of(rows(VARS).all(|row| !a(row) || b(row))));
        prop_assert_eq!(f.equivalent(&g), Answer::of(rows(VARS).all(|row| a(row) == b(row))));
        prop_assert_eq!(f == g, f.equivalent(&g).is_yes());
    }

    #[test]
    fn fixing_and_quantifying(e in mixed(VARS), var in 0..VARS, other in 0..VARS, value: bool) {
        let f = Function::from_expr(&e);
        let with = |row: u32, var: u32, value: bool| {
            if value { row | 1 << var } else { row & !(1 << var) }
        };
        let e = values(&e, VARS);
        check(&f.restrict(Var(var), value), VARS, |row| e(with(row, var, value)));
        let cube = Cube::new([literal(var, value), literal(other, value)]).unwrap();
        check(&f.restrict_all(&cube), VARS, |row| e(with(with(row, var, value), other, value)));
        check(&f.exists(Var(var)), VARS, |row| e(row) || e(row ^ 1 << var));
        check(&f.forall(Var(var)), VARS, |row| e(row) && e(row ^ 1 << var));
        let all = |row: u32| {
            [row, row ^ 1 << var, row ^ 1 << other, with(row ^ 1 << var, other, row >> other & 1 == 0)]
        };
        let both = [Var(var), Var(other)];
        check(&f.exists_all(&both), VARS, |row| all(row).into_iter().any(&e));
        check(&f.forall_all(&both), VARS, |row| all(row).into_iter().all(&e));
    }

    #[test]
    fn models(e in mixed(VARS)) {
        let f = Function::from_expr(&e);
        let support = f.support().unwrap();
        // The first variable weighs most, so the bits of a row are read from the other end.
        let weight = |row: u32| support.iter().fold(0_u32, |sum, var| sum * 2 + (row >> var.0 & 1));
        let value = values(&e, VARS);
        let on: Vec<u32> = rows(VARS).filter(|row| value(*row)).collect();
        let least = on.iter().copied().min_by_key(|row| weight(*row));
        let model = f.any_model();
        prop_assert_eq!(model.is_some(), least.is_some());
        if let (Some(model), Some(least)) = (model, least) {
            let expected: Vec<_> = support.iter().map(|var| (*var, at(least)(*var))).collect();
            prop_assert_eq!(model, expected);
        }
        let repeated = 1 << (VARS as usize - support.len());
        prop_assert_eq!(f.count(), Some(on.len() as u128 / repeated));
    }

    #[test]
    fn substituting(e in mixed(5), parts in prop::collection::vec(mixed(VARS), 5)) {
        let part = |var: Var| &parts[var.0 as usize];
        let meant: Vec<_> = parts.iter().map(|part| values(part, VARS)).collect();
        let expected = |row: u32| e.eval(&|var| meant[var.0 as usize](row));
        let written = e.substitute(|var| part(var).clone());
        check(&Function::from_expr(&written), VARS, expected);
        check(&Function::substituted(&e, |var| Function::from_expr(part(var))), VARS, expected);
    }

    /// The same function over far numbers must behave alike: positions, not numbers, make a table.
    #[test]
    fn renaming(e in mixed(8), scale in 1_u32..400) {
        let renamed = Function::from_expr(&e.map_vars(|var| Var(var.0 * scale + 3)));
        let f = Function::from_expr(&e);
        for row in rows(8) {
            prop_assert_eq!(renamed.eval(&|var| row >> ((var.0 - 3) / scale) & 1 == 1), f.eval(&at(row)));
        }
        prop_assert_eq!(renamed.count(), f.count());
    }

    /// Tables of many words, where whole words are exchanged.
    #[test]
    fn sixteen_inputs(a in mixed(16), b in mixed(16), rows in prop::collection::vec(0_u32..1 << 16, 64)) {
        let (f, g) = (Function::from_expr(&a), Function::from_expr(&b));
        let (and, xor) = (f.and(&g), f.xor(&g));
        let (some, every) = (and.exists_all(&[Var(3), Var(12)]), xor.forall(Var(9)));
        for row in rows {
            let (a, b) = (|row| a.eval(&at(row)), |row| b.eval(&at(row)));
            prop_assert_eq!(and.eval(&at(row)), Some(a(row) && b(row)));
            prop_assert_eq!(xor.eval(&at(row)), Some(a(row) != b(row)));
            let near = [0, 1 << 3, 1 << 12, 1 << 3 | 1 << 12].map(|flip| row ^ flip);
            prop_assert_eq!(some.eval(&at(row)), Some(near.into_iter().any(|row| a(row) && b(row))));
            let near = [row, row ^ 1 << 9];
            prop_assert_eq!(every.eval(&at(row)), Some(near.into_iter().all(|row| a(row) != b(row))));
        }
    }
}

#[test]
fn unknown_claims_nothing() {
    let unknown = Function::unknown();
    let a = Function::var(Var(0));
    for f in [
        unknown.not(),
        unknown.and(&a),
        a.or(&unknown),
        a.xor(&unknown),
        unknown.exists(Var(0)),
        unknown.restrict(Var(0), true),
        Function::from_expr(&(Expr::unknown() | Expr::var(Var(1)))),
    ] {
        assert!(!f.is_known());
        let claims = [f.is_false(), f.is_true(), f.can_be_on(), f.depends_on(Var(0))];
        assert_eq!(claims, [Answer::Unknown; 4]);
        let claims = [f.implies(&a), a.implies(&f), f.equivalent(&f), f.is_forced_by(&Cube::default())];
        assert_eq!(claims, [Answer::Unknown; 4]);
        assert_eq!((f.eval(&|_| true), f.any_model(), f.count(), f.support()), (None, None, None, None));
    }
    assert!(unknown.and(&Function::constant(false)).is_false().is_yes());
    assert!(Function::constant(true).or(&unknown).is_true().is_yes());
    // What is known decides, wherever the unknown one stands.
    let contradiction = [a.clone(), unknown.clone(), a.not()];
    assert!(Function::all(contradiction).is_false().is_yes());
}

#[test]
fn doubling_stops_at_the_bound() {
    let mut e = Expr::var(Var(0));
    for _ in 0..64 {
        e = e.clone() & !e;
    }
    assert!(e.ops().len() <= Bounds::DEFAULT.ops && !Function::from_expr(&e).is_known());
    let twice = Expr::var(Var(0)) | !Expr::var(Var(0));
    let mut f = Function::var(Var(7));
    for _ in 0..1000 {
        f = Function::substituted(&twice, |_| f.clone());
    }
    assert!(f.is_true().is_yes());
}

#[test]
fn deep_nesting_is_flat() {
    let deep = (0..20_000_u32).fold(Expr::var(Var(0)), |e, step| {
        if step % 2 == 0 { !(e & Expr::var(Var(step % 9))) } else { e | Expr::var(Var(step % 7)) }
    });
    let f = Function::from_expr(&deep);
    for row in rows(9) {
        assert_eq!(f.eval(&at(row)), Some(deep.eval(&at(row))));
    }
}

#[test]
fn builders_drop_what_says_nothing() {
    let a = || Expr::var(Var(0));
    assert_eq!(!!a(), a());
    assert_eq!(Expr::and([a(), Expr::constant(true)]), a());
    assert_eq!(Expr::or([a(), Expr::constant(true)]), Expr::constant(true));
    assert_eq!(Expr::and([]), Expr::constant(true));
    assert_eq!(Expr::or([]), Expr::constant(false));
    let both = Expr::var(Var(4)) & a();
    assert_eq!(both.ops(), [Op::Var(Var(4)), Op::Var(Var(0)), Op::And(2)]);
    assert_eq!(both.mentions(), [Var(4), Var(0)]);
}

#[test]
fn cubes() {
    assert_eq!(Cube::new([literal(1, true), literal(1, false)]), None);
    let cube = Cube::new([literal(2, false), literal(1, true), literal(2, false)]).unwrap();
    assert_eq!(cube.literals(), [literal(1, true), literal(2, false)]);
    assert_eq!((cube.value(Var(2)), cube.value(Var(3))), (Some(false), None));
    let f = Function::cube(&cube);
    check(&f, 4, |row| cube.eval(&at(row)));
}
