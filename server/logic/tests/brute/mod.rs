//! Enumeration of every assignment: slow, obvious, and independent of the engine.
#![allow(dead_code, reason = "each test file uses its share")]

use logic::{Expr, Var};
use proptest::prelude::*;

/// The value of variable `i` in row `row`.
pub(crate) fn at(row: u32) -> impl Fn(Var) -> bool {
    move |var| row >> var.0 & 1 == 1
}

/// Every row over the variables `0..vars`.
pub(crate) fn rows(vars: u32) -> std::ops::Range<u32> {
    0..1 << vars
}

/// The value of an expression in every row, looked up by row.
pub(crate) fn values(expr: &Expr, vars: u32) -> impl Fn(u32) -> bool {
    let values: Vec<bool> = rows(vars).map(|row| expr.eval(&at(row))).collect();
    move |row| values[row as usize]
}

/// Expressions over the variables `0..vars`, nested as people do not.
pub(crate) fn expr(vars: u32) -> impl Strategy<Value = Expr> {
    let leaf = prop_oneof![
        1 => any::<bool>().prop_map(Expr::constant),
        12 => (0..vars).prop_map(|var| Expr::var(Var(var))),
    ];
    leaf.prop_recursive(6, 48, 4, |inner| {
        let several = || prop::collection::vec(inner.clone(), 0..4);
        prop_oneof![
            inner.clone().prop_map(|of| !of),
            several().prop_map(Expr::and),
            several().prop_map(Expr::or),
        ]
    })
}

/// An arbitrary function of the variables `0..vars`, as a sum of its rows.
pub(crate) fn any_function(vars: u32) -> impl Strategy<Value = Expr> {
    prop::collection::vec(any::<bool>(), 1 << vars).prop_map(move |values| {
        let rows = (0_u32..).zip(values).filter(|(_, value)| *value);
        Expr::or(rows.map(|(row, _)| {
            Expr::and((0..vars).map(|var| {
                let literal = Expr::var(Var(var));
                if at(row)(Var(var)) { literal } else { !literal }
            }))
        }))
    })
}

/// Expressions of both kinds.
pub(crate) fn mixed(vars: u32) -> impl Strategy<Value = Expr> {
    prop_oneof![3 => expr(vars), 1 => any_function(vars.min(6))]
}
