//! The smallest decision tree over a dozen inputs, by looking at every cube there is.

use rustc_hash::FxHashMap;

use crate::{Cube, Function, Literal, MergedRow, Var};

/// The most inputs charted at once: three to this power is the number of cubes.
pub(super) const MAX_CHARTED: usize = 12;

/// What is known of one cube.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    /// No allowed state lies in it.
    Idle,
    /// All allowed states in it have these outputs.
    Same(u32),
    /// Its allowed states differ, and take this many rows.
    Mixed(u32),
}

impl Class {
    fn rows(self) -> u32 {
        match self {
            Self::Idle => 0,
            Self::Same(_) => 1,
            Self::Mixed(rows) => rows,
        }
    }
}

/// Rows of disjoint cubes that cover the allowed states.
///
/// A cube is a number in base three, one digit an input: off, on, either. A cube's halves by an
/// input that is either have smaller numbers, so one pass in order sees halves first.
pub(super) fn chart(inputs: &[Var], outputs: &[Function], allowed: &Function) -> Vec<MergedRow> {
    let (states, distinct) = classify(inputs, outputs, allowed);
    let places: Vec<usize> = (0..inputs.len() as u32).map(|at| 3_usize.pow(at)).collect();
    let cubes = 3_usize.pow(inputs.len() as u32);
    let mut digits = vec![0_u8; inputs.len()];
    let mut classes: Vec<Class> = Vec::with_capacity(cubes);
    for cube in 0..cubes {
        let mut state = 0;
        let mut best: Option<Class> = None;
        for (at, (digit, place)) in digits.iter().zip(&places).enumerate() {
            match digit {
                2 => {
                    let halves = [cube - 2 * place, cube - place];
                    let [off, on] = halves.map(|half| at_or_idle(&classes, half));
                    let whole = unite(off, on);
                    let better = best.is_none_or(|best| whole.rows() < best.rows());
                    best = if better { Some(whole) } else { best };
                    // No split of the same cube does better.
                    if whole.rows() <= 1 || whole == Class::Mixed(2) {
                        break;
                    }
                }
                digit => state |= usize::from(*digit) << at,
            }
        }
        classes.push(best.unwrap_or_else(|| at_or_idle(&states, state)));
        advance(&mut digits);
    }
    leaves(&classes, &places, inputs, &distinct)
}

/// The class of each single state, and the different outputs they have.
fn classify(inputs: &[Var], outputs: &[Function], allowed: &Function) -> (Vec<Class>, Vec<Vec<bool>>) {
    let mut distinct: Vec<Vec<bool>> = Vec::new();
    let mut known: FxHashMap<Vec<bool>, u32> = FxHashMap::default();
    let class = |state: usize| {
        let value = |var: Var| {
            let at = inputs.iter().position(|input| *input == var);
            at.is_some_and(|at| state >> at & 1 == 1)
        };
        if allowed.eval(&value) != Some(true) {
            return Class::Idle;
        }
        let values: Vec<bool> = (outputs.iter()).map(|output| output.eval(&value) == Some(true)).collect();
        let next = distinct.len() as u32;
        Class::Same(*known.entry(values).or_insert_with_key(|values| {
            distinct.push(values.clone());
            next
        }))
    };
    let states = (0..1_usize << inputs.len()).map(class).collect();
    (states, distinct)
}

fn unite(off: Class, on: Class) -> Class {
    match (off, on) {
        (Class::Idle, other) | (other, Class::Idle) => other,
        (Class::Same(a), Class::Same(b)) if a == b => off,
        _ => Class::Mixed(off.rows() + on.rows()),
    }
}

/// Follows the best split from the whole down to cubes of one output each.
fn leaves(classes: &[Class], places: &[usize], inputs: &[Var], distinct: &[Vec<bool>]) -> Vec<MergedRow> {
    let mut found = Vec::new();
    let mut stack = vec![(classes.len().saturating_sub(1), Vec::new())];
    while let Some((cube, literals)) = stack.pop() {
        match at_or_idle(classes, cube) {
            Class::Idle => {}
            Class::Same(outputs) => {
                let outputs = distinct.get(outputs as usize).cloned().unwrap_or_default();
                found.extend(Cube::new(literals).map(|when| MergedRow { when, outputs }));
            }
            Class::Mixed(rows) => {
                let split = places.iter().zip(inputs).find(|(place, _)| {
                    let halves = [2, 1].map(|down| cube.wrapping_sub(down * **place));
                    cube / **place % 3 == 2
                        && halves.map(|half| at_or_idle(classes, half).rows()).iter().sum::<u32>() == rows
                });
                let Some((place, var)) = split else { continue };
                for (value, half) in [(true, cube - place), (false, cube - 2 * place)] {
                    let literal = Literal { var: *var, value };
                    let longer = literals.iter().copied().chain([literal]).collect();
                    stack.push((half, longer));
                }
            }
        }
    }
    found
}

fn at_or_idle(classes: &[Class], at: usize) -> Class {
    classes.get(at).copied().unwrap_or(Class::Idle)
}

/// Counts one up in base three.
fn advance(digits: &mut [u8]) {
    for digit in digits {
        if *digit < 2 {
            *digit += 1;
            return;
        }
        *digit = 0;
    }
}
