//! A unit type's logic as expressions over its inputs and choices.

use crate::memo::{Memo, MemoKey, Part};
use crate::proof::constraint::laws;
use crate::same::Same;
use crate::variables;
use logic::{Expr, Function, Op, Var};
use model::{Call, Facts, Found, Name, UnitType, Words, Written};
use rustc_hash::FxHashMap;
use std::ops::Range;
use std::sync::Arc;
use syntax::NodeId;

/// The logic of a type. Variables are its inputs in order, then every choice of every option, then
/// the lines of its logic and, among them, one for each name that could not be found, which may be
/// on or off.
pub struct TypeLogic {
    /// Names of its inputs: variable `i` is input `i`.
    pub inputs: Vec<Name>,
    /// For each option the variables of its choices.
    pub choices: Vec<Range<u16>>,
    /// Outputs by name, over inputs, choices and what could not be found.
    pub outputs: Vec<(Name, Expr)>,
    /// Services by name, likewise.
    pub services: Vec<(Name, Expr)>,
    /// States it must not reach, in the order written, likewise.
    pub never: Vec<Expr>,
    /// How many variables there are.
    pub width: u16,
    /// Names that stand for themselves: a term that asks for its own value, by name.
    pub circular: Vec<Name>,
    /// The lines of the logic, each after those it uses.
    pub(crate) gates: Vec<Gate>,
    /// The variable of each output and of each service.
    pub(crate) output_vars: Vec<Var>,
    pub(crate) service_vars: Vec<Var>,
}

/// A line of the logic: a term, an output or a service.
pub(crate) struct Gate {
    pub(crate) name: Name,
    /// Where its words are written.
    pub(crate) at: NodeId,
    pub(crate) var: Var,
    /// Over the variables of the type.
    pub(crate) expr: Expr,
}

/// The facts that a type's logic is read from.
#[derive(PartialEq, Eq, Hash)]
struct OfType(Same<Facts>);

impl MemoKey for OfType {
    type Answer = Arc<TypeLogic>;
    const MOST: usize = 512;

    fn rests_on(&self, part: &mut dyn FnMut(Part)) {
        part(Part { holders: self.0.holders(), held: 1 });
    }
}

impl TypeLogic {
    /// The logic of a type that may have been read before.
    pub(crate) fn shared(memo: &Memo, unit_type: Found<'_, UnitType>) -> Arc<TypeLogic> {
        memo.of(OfType(Same::of(&unit_type.entry.facts)), |_| Arc::new(TypeLogic::of(unit_type.is)))
    }

    /// The logic of `unit_type`.
    pub fn of(unit_type: &UnitType) -> TypeLogic {
        let inputs: Vec<Name> = unit_type.inputs.iter().map(|i| i.name.value.clone()).collect();
        let mut next = inputs.len();
        let mut choices = Vec::new();
        for option in &unit_type.options {
            let count = option.choices.len();
            choices.push(next as u16..(next + count) as u16);
            next += count;
        }
        let known = FxHashMap::default();
        let mut reader = Reader {
            unit_type,
            choices: &choices,
            next,
            known,
            gates: Vec::new(),
            circular: Vec::new(),
            depth: 0,
        };
        for (i, input) in inputs.iter().enumerate() {
            reader.known.entry(input.clone()).or_insert_with(|| Known::Done(variables::within(i, var)));
        }
        let outputs: Vec<Expr> = unit_type.outputs.iter().map(|o| reader.named(&o.name.value)).collect();
        let services: Vec<Expr> =
            unit_type.serves.iter().map(|(name, words)| reader.gate(&name.value, words)).collect();
        let never: Vec<Expr> = unit_type.never.iter().map(|words| reader.expr(&words.value)).collect();
        let Reader { next, gates, circular, .. } = reader;
        let flat = Flat::of(&gates);
        let names = unit_type.outputs.iter().map(|o| o.name.value.clone());
        let service_names = unit_type.serves.iter().map(|(name, _)| name.value.clone());
        TypeLogic {
            outputs: names.zip(outputs.iter().map(|e| flat.expr(e))).collect(),
            services: service_names.zip(services.iter().map(|e| flat.expr(e))).collect(),
            never: never.iter().map(|e| flat.expr(e)).collect(),
            output_vars: outputs.iter().map(own_var).collect(),
            service_vars: services.iter().map(own_var).collect(),
            width: next.min(usize::from(u16::MAX)) as u16,
            circular,
            choices: choices.clone(),
            inputs,
            gates,
        }
    }

    /// The variable of an input.
    pub fn input(&self, name: &str) -> Option<Var> {
        self.inputs.iter().position(|i| i == name).map(|i| Var(i as u16))
    }

    /// How many variables stand for inputs and choices; those from here on could not be found.
    pub fn known(&self) -> u16 {
        self.choices.last().map_or(self.inputs.len() as u16, |vars| vars.end)
    }

    /// The states that inputs and choices may be in: every option has one choice, and a second
    /// stage is called with its first only.
    pub fn states(&self) -> Function {
        let inputs = self.inputs.iter().enumerate();
        let calls: Vec<_> = inputs.filter_map(|(i, name)| Some((Call::of(name)?, Var(i as u16)))).collect();
        let options = self.choices.iter().map(|vars| {
            let vars: Vec<Function> = vars.clone().map(|v| Function::var(Var(v))).collect();
            exactly_one(&vars)
        });
        Function::all(options.chain([laws(&calls)]))
    }

    /// The option whose choice a variable stands for, by number.
    pub(crate) fn option_of(&self, var: Var) -> Option<usize> {
        self.choices.iter().position(|vars| vars.contains(&var.0))
    }

    /// The gate that a variable stands for, by number.
    pub(crate) fn gate_of(&self, var: Var) -> Option<usize> {
        self.gates.binary_search_by_key(&var, |gate| gate.var).ok()
    }

    /// The variable that stands for an output or a service.
    pub(crate) fn var_of(&self, output: &str) -> Option<Var> {
        let n = self.outputs.iter().position(|(name, _)| name == output)?;
        self.output_vars.get(n).copied()
    }

    pub(crate) fn service_var(&self, service: &str) -> Option<Var> {
        let n = self.services.iter().position(|(name, _)| name == service)?;
        self.service_vars.get(n).copied()
    }
}

fn var(n: usize) -> Var {
    Var(n as u16)
}

/// The variable that an expression of one variable is; one that means nothing for any other.
fn own_var(expr: &Expr) -> Var {
    match expr.ops() {
        [Op::Var(var)] => *var,
        _ => Var(u16::MAX),
    }
}

/// The gates over inputs, choices and unknown names alone.
struct Flat(FxHashMap<Var, Expr>);

impl Flat {
    fn of(gates: &[Gate]) -> Flat {
        let mut flat = Flat(FxHashMap::default());
        for gate in gates {
            let expr = flat.expr(&gate.expr);
            flat.0.insert(gate.var, expr);
        }
        flat
    }

    fn expr(&self, expr: &Expr) -> Expr {
        expr.substitute(|var| self.0.get(&var).cloned().unwrap_or_else(|| Expr::var(var)))
    }
}

/// A name on the way to its expression.
enum Known {
    Begun,
    Done(Expr),
}

struct Reader<'t> {
    unit_type: &'t UnitType,
    choices: &'t [Range<u16>],
    next: usize,
    known: FxHashMap<Name, Known>,
    gates: Vec<Gate>,
    circular: Vec<Name>,
    depth: usize,
}

/// Terms and operators nest no deeper than this, wherever a person wrote them.
const DEEPEST: usize = 512;

impl Reader<'_> {
    /// What stands for a name: a single variable.
    fn named(&mut self, name: &Name) -> Expr {
        match self.known.get(name) {
            Some(Known::Done(expr)) => return expr.clone(),
            Some(Known::Begun) => {
                self.circular.push(name.clone());
                return self.fresh();
            }
            None => {}
        }
        let unit_type = self.unit_type;
        self.known.insert(name.clone(), Known::Begun);
        let expr = match words_of(unit_type, name) {
            Some(words) => self.gate(name, words),
            None => self.fresh(),
        };
        self.known.insert(name.clone(), Known::Done(expr.clone()));
        expr
    }

    /// A line of the logic as a gate of its own.
    fn gate(&mut self, name: &Name, words: &Written<Words>) -> Expr {
        let expr = self.expr(&words.value);
        let fresh = self.fresh();
        if let [Op::Var(var)] = fresh.ops() {
            self.gates.push(Gate { name: name.clone(), at: words.at, var: *var, expr });
        }
        fresh
    }

    /// A variable of its own: on or off, as far as anybody knows.
    fn fresh(&mut self) -> Expr {
        let fresh = variables::within(self.next, var);
        self.next += 1;
        fresh
    }

    fn expr(&mut self, words: &Words) -> Expr {
        if self.depth > DEEPEST {
            return Expr::unknown();
        }
        self.depth += 1;
        let expr = match words {
            Words::Is(name, _) => self.named(name),
            Words::Choice { option, choice } => self.choice(&option.0, &choice.0),
            Words::Not(inner) => !self.expr(inner),
            Words::And(all) => Expr::and(all.iter().map(|w| self.expr(w)).collect::<Vec<_>>()),
            Words::Or(all) => Expr::or(all.iter().map(|w| self.expr(w)).collect::<Vec<_>>()),
        };
        self.depth -= 1;
        expr
    }

    fn choice(&mut self, option: &Name, choice: &Name) -> Expr {
        let found = self.unit_type.options.iter().zip(self.choices).find_map(|(o, vars)| {
            let i =
                (o.name.value == *option).then(|| o.choices.iter().position(|c| c.value == *choice))??;
            Some(usize::from(vars.start) + i)
        });
        match found {
            Some(n) => variables::within(n, var),
            None => self.fresh(),
        }
    }
}

/// What a term or an output is written as.
fn words_of<'t>(unit_type: &'t UnitType, name: &Name) -> Option<&'t Written<Words>> {
    let term = unit_type.terms.iter().find(|(n, _)| n.value == *name).map(|(_, words)| words);
    term.or_else(|| unit_type.output(name)?.when.as_ref())
}

/// On where one of some functions is, and only one.
pub(crate) fn exactly_one(vars: &[Function]) -> Function {
    let mut none = Function::constant(true);
    let mut one = Function::constant(false);
    for var in vars {
        one = one.and(&var.not()).or(&none.and(var));
        none = none.and(&var.not());
    }
    one
}
