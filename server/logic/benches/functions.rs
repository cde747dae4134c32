//! What one unit and one plant cost. Budgets: tens of nanoseconds for small functions, a few
//! microseconds for sixteen inputs, 50 ms for a plant of sixty interlocked inputs.
#![allow(clippy::unwrap_used)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use logic::{
    BitSet, Expr, Function, SearchLimits, Var, blocking_sets, cores, merge_rows, minimal_core,
    prime_implicants,
};

fn var(var: u32) -> Expr {
    Expr::var(Var(var))
}

/// A drying call against two stages of cooling and heating, an occupancy and an option.
struct Unit {
    drying: Expr,
    allowed: Expr,
    outputs: Vec<Function>,
}

fn unit() -> Unit {
    let [cool, cool_2, heat, heat_2, dry, occupied, anytime] = [0, 1, 2, 3, 4, 5, 6].map(var);
    let permitted = anytime | occupied.clone();
    let drying = Expr::and([dry, permitted, !cool.clone(), !heat_2.clone(), occupied | !heat.clone()]);
    let allowed = Expr::and([
        !cool_2.clone() | cool.clone(),
        !heat_2.clone() | heat.clone(),
        !(cool.clone() & heat.clone()),
    ]);
    let written = [
        Expr::or([cool, heat.clone(), drying.clone()]),
        heat & !drying.clone(),
        drying.clone(),
        heat_2,
        cool_2,
    ];
    let outputs = written.iter().map(Function::from_expr).collect();
    Unit { drying, allowed, outputs }
}

/// Sixteen inputs, forty operations.
fn sixteen(shift: u32) -> Expr {
    let at = |n: u32| var((n * 5 + shift) % 16);
    Expr::or((0..10).map(|n| at(n) & (!at(n + 1) | at(n + 3)) & !at(n + 7)))
}

/// Sixty inputs in twelve machines of five: each starts after the one before, none against a trip.
fn plant() -> (Expr, Vec<Expr>) {
    let machine = |at: u32| {
        let [call, proof, trip, hand, lead] = [0, 1, 2, 3, 4].map(|n| var(at * 5 + n));
        let before = if at == 0 { Expr::constant(true) } else { var(at * 5 - 4) };
        Expr::and([(call & lead) | hand, proof, !trip, before])
    };
    let machines: Vec<Expr> = (0..12).map(machine).collect();
    let locks = (1..12).map(|at| !var(at * 5 + 1) | var(at * 5 - 4));
    let one_lead = (1..12).map(|at| !(var(at * 5 + 4) & var(at * 5 - 1)));
    (Expr::and(locks.chain(one_lead)), machines)
}

fn small(c: &mut Criterion) {
    let unit = unit();
    let drying = Function::from_expr(&unit.drying);
    let allowed = Function::from_expr(&unit.allowed);
    let call = Function::var(Var(4));
    c.bench_function("small/build", |b| {
        b.iter(|| Function::from_expr(black_box(&unit.drying)));
    });
    c.bench_function("small/and", |b| b.iter(|| black_box(&drying).and(&allowed)));
    c.bench_function("small/implies", |b| {
        b.iter(|| black_box(&drying).implies(&allowed));
    });
    c.bench_function("small/exists", |b| {
        b.iter(|| black_box(&drying).exists_all(&[Var(0), Var(3)]));
    });
    c.bench_function("small/blocking sets", |b| {
        b.iter(|| blocking_sets(black_box(&call), &drying, &allowed, SearchLimits::default()));
    });
    c.bench_function("small/rows", |b| {
        b.iter(|| merge_rows(black_box(&unit.outputs), &allowed, SearchLimits::default()));
    });
}

fn wide(c: &mut Criterion) {
    let written = sixteen(0);
    let (f, g) = (Function::from_expr(&written), Function::from_expr(&sixteen(3)));
    assert_eq!(f.support().map(<[Var]>::len), Some(16));
    c.bench_function("sixteen/build of 40 operations", |b| {
        b.iter(|| Function::from_expr(black_box(&written)));
    });
    c.bench_function("sixteen/and", |b| b.iter(|| black_box(&f).and(&g)));
    c.bench_function("sixteen/implies", |b| b.iter(|| black_box(&f).implies(&f)));
    c.bench_function("sixteen/exists", |b| {
        b.iter(|| black_box(&f).exists(Var(9)));
    });
    c.bench_function("sixteen/primes", |b| {
        b.iter(|| prime_implicants(black_box(&f), &Function::constant(false), SearchLimits::default()));
    });
    let outputs: Vec<Function> = (0..8).map(|shift| Function::from_expr(&sixteen(shift))).collect();
    let yes = Function::constant(true);
    let many = SearchLimits { answers: 100_000, tests: 0 };
    c.bench_function("sixteen/rows of 8 outputs, all", |b| {
        b.iter(|| merge_rows(black_box(&outputs), &yes, many));
    });
    c.bench_function("sixteen/rows of 8 outputs, first 256", |b| {
        b.iter(|| merge_rows(black_box(&outputs), &yes, SearchLimits::default()));
    });
    let fixed = |f: &Function| (12..16).fold(f.clone(), |f, at| f.restrict(Var(at), at % 2 == 0));
    let twelve: Vec<Function> = outputs.iter().map(fixed).collect();
    c.bench_function("twelve/rows of 8 outputs, all", |b| {
        b.iter(|| merge_rows(black_box(&twelve), &yes, many));
    });
}

fn sixty(c: &mut Criterion) {
    let (allowed, machines) = plant();
    c.bench_function("plant/build", |b| {
        b.iter(|| Function::from_expr(black_box(&allowed)));
    });
    c.bench_function("plant/verdict and reasons", |b| {
        b.iter(|| {
            let allowed = Function::from_expr(&allowed);
            let last = Function::from_expr(machines.last().unwrap());
            let call = Function::var(Var(55));
            let never = allowed.and(&last).is_false();
            (never, blocking_sets(&call, &last, &allowed, SearchLimits::default()))
        });
    });
}

fn explanations(c: &mut Criterion) {
    let weights: Vec<u32> = (0..30).map(|fact| 1 + fact % 3).collect();
    let holds = |kept: &BitSet| {
        let has = |facts: &[usize]| facts.iter().all(|fact| kept.contains(*fact));
        has(&[2, 5, 11]) || has(&[5, 17, 20, 21]) || has(&[2, 8, 29])
    };
    c.bench_function("cores/one of 30 facts", |b| {
        b.iter(|| minimal_core(black_box(&weights), holds));
    });
    c.bench_function("cores/all of 30 facts", |b| {
        b.iter(|| cores(black_box(&weights), SearchLimits::default(), holds));
    });
}

criterion_group!(benches, small, wide, sixty, explanations);
criterion_main!(benches);
