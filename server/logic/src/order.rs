//! In which order the variables of several functions are best asked for.

use crate::{Bounds, Function, Var};
use rustc_hash::FxHashSet;

/// The variables of some functions in one order: that of the largest, since to change it costs most;
/// then those of the others in turn, each behind the one that its function asks for before it. Inputs
/// that are read together so come to stand together.
pub(crate) fn arranged<'f>(functions: impl IntoIterator<Item = &'f Function>) -> Vec<Var> {
    let functions: Vec<&Function> = functions.into_iter().collect();
    let sizes = || functions.iter().map(|function| function.order().1);
    let largest = sizes().max().and_then(|most| sizes().position(|size| size == most)).unwrap_or(0);
    let first = functions.get(largest).into_iter();
    let others = functions.iter().enumerate().filter(|(at, _)| *at != largest).map(|(_, other)| other);
    let mut order: Vec<Var> = Vec::new();
    let mut known: FxHashSet<Var> = FxHashSet::default();
    for function in first.chain(others) {
        // Where the next new variable goes; nothing before any is known.
        let mut behind: Option<usize> = None;
        // Past the bound nothing is worked out, whatever the order.
        if order.len() > Bounds::MAX_INPUTS {
            break;
        }
        for var in function.order().0 {
            if !known.insert(*var) {
                behind = order.iter().position(|other| other == var).map(|at| at + 1);
                continue;
            }
            let at = behind.unwrap_or(order.len());
            order.insert(at, *var);
            behind = Some(at + 1);
        }
    }
    order
}
