//! What follows from a unit's wiring and settings alone, and so is the same for every unit of its shape.

use crate::bounds::UnitBounds;
use crate::logic_of_type::TypeLogic;
use crate::memo::{KeyPart, MemoKey};
use crate::proof::budget::Budget;
use crate::proof::circuit::{AS_WRITTEN, Circuit, Fact, IsOpen, value};
use crate::proof::effects::effects;
use crate::proof::moment::Moment;
use crate::proof::question::{Asked, Question};
use crate::proof::recall::Recall;
use crate::proof::shape::Shape;
use crate::proof::state::State;
use crate::proof::why::Core;
use crate::verdict::Verdict;
use logic::{Answer, Cube, Function, SearchResult, Var};
use model::Name;
use model::{Call, Service};
use rustc_hash::FxHashSet;
use std::sync::Arc;

/// The states that something can be in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Reach {
    /// Whether it can be on.
    pub on: Answer,
    /// Whether it can be off.
    pub off: Answer,
}

/// A unit's functions and moments, and the answers to what was asked about them.
pub(crate) struct Solved {
    circuit: Circuit,
    pub(crate) budget: Budget,
    /// Outputs as wired and set, over the atoms.
    pub(crate) outputs: Vec<(Name, Function)>,
    /// Services as wired and set, over the atoms.
    pub(crate) services: Vec<(Name, Function)>,
    /// The inputs' functions.
    pub(crate) terminals: Vec<Function>,
    /// The kinds of moments there are.
    pub(crate) moments: Vec<Moment>,
    /// The facts that force a claim at some moments, by the moments' numbers.
    cores: Recall<(Asked, Vec<usize>), Core>,
    /// The verdicts on a service, by its number, at each kind of moment.
    pub(crate) verdicts: Recall<usize, Arc<[Verdict]>>,
    /// What blocks a service, by its number, at a kind of moment.
    pub(crate) blocking: Recall<(usize, usize), Arc<SearchResult<Cube>>>,
    /// The states that an input can be in, at each kind of moment.
    reach: Recall<Var, Arc<[Reach]>>,
    /// For each input whether some output depends on it.
    effects: Recall<(), Arc<[Answer]>>,
    /// The outputs over the type's inputs, with nothing wired to them.
    unwired: Recall<(), Arc<[Function]>>,
}

impl MemoKey for Arc<Shape> {
    type Answer = Arc<Solved>;
    const MOST: usize = 512;

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        part(KeyPart { holders: self.logic.holders(), held: 1 });
    }
}

impl Solved {
    /// Works out what a shape comes to, within the bounds that a memory has for all of its units.
    pub(crate) fn of(shape: &Arc<Shape>, bounds: UnitBounds) -> Solved {
        let logic: &TypeLogic = &shape.logic;
        let size = shape.points.len() + logic.gates.len() + shape.feeds.len();
        let questions = shape.feeds.len() + logic.outputs.len() + logic.services.len();
        let budget = Budget::of(bounds, size, questions, shape.kinds.len());
        budget.once(|| Solved::within(shape, budget))
    }

    fn within(shape: &Arc<Shape>, budget: Budget) -> Solved {
        let circuit = Circuit::of(shape);
        let logic: &TypeLogic = &shape.logic;
        let values = circuit.values(AS_WRITTEN);
        let named = |named: &[Name], vars: &[Var]| {
            named.iter().zip(vars).map(|(name, var)| (name.clone(), value(&values, *var))).collect()
        };
        let moments = shape.kinds.iter().enumerate().map(|(number, states)| {
            let (scheduled, allowed) = circuit.moment(states, AS_WRITTEN);
            let mode = shape.own.mode(states);
            Moment::new(number, mode, (scheduled, allowed), budget)
        });
        Solved {
            outputs: named(&logic.outputs, &logic.output_vars),
            services: named(&logic.services, &logic.service_vars),
            terminals: values.get(..shape.feeds.len()).unwrap_or(&[]).to_vec(),
            moments: moments.collect(),
            circuit,
            budget,
            cores: Recall::default(),
            verdicts: Recall::default(),
            blocking: Recall::default(),
            reach: Recall::default(),
            effects: Recall::default(),
            unwired: Recall::default(),
        }
    }

    /// All that this goes by.
    pub(crate) fn shape(&self) -> &Shape {
        &self.circuit.shape
    }

    /// What each schedule says at a moment.
    pub(crate) fn states(&self, moment: &Moment) -> &[State] {
        self.shape().kinds.get(moment.number).map_or(&[], |states| states)
    }

    /// The function at an input.
    pub(crate) fn terminal(&self, input: &str) -> Option<&Function> {
        self.terminals.get(self.shape().logic.input(input)?.0 as usize)
    }

    /// Whether some allowed state at some moment turns a function of the atoms on.
    pub(crate) fn can_be_on(&self, function: &Function) -> Answer {
        Answer::any(self.moments.iter().map(|m| m.can_be_on(function)))
    }

    /// Whether a claim holds at some moments, by their numbers.
    pub(crate) fn holds(&self, asked: Asked, moments: &[usize]) -> Answer {
        self.budget.claim(|| self.question(asked, moments).holds(AS_WRITTEN))
    }

    /// The facts that force a claim at some moments, by their numbers.
    pub(crate) fn core(&self, asked: Asked, moments: Vec<usize>) -> Core {
        let key = (asked, moments);
        let core = || self.question(key.0, &key.1).core();
        self.cores.of(&key, || self.budget.claim(core))
    }

    fn question(&self, asked: Asked, moments: &[usize]) -> Question<'_> {
        let states = moments.iter().filter_map(|n| Some(&**self.shape().kinds.get(*n)?));
        Question::new(&self.circuit, asked, states.collect())
    }

    /// What asks for a service: the signal of the input that takes its call, and the call of a zone's
    /// thermostat behind that signal, which an interlock on the way may hold back. Services without a
    /// call of their own are always asked for.
    pub(crate) fn demand(&self, service: &str) -> Function {
        let calls: Vec<Call> = Service::of(service).into_iter().flat_map(Service::calls).collect();
        let asking: Vec<&Function> = calls.iter().filter_map(|call| self.terminal(call.name())).collect();
        if asking.is_empty() {
            return Function::constant(true);
        }
        let zones = self.shape().zones.iter().flat_map(|zone| &zone.calls);
        let behind = zones
            .filter(|(call, var)| calls.contains(call) && asking.iter().any(|f| !f.depends_on(*var).is_no()))
            .map(|(_, var)| Function::var(*var));
        self.budget.each(|| Function::any(behind.chain(asking.iter().copied().cloned())))
    }

    /// The states that an input can be in at each kind of moment.
    pub(crate) fn reach(&self, input: Var) -> Arc<[Reach]> {
        let reach = || {
            let on = value(&self.terminals, input);
            let off = on.not();
            self.moments.iter().map(|m| Reach { on: m.turns_on(&on), off: m.turns_on(&off) }).collect()
        };
        self.reach.of(&input, || self.budget.each(reach))
    }

    /// Whether some output depends on an input at any moment, everything else as wired and set.
    pub(crate) fn has_effect(&self, input: Var) -> Answer {
        // Of all inputs at once, so that what one of them takes does not depend on which was asked for first.
        let all = || self.budget.all_inputs(|| effects(&self.circuit, &self.moments).into());
        self.effects.of(&(), all).get(input.0 as usize).copied().unwrap_or(Answer::Unknown)
    }

    /// The outputs over the type's inputs, with nothing wired to them.
    pub(crate) fn unwired_outputs(&self) -> Arc<[Function]> {
        let unwired = || {
            let values = self.circuit.values(&|fact| matches!(fact, Fact::Wiring(_)));
            self.shape().logic.output_vars.iter().map(|var| value(&values, *var)).collect()
        };
        self.unwired.of(&(), || self.budget.once(unwired))
    }

    /// Every variable of the type with some inputs free, everything else as wired and set.
    pub(crate) fn with_free(&self, inputs: &[Var]) -> Vec<Function> {
        let free: FxHashSet<Fact> = inputs.iter().map(|input| Fact::Wiring(input.0 as usize)).collect();
        let open: IsOpen<'_> = &|fact| free.contains(&fact);
        self.budget.each(|| self.circuit.values(open))
    }
}
