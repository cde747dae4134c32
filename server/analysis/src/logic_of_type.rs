//! A unit type's logic as expressions over its inputs and choices.

use crate::memo::{KeyPart, Memo, MemoKey};
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
    pub choices: Vec<Range<u32>>,
    /// Names of its outputs.
    pub outputs: Vec<Name>,
    /// Names of its services.
    pub services: Vec<Name>,
    /// States it must not reach, in the order written, over all of its variables.
    pub never: Vec<Expr>,
    /// How many variables there are.
    pub width: usize,
    /// Names that stand for themselves: a term that asks for its own value, by name.
    pub circular: Vec<Name>,
    /// The lines of the logic, each after those it uses.
    pub(crate) gates: Vec<Gate>,
    /// The variable of each output and of each service.
    pub(crate) output_vars: Vec<Var>,
    pub(crate) service_vars: Vec<Var>,
    numbers: FxHashMap<Name, Var>,
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

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        part(KeyPart { holders: self.0.holders(), held: 1 });
    }
}

impl TypeLogic {
    /// The logic of a type that may have been read before.
    pub fn shared(memo: &Memo, unit_type: Found<'_, UnitType>) -> Arc<TypeLogic> {
        let read = || Arc::new(TypeLogic::of(unit_type.is));
        memo.of(OfType(Same::of(&unit_type.entry.facts)), |_| memo.bounds().0.within(read))
    }

    /// The logic of `unit_type`.
    pub fn of(unit_type: &UnitType) -> TypeLogic {
        let inputs: Vec<Name> = unit_type.inputs.iter().map(|i| i.name.value.clone()).collect();
        let mut next = inputs.len();
        let mut choices = Vec::new();
        for option in &unit_type.options {
            let count = option.choices.len();
            choices.push(number(next)..number(next + count));
            next += count;
        }
        let mut numbers: FxHashMap<Name, Var> = FxHashMap::default();
        let mut known = FxHashMap::default();
        for (i, input) in inputs.iter().enumerate() {
            let var = variables::own(i);
            if !known.contains_key(input) {
                numbers.extend(var.map(|var| (input.clone(), var)));
                known.insert(input.clone(), Known::Done(variables::expr(var)));
            }
        }
        let mut lines: FxHashMap<&Name, &Written<Words>> = FxHashMap::default();
        // Of equal names the first counts, and a term before an output.
        let outputs = unit_type.outputs.iter().filter_map(|o| Some((&o.name.value, o.when.as_ref()?)));
        let terms = unit_type.terms.iter().map(|(name, words)| (&name.value, words));
        for (name, words) in terms.chain(outputs) {
            lines.entry(name).or_insert(words);
        }
        let mut reader = Reader {
            unit_type,
            choices: &choices,
            lines,
            next,
            known,
            gates: Vec::new(),
            circular: Vec::new(),
        };
        let outputs: Vec<Expr> = unit_type.outputs.iter().map(|o| reader.named(&o.name.value)).collect();
        let services: Vec<Expr> =
            unit_type.serves.iter().map(|(name, words)| reader.line(&name.value, words)).collect();
        let never: Vec<Expr> = unit_type.never.iter().map(|words| reader.expr(&words.value)).collect();
        let Reader { next, gates, circular, .. } = reader;
        TypeLogic {
            outputs: unit_type.outputs.iter().map(|o| o.name.value.clone()).collect(),
            services: unit_type.serves.iter().map(|(name, _)| name.value.clone()).collect(),
            never,
            output_vars: outputs.iter().map(own_var).collect(),
            service_vars: services.iter().map(own_var).collect(),
            width: next,
            circular,
            choices: choices.clone(),
            inputs,
            gates,
            numbers,
        }
    }

    /// The variable of an input.
    pub fn input(&self, name: &str) -> Option<Var> {
        self.numbers.get(name).copied()
    }

    /// How many variables stand for inputs and choices; those from here on could not be found.
    pub fn known(&self) -> usize {
        self.choices.last().map_or(self.inputs.len(), |vars| vars.end as usize)
    }

    /// Every variable as a function, given those of the inputs and choices; what could not be found is
    /// `free`.
    pub(crate) fn values(
        &self,
        mut values: Vec<Function>,
        free: impl Fn(Var) -> Function,
        mut line: impl FnMut(usize, &Gate, &[Function]) -> Function,
    ) -> Vec<Function> {
        for (n, gate) in self.gates.iter().enumerate() {
            // Names that could not be found stand between the lines of the logic.
            while values.len() < gate.var.0 as usize {
                values.push(free(Var(number(values.len()))));
            }
            let value = line(n, gate, &values);
            values.push(value);
        }
        while values.len() < self.width {
            values.push(free(Var(number(values.len()))));
        }
        values
    }

    /// Every variable as a function of the inputs, the choices, and what could not be found.
    pub fn alone(&self) -> Vec<Function> {
        let leaves = (0..number(self.known())).map(|var| Function::var(Var(var))).collect();
        self.values(leaves, Function::var, |_, gate, values| {
            Function::substituted(&gate.expr, |var| TypeLogic::value(values, var))
        })
    }

    /// What an expression over the variables means when they stand for these functions.
    pub fn meaning(expr: &Expr, values: &[Function]) -> Function {
        Function::substituted(expr, |var| TypeLogic::value(values, var))
    }

    /// The function of a variable; a name that was asked for only after all lines could not be found.
    fn value(values: &[Function], var: Var) -> Function {
        values.get(var.0 as usize).cloned().unwrap_or_else(|| Function::var(var))
    }

    /// An output over the inputs, the choices, and what could not be found.
    pub fn output_in(&self, output: &str, values: &[Function]) -> Option<Function> {
        Some(TypeLogic::value(values, self.var_of(output)?))
    }

    /// A service, likewise.
    pub fn service_in(&self, service: &str, values: &[Function]) -> Option<Function> {
        Some(TypeLogic::value(values, self.service_var(service)?))
    }

    /// The states that inputs and choices may be in: every option has one choice, and a second
    /// stage is called with its first only.
    pub fn states(&self) -> Function {
        let inputs = self.inputs.iter().enumerate();
        let calls: Vec<_> = inputs.filter_map(|(i, name)| Some((Call::of(name)?, Var(number(i))))).collect();
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
        let n = self.outputs.iter().position(|name| name == output)?;
        self.output_vars.get(n).copied()
    }

    pub(crate) fn service_var(&self, service: &str) -> Option<Var> {
        let n = self.services.iter().position(|name| name == service)?;
        self.service_vars.get(n).copied()
    }
}

/// A number of variables; past all ranges it stands for none of them.
fn number(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// The variable that an expression of one variable is; one that means nothing for any other.
fn own_var(expr: &Expr) -> Var {
    match expr.ops() {
        [Op::Var(var)] => *var,
        _ => Var(u32::MAX),
    }
}

/// A name on the way to its expression.
enum Known {
    Begun,
    Done(Expr),
}

struct Reader<'t> {
    unit_type: &'t UnitType,
    choices: &'t [Range<u32>],
    /// What each term and each output is written as.
    lines: FxHashMap<&'t Name, &'t Written<Words>>,
    next: usize,
    known: FxHashMap<Name, Known>,
    gates: Vec<Gate>,
    circular: Vec<Name>,
}

/// A line whose names are being read.
struct Begun<'t> {
    name: &'t Name,
    words: &'t Written<Words>,
    names: Vec<&'t Name>,
    next: usize,
}

impl<'t> Begun<'t> {
    fn new(name: &'t Name, words: &'t Written<Words>) -> Self {
        let mut names = Vec::new();
        words.value.each_name(&mut |name, _| names.push(name));
        Begun { name, words, names, next: 0 }
    }
}

impl<'t> Reader<'t> {
    /// What stands for a name: a single variable.
    fn named(&mut self, name: &'t Name) -> Expr {
        self.read(name);
        self.value(name)
    }

    /// A line of the logic that has a variable of its own, but no name that others could use.
    fn line(&mut self, name: &'t Name, words: &'t Written<Words>) -> Expr {
        self.read_all(&words.value);
        self.gate(name, words)
    }

    /// Words whose names may not have been read yet.
    fn expr(&mut self, words: &'t Words) -> Expr {
        self.read_all(words);
        self.meaning(words)
    }

    fn read_all(&mut self, words: &'t Words) {
        let mut names = Vec::new();
        words.each_name(&mut |name, _| names.push(name));
        names.into_iter().for_each(|name| self.read(name));
    }

    /// Reads a name, those that it uses first. However long the chain, it takes no recursion.
    fn read(&mut self, name: &'t Name) {
        if self.known.contains_key(name) {
            return;
        }
        let mut open = Vec::from_iter(self.begin(name));
        while let Some(line) = open.last_mut() {
            if let Some(used) = line.names.get(line.next).copied() {
                line.next += 1;
                match self.known.get(used) {
                    Some(Known::Done(_)) => {}
                    Some(Known::Begun) if self.circular.contains(used) => {}
                    Some(Known::Begun) => self.circular.push(used.clone()),
                    None => open.extend(self.begin(used)),
                }
            } else if let Some(line) = open.pop() {
                let expr = self.gate(line.name, line.words);
                self.known.insert(line.name.clone(), Known::Done(expr));
            }
        }
    }

    /// Begins to read a name; nothing for one that could not be found, which has a variable of its own.
    fn begin(&mut self, name: &'t Name) -> Option<Begun<'t>> {
        let Some(words) = self.lines.get(name).copied() else {
            let fresh = self.fresh();
            self.known.insert(name.clone(), Known::Done(fresh));
            return None;
        };
        self.known.insert(name.clone(), Known::Begun);
        Some(Begun::new(name, words))
    }

    /// A name that was read; one that stands for itself may be on or off wherever it is used.
    fn value(&mut self, name: &Name) -> Expr {
        match self.known.get(name) {
            Some(Known::Done(expr)) => expr.clone(),
            Some(Known::Begun) | None => self.fresh(),
        }
    }

    /// A line of the logic as a gate of its own.
    fn gate(&mut self, name: &Name, words: &Written<Words>) -> Expr {
        let expr = self.meaning(&words.value);
        let fresh = self.fresh();
        if let [Op::Var(var)] = fresh.ops() {
            self.gates.push(Gate { name: name.clone(), at: words.at, var: *var, expr });
        }
        fresh
    }

    /// A variable of its own: on or off, as far as anybody knows.
    fn fresh(&mut self) -> Expr {
        let fresh = variables::expr(variables::own(self.next));
        self.next += 1;
        fresh
    }

    /// Words whose names were read. What the reader of words accepts nests little.
    fn meaning(&mut self, words: &Words) -> Expr {
        match words {
            Words::Is(name, _) => self.value(name),
            Words::Choice { option, choice } => self.choice(&option.0, &choice.0),
            Words::Not(inner) => !self.meaning(inner),
            Words::And(all) => Expr::and(all.iter().map(|w| self.meaning(w)).collect::<Vec<_>>()),
            Words::Or(all) => Expr::or(all.iter().map(|w| self.meaning(w)).collect::<Vec<_>>()),
        }
    }

    fn choice(&mut self, option: &Name, choice: &Name) -> Expr {
        let found = self.unit_type.options.iter().zip(self.choices).find_map(|(o, vars)| {
            let i =
                (o.name.value == *option).then(|| o.choices.iter().position(|c| c.value == *choice))??;
            Some(vars.start as usize + i)
        });
        match found {
            Some(n) => variables::expr(variables::own(n)),
            None => self.fresh(),
        }
    }
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
