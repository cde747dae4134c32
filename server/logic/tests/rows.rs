//! Charts against enumeration: the rows are disjoint, cover what is allowed, and are right.

mod brute;

use brute::{at, mixed, rows};
use logic::{Expr, Function, MergedRow, SearchLimits, SearchResult, Var, merge_rows};
use proptest::prelude::*;

const VARS: u32 = 8;
const MANY: SearchLimits = SearchLimits { answers: 1 << 16, tests: 0 };

/// Every allowed state lies in one row, which has its outputs; every row has such a state, and no
/// two rows with the same outputs differ in one input alone.
fn check(chart: &SearchResult<MergedRow>, outputs: &[Function], allowed: &Function, vars: u32) {
    assert!(chart.complete);
    let mut used = vec![false; chart.items.len()];
    for row in rows(vars) {
        let holding: Vec<usize> = (chart.items.iter().enumerate())
            .filter(|(_, item)| item.when.eval(&at(row)))
            .map(|(index, _)| index)
            .collect();
        assert!(holding.len() <= 1, "rows meet");
        if allowed.eval(&at(row)) == Some(true) {
            assert_eq!(holding.len(), 1, "a state is not covered");
            let values: Vec<_> = outputs.iter().map(|of| of.eval(&at(row)) == Some(true)).collect();
            assert_eq!(chart.items[holding[0]].outputs, values);
            used[holding[0]] = true;
        }
    }
    assert!(used.into_iter().all(|used| used), "a row has no allowed state");
    for row in &chart.items {
        for literal in row.when.literals() {
            let when = row.when.flipped(literal.var);
            let outputs = row.outputs.clone();
            assert!(!chart.items.contains(&MergedRow { when, outputs }), "rows join");
        }
    }
}

proptest! {
    #[test]
    fn rows_are_a_chart(outputs in prop::collection::vec(mixed(VARS), 0..4), allowed in mixed(VARS)) {
        let outputs: Vec<_> = outputs.iter().map(Function::from_expr).collect();
        let allowed = Function::from_expr(&allowed);
        let chart = merge_rows(&outputs, &allowed, MANY);
        check(&chart, &outputs, &allowed, VARS);
        prop_assert_eq!(&merge_rows(&outputs, &allowed, MANY), &chart);
    }

    /// More inputs than are charted at once.
    #[test]
    fn split_charts(outputs in prop::collection::vec(brute::expr(15), 1..3), allowed in brute::expr(15)) {
        let outputs: Vec<_> = outputs.iter().map(Function::from_expr).collect();
        let allowed = Function::from_expr(&allowed);
        check(&merge_rows(&outputs, &allowed, MANY), &outputs, &allowed, 15);
    }
}

fn var(var: u32) -> Expr {
    Expr::var(Var(var))
}

/// One input decides between two others: four rows, each leaving one input out.
#[test]
fn a_selector_takes_four_rows() {
    let chosen = Function::from_expr(&((var(0) & var(1)) | (!var(0) & var(2))));
    let chart = merge_rows(&[chosen], &Function::constant(true), MANY);
    assert_eq!(chart.items.len(), 4);
    assert!(chart.items.iter().all(|row| row.when.len() == 2));
}

/// A second stage implies the first: the three allowed states are the three rows.
#[test]
fn what_is_not_allowed_takes_no_row() {
    let stages = Function::from_expr(&(!var(1) | var(0)));
    let outputs = [var(0) & !var(1), var(1)].map(|e| Function::from_expr(&e));
    let chart = merge_rows(&outputs, &stages, MANY);
    check(&chart, &outputs, &stages, 2);
    assert_eq!(chart.items.len(), 3);
    let none = merge_rows(&outputs, &Function::constant(false), MANY);
    assert!(none.complete && none.items.is_empty());
}

/// The worst there is: every state has a row of its own, and the list is cut where asked.
#[test]
fn parity_is_cut_short() {
    let parity =
        |vars: u32| (1..vars).fold(Function::var(Var(0)), |sum, var| sum.xor(&Function::var(Var(var))));
    let chart = merge_rows(&[parity(6)], &Function::constant(true), MANY);
    assert_eq!((chart.items.len(), chart.complete), (64, true));
    for vars in [6, 14, 40] {
        let few = SearchLimits { answers: 50, tests: 0 };
        let chart = merge_rows(&[parity(vars)], &Function::constant(true), few);
        assert_eq!((chart.items.len(), chart.complete), (50, false));
    }
}

/// A chain of sixty interlocked inputs has one row for each place where it may be broken, and one more.
#[test]
fn a_long_chain() {
    let all = Function::from_expr(&Expr::and((0..60).map(var)));
    let chart = merge_rows(std::slice::from_ref(&all), &Function::constant(true), MANY);
    assert!(chart.complete);
    assert_eq!(chart.items.len(), 61);
    assert!(merge_rows(&[Function::unknown(), all], &Function::constant(true), MANY).items.is_empty());
}

/// Beyond what is charted at once, an input that the allowed states make needless is not split on.
#[test]
fn needless_inputs_are_left_out() {
    let alike = |at: u32| (var(0) & var(at)) | !(var(0) | var(at));
    let allowed = Function::from_expr(&Expr::and((2..14).map(alike)));
    let outputs = [Function::from_expr(&Expr::and((1..14).map(var)))];
    let chart = merge_rows(&outputs, &allowed, MANY);
    check(&chart, &outputs, &allowed, 14);
    let spoken_of = chart.items.iter().flat_map(|row| row.when.literals());
    assert!(spoken_of.into_iter().all(|literal| literal.var < Var(2)));
}
