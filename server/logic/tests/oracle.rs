//! Agreement with z3, by the table that `tests/oracles/logic_z3.py` writes.
#![allow(clippy::unwrap_used, clippy::panic)]

use logic::{Answer, Expr, Function, SearchLimits, Var, prime_implicants};

const TABLE: &str = include_str!("../../../tests/oracles/logic_z3.csv");

/// Reads an expression in postfix.
fn read(postfix: &str) -> Expr {
    let mut stack: Vec<Expr> = Vec::new();
    for word in postfix.split(' ') {
        let mut last = |count: &str| stack.split_off(stack.len() - count.parse::<usize>().unwrap());
        let made = match word.split_at(1) {
            ("!", _) => !last("1").remove(0),
            ("&", count) => Expr::and(last(count)),
            ("|", count) => Expr::or(last(count)),
            _ => Expr::var(Var(word.parse().unwrap())),
        };
        stack.push(made);
    }
    stack.pop().unwrap()
}

#[test]
fn agrees_with_z3() {
    let mut wide = 0;
    for line in TABLE.lines().skip(1) {
        let columns: Vec<&str> = line.split(',').collect();
        let &[f, g, satisfiable, equivalent, implies, for_both, primes] = &columns[..] else {
            panic!("{line}");
        };
        let [f, g] = [f, g].map(|postfix| Function::from_expr(&read(postfix)));
        assert!(f.is_known() && g.is_known(), "{line}");
        wide += usize::from(f.diagram_size().is_some());
        let answers = [f.can_be_on(), f.equivalent(&g), f.implies(&g), f.forall(Var(0)).can_be_on()];
        let expected = [satisfiable, equivalent, implies, for_both].map(|yes| Answer::of(yes == "1"));
        assert_eq!(answers, expected, "{line}");
        if !primes.is_empty() {
            let found = prime_implicants(&f, &Function::constant(false), SearchLimits::default());
            assert_eq!(found.items.len().to_string(), primes, "{line}");
        }
    }
    assert!(wide > 60, "only {wide} functions outgrew a table");
}
