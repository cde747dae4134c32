//! A unit type's logic as expressions over its inputs and choices, terms worked in.

use logic::{Expr, Var};
use model::{Name, UnitType, Words};
use rustc_hash::FxHashMap;
use std::ops::Range;

/// The logic of a type. Variables are its inputs in order, then every choice of every option, then
/// one for each name that could not be found, which may be on or off.
pub struct TypeLogic {
    /// Names of its inputs: variable `i` is input `i`.
    pub inputs: Vec<Name>,
    /// For each option the variables of its choices.
    pub choices: Vec<Range<u16>>,
    /// Outputs by name.
    pub outputs: Vec<(Name, Expr)>,
    /// Services by name.
    pub services: Vec<(Name, Expr)>,
    /// States it must not reach, in the order written.
    pub never: Vec<Expr>,
    /// How many variables there are.
    pub width: u16,
    /// Names that stand for themselves: a term that asks for its own value, by name.
    pub circular: Vec<Name>,
}

impl TypeLogic {
    /// The logic of `unit_type`.
    pub fn of(unit_type: &UnitType) -> TypeLogic {
        let inputs: Vec<Name> = unit_type.inputs.iter().map(|i| i.name.value.clone()).collect();
        let mut next = inputs.len() as u16;
        let mut choices = Vec::new();
        for option in &unit_type.options {
            let count = option.choices.len() as u16;
            choices.push(next..next.saturating_add(count));
            next = next.saturating_add(count);
        }
        let mut reader = Reader { unit_type, inputs: &inputs, choices: &choices, next, known: FxHashMap::default(), circular: Vec::new() };
        let outputs = unit_type
            .outputs
            .iter()
            .map(|o| (o.name.value.clone(), reader.named(&o.name.value)))
            .collect();
        let services = unit_type
            .serves
            .iter()
            .map(|(name, words)| (name.value.clone(), reader.expr(&words.value)))
            .collect();
        let never = unit_type.never.iter().map(|words| reader.expr(&words.value)).collect();
        let (width, circular) = (reader.next, reader.circular);
        TypeLogic { outputs, services, never, width, circular, choices: choices.clone(), inputs }
    }

    /// The variable of an input.
    pub fn input(&self, name: &str) -> Option<Var> {
        self.inputs.iter().position(|i| i == name).map(|i| Var(i as u16))
    }
}

/// A name on the way to its expression.
enum Known {
    Begun,
    Done(Expr),
}

struct Reader<'t> {
    unit_type: &'t UnitType,
    inputs: &'t [Name],
    choices: &'t [Range<u16>],
    next: u16,
    known: FxHashMap<Name, Known>,
    circular: Vec<Name>,
}

impl Reader<'_> {
    fn named(&mut self, name: &Name) -> Expr {
        if let Some(i) = self.inputs.iter().position(|input| input == name) {
            return Expr::var(Var(i as u16));
        }
        match self.known.get(name) {
            Some(Known::Done(expr)) => return expr.clone(),
            Some(Known::Begun) => {
                self.circular.push(name.clone());
                return self.fresh();
            }
            None => {}
        }
        let unit_type = self.unit_type;
        let Some(words) = words_of(unit_type, name) else {
            let unknown = self.fresh();
            self.known.insert(name.clone(), Known::Done(unknown.clone()));
            return unknown;
        };
        self.known.insert(name.clone(), Known::Begun);
        let expr = self.expr(words);
        self.known.insert(name.clone(), Known::Done(expr.clone()));
        expr
    }

    /// Something of which nothing is known: it may be on or off.
    fn fresh(&mut self) -> Expr {
        let var = Var(self.next);
        self.next = self.next.saturating_add(1);
        Expr::var(var)
    }

    fn expr(&mut self, words: &Words) -> Expr {
        match words {
            Words::Is(name, _) => self.named(name),
            Words::Choice { option, choice } => self.choice(&option.0, &choice.0),
            Words::Not(inner) => !self.expr(inner),
            Words::And(all) => {
                let all: Vec<Expr> = all.iter().map(|w| self.expr(w)).collect();
                Expr::and(all)
            }
            Words::Or(all) => {
                let all: Vec<Expr> = all.iter().map(|w| self.expr(w)).collect();
                Expr::or(all)
            }
        }
    }

    fn choice(&mut self, option: &Name, choice: &Name) -> Expr {
        let found = self.unit_type.options.iter().zip(self.choices).find_map(|(o, vars)| {
            let i = (o.name.value == *option).then(|| o.choices.iter().position(|c| c.value == *choice))??;
            Some(Var(vars.start + i as u16))
        });
        match found {
            Some(var) => Expr::var(var),
            None => self.fresh(),
        }
    }
}

/// What a term or an output is written as.
fn words_of<'t>(unit_type: &'t UnitType, name: &Name) -> Option<&'t Words> {
    let term = unit_type.terms.iter().find(|(n, _)| n.value == *name).map(|(_, w)| &w.value);
    term.or_else(|| unit_type.output(name)?.when.as_ref().map(|w| &w.value))
}
