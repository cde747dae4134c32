//! What follows from a unit's wiring and settings alone, and so is the same for every unit of its shape.

use crate::calls::Mode;
use crate::logic_of_type::TypeLogic;
use crate::proof::circuit::{AS_WRITTEN, Circuit, Fact, value};
use crate::proof::course::Kind;
use crate::proof::followed::State;
use crate::proof::question::Asked;
use crate::verdict::Verdict;
use logic::{Cube, Found, Function, Var};
use model::Name;
use parking_lot::Mutex;
use rustc_hash::FxHashMap;
use std::hash::Hash;
use std::sync::Arc;

/// A kind of moment: everything that time decides is the same throughout.
pub struct Moment {
    /// Its number among the kinds of moments.
    pub(crate) number: usize,
    /// The mode of the unit's own zone; nothing if its schedule cannot be told.
    pub mode: Option<Mode>,
    /// Which schedules are on.
    pub scheduled: Cube,
    /// The states the free atoms may take.
    pub allowed: Function,
    /// What each schedule says.
    pub(crate) states: Vec<State>,
    possible: Recall<Function, bool>,
    /// The fewest circumstances under which a function is on.
    pub(crate) fewest: Recall<Function, Option<Cube>>,
}

impl Moment {
    /// Whether an allowed state turns a function of the atoms on.
    pub fn can_be_on(&self, function: &Function) -> bool {
        self.possible.of(function, || !self.allowed.and(&function.restrict_all(&self.scheduled)).is_false())
    }
}

/// The facts that force a claim; nothing if it does not hold.
pub(crate) type Core = Option<Arc<[Fact]>>;

/// The states that something can be in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Reach {
    /// Whether it can be on.
    pub on: bool,
    /// Whether it can be off.
    pub off: bool,
}

/// A unit's functions and moments, and the answers to what was asked about them.
pub(crate) struct Solved {
    /// Kept so that its address stays its own.
    pub(crate) logic: Arc<TypeLogic>,
    /// Outputs as wired and set, over the atoms.
    pub(crate) outputs: Vec<(Name, Function)>,
    /// Services as wired and set, over the atoms.
    pub(crate) services: Vec<(Name, Function)>,
    /// The inputs' functions.
    pub(crate) terminals: Vec<Function>,
    /// The kinds of moments there are.
    pub(crate) moments: Vec<Moment>,
    /// The facts that force a claim at some moments, by the moments' numbers.
    pub(crate) cores: Recall<(Asked, Vec<usize>), Core>,
    /// The verdicts on a service, by its number, at each kind of moment.
    pub(crate) verdicts: Recall<usize, Arc<[Verdict]>>,
    /// What blocks a service, by its number, at a kind of moment.
    pub(crate) blocking: Recall<(usize, usize), Arc<Found<Cube>>>,
    /// The states that an input can be in, at each kind of moment.
    pub(crate) reach: Recall<Var, Arc<[Reach]>>,
    /// Whether some output depends on an input.
    pub(crate) effects: Recall<Var, bool>,
    /// The outputs over the type's inputs, with nothing wired to them.
    pub(crate) unwired: Recall<(), Arc<[Function]>>,
}

impl Solved {
    /// Works out what a circuit comes to in these kinds of moments.
    pub(crate) fn of(circuit: &Circuit<'_, '_>, kinds: &[Kind]) -> Solved {
        let logic = circuit.logic;
        let values = circuit.values(AS_WRITTEN);
        let named = |named: &[(Name, logic::Expr)], vars: &[Var]| {
            named.iter().zip(vars).map(|((name, _), var)| (name.clone(), value(&values, *var))).collect()
        };
        let moments = kinds.iter().enumerate().map(|(number, kind)| {
            let states = circuit.followed.states(kind);
            let (scheduled, allowed) = circuit.moment(&states, AS_WRITTEN);
            let mode = circuit.followed.own_mode(&states);
            Moment {
                number,
                mode,
                scheduled,
                allowed,
                states,
                possible: Recall::default(),
                fewest: Recall::default(),
            }
        });
        Solved {
            outputs: named(&logic.outputs, &logic.output_vars),
            services: named(&logic.services, &logic.service_vars),
            terminals: values.get(..circuit.signals.len()).unwrap_or(&[]).to_vec(),
            moments: moments.collect(),
            logic: logic.clone(),
            cores: Recall::default(),
            verdicts: Recall::default(),
            blocking: Recall::default(),
            reach: Recall::default(),
            effects: Recall::default(),
            unwired: Recall::default(),
        }
    }
}

/// Answers that were given before. What is asked must decide the answer.
pub(crate) struct Recall<Q, A>(Mutex<FxHashMap<Q, A>>);

impl<Q, A> Default for Recall<Q, A> {
    fn default() -> Self {
        Recall(Mutex::default())
    }
}

impl<Q: Hash + Eq + Clone, A: Clone> Recall<Q, A> {
    /// The answer to a question. It is worked out without the lock held: twice at the worst.
    pub(crate) fn of(&self, question: &Q, answer: impl FnOnce() -> A) -> A {
        if let Some(known) = self.0.lock().get(question) {
            return known.clone();
        }
        let found = answer();
        self.0.lock().insert(question.clone(), found.clone());
        found
    }
}
