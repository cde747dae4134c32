//! The smallest conditions that force a function on: its prime implicants.
//!
//! The method is that of Coudert and Madre (1992): the primes of a function split by a variable
//! are those of both halves together, and those of either half that are not among these.

use rustc_hash::FxHashMap;

use crate::cube_sets::{CubeSets, EMPTY_CUBE, NONE, SetRef, literals};
use crate::diagram::{OFF, ON, Ref, Workshop};
use crate::order::arranged;
use crate::table::MAX_INPUTS;
use crate::{Cube, Function, Literal, SearchLimits, SearchResult};

/// The minimal cubes that force `f` on, wherever `dont_care` is off.
///
/// Each answer implies `f` or `dont_care`, holds somewhere outside `dont_care`, and ceases to
/// imply when any literal is left out. Smallest first, then by their literals. All are found unless
/// there are more than `limits.answers`, or so many that even their diagram is too large: then the
/// list is cut short, holds only minimal cubes, but perhaps not the smallest.
pub fn prime_implicants(f: &Function, dont_care: &Function, limits: SearchLimits) -> SearchResult<Cube> {
    let mut order = arranged([f, dont_care]);
    // Of few variables any order will do, and this one lists the answers as they are sorted.
    if order.len() <= MAX_INPUTS {
        order.sort_unstable();
    }
    let mut search =
        Search { workshop: Workshop::new(order), sets: CubeSets::default(), done: FxHashMap::default() };
    let wanted = f.enter(&mut search.workshop);
    let ignored = dont_care.enter(&mut search.workshop);
    let target = search.workshop.choose(ignored, ON, wanted);
    let all = search.primes(target);
    // A cube lying wholly in the ignored part is a prime of that part alone.
    let idle = search.primes(ignored);
    let useful = search.sets.difference(all, idle);
    if search.sets.is_full() || search.workshop.is_full() {
        return one_by_one(f, dont_care, limits);
    }
    search.sets.list(useful, limits.answers, search.workshop.order())
}

/// The minimal sets of literals that keep `service` off although `demand` asks for it.
///
/// Each answer is consistent with `demand` under `allowed`, and with them forces `service` off; no
/// literal can be left out, so none that `demand` already implies appears. The empty cube alone
/// means that the service never comes on under the demand; no answer, that nothing can keep it off
/// (or that there is no such demand).
pub fn blocking_sets(
    demand: &Function,
    service: &Function,
    allowed: &Function,
    limits: SearchLimits,
) -> SearchResult<Cube> {
    let asked = allowed.and(demand);
    prime_implicants(&service.not(), &asked.not(), limits)
}

struct Search {
    workshop: Workshop,
    sets: CubeSets,
    done: FxHashMap<Ref, SetRef>,
}

impl Search {
    fn primes(&mut self, of: Ref) -> SetRef {
        let Some(node) = self.workshop.node(of) else {
            return if of == OFF { NONE } else { EMPTY_CUBE };
        };
        if self.sets.is_full() || self.workshop.is_full() {
            return NONE;
        }
        if let Some(known) = self.done.get(&of) {
            return *known;
        }
        let both = self.workshop.choose(node.low, node.high, OFF);
        let shared = self.primes(both);
        let [low, high] = [node.low, node.high].map(|half| {
            let primes = self.primes(half);
            self.sets.difference(primes, shared)
        });
        let [off, on] = literals(node.level);
        let without = self.sets.make(on, shared, high);
        let made = self.sets.make(off, without, low);
        self.done.insert(of, made);
        made
    }
}

/// Some primes, each grown from a state that the ones before it leave uncovered.
fn one_by_one(f: &Function, dont_care: &Function, limits: SearchLimits) -> SearchResult<Cube> {
    let target = f.or(dont_care);
    let mut open = f.and(&dont_care.not());
    let mut items = Vec::new();
    while let Some(model) = open.any_model().filter(|_| items.len() < limits.answers) {
        let mut literals: Vec<Literal> =
            (model.into_iter()).map(|(var, value)| Literal { var, value }).collect();
        for at in (0..literals.len()).rev() {
            let dropped = literals.remove(at);
            if !forces(&literals, &target) {
                literals.insert(at, dropped);
            }
        }
        let Some(cube) = Cube::new(literals) else {
            break;
        };
        open = open.and(&Function::cube(&cube).not());
        items.push(cube);
    }
    items.sort_unstable();
    SearchResult { items, complete: false }
}

fn forces(literals: &[Literal], target: &Function) -> bool {
    Cube::new(literals.iter().copied()).is_some_and(|cube| target.is_forced_by(&cube).is_yes())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Expr, Var};

    /// A sum of cubes drawn by a mixing of numbers.
    fn sum(vars: u64, terms: u64, width: u64, seed: u64) -> Function {
        let literal = |draw: u64| {
            let draw = (draw ^ seed << 32).wrapping_mul(0x9E37_79B9_7F4A_7C15);
            let draw = (draw ^ draw >> 29).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            let var = Expr::var(Var((draw >> 33) as u32 % vars as u32));
            if draw >> 63 == 0 { var } else { !var }
        };
        let term = |term: u64| Expr::and((0..width).map(|at| literal(term * width + at)));
        Function::from_expr(&Expr::or((0..terms).map(term)))
    }

    fn covered(found: &SearchResult<Cube>) -> Function {
        Function::any(found.items.iter().map(Function::cube))
    }

    /// Where both ways serve, growing primes one by one finds some of all there are.
    #[test]
    fn one_by_one_finds_primes() {
        for seed in 0..200 {
            let (f, ignored) = (sum(8, 7, 3, seed), sum(8, 5, 3, seed + 1000));
            let all = prime_implicants(&f, &ignored, SearchLimits::default()).items;
            let some = one_by_one(&f, &ignored, SearchLimits::default());
            assert!(some.items.iter().all(|cube| all.contains(cube)));
            assert!(f.and(&ignored.not()).implies(&covered(&some)).is_yes());
        }
    }

    /// Primes past counting, whose diagram is given up: still some, and they leave nothing out.
    #[test]
    fn too_many_for_a_diagram() {
        let f = sum(20, 40, 4, 1);
        let found = prime_implicants(&f, &Function::constant(false), SearchLimits::default());
        assert!(!found.complete);
        assert!(covered(&found).equivalent(&f).is_yes());
        for cube in &found.items {
            assert!(forces(cube.literals(), &f));
            for literal in cube.literals() {
                assert!(!forces(cube.without(literal.var).literals(), &f));
            }
        }
    }
}
