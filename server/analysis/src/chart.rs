//! The logic chart of a unit as wired and set: inputs against outputs, don't-cares merged.

use crate::logic_of_type::TypeLogic;
use crate::signal::{Feed, Signal};
use crate::unit::UnitAnalysis;
use crate::variables;
use logic::{Function, SearchLimits, Var, merge_rows};
use model::Name;

/// A logic chart.
#[derive(Clone, PartialEq, Debug)]
pub struct Chart {
    pub unit: Name,
    /// The unit's type.
    pub unit_type: Name,
    /// Options and the choices in force.
    pub options: Vec<(Name, Name)>,
    /// Options whose choice is not known.
    pub undecided: Vec<Name>,
    /// The inputs, in the type's order.
    pub inputs: Vec<ChartInput>,
    /// The outputs, in the type's order.
    pub outputs: Vec<Name>,
    /// The distinct rows. Together they are every state that the wiring, the schedules and the
    /// limits allow at some moment; no two overlap, unless a choice that is not known parts them.
    pub rows: Vec<ChartRow>,
    /// Whether these are all rows.
    pub complete: bool,
}

/// An input of a chart.
#[derive(Clone, PartialEq, Debug)]
pub struct ChartInput {
    pub name: Name,
    /// Its terminal's letter, where the trade at large has one.
    pub terminal: Option<Name>,
    /// What is wired to it, in words: each step from the terminal to what decides it.
    pub wired: String,
}

/// A row of a chart.
#[derive(Clone, PartialEq, Debug)]
pub struct ChartRow {
    /// Each input's state; nothing where it may be either.
    pub inputs: Vec<Option<bool>>,
    /// Each output's state.
    pub outputs: Vec<bool>,
}

/// The chart of a unit.
pub fn chart(analysis: &UnitAnalysis<'_>) -> Chart {
    // The atoms behind the inputs keep their numbers; the inputs follow them.
    let first = analysis.wires.atoms().len();
    let input = |i: usize| variables::own(first + i).unwrap_or(Var(u32::MAX));
    let found = analysis.solved.budget.chart(|| {
        let values = analysis.logic.values(
            (0..analysis.logic.known()).map(|var| by_input(analysis, var, &input)).collect(),
            |var| Function::var(input(var.0 as usize)),
            |_, gate, values| TypeLogic::meaning(&gate.expr, values),
        );
        let outputs: Vec<Function> = (analysis.logic.outputs.iter())
            .map(|output| analysis.logic.output_in(output, &values).unwrap_or_else(Function::unknown))
            .collect();
        merge_rows(&outputs, &input_states(analysis, &input), SearchLimits::default())
    });
    let unit_type = analysis.unit_type.is;
    Chart {
        unit: Name::new(analysis.unit.name()),
        unit_type: Name::new(analysis.unit_type.name()),
        options: unit_type
            .options
            .iter()
            .filter_map(|o| Some((o.name.value.clone(), analysis.choice(&o.name.value)?.clone())))
            .collect(),
        undecided: unit_type
            .options
            .iter()
            .filter(|o| analysis.choice(&o.name.value).is_none())
            .map(|o| o.name.value.clone())
            .collect(),
        inputs: analysis
            .signals
            .iter()
            .map(|signal| ChartInput {
                name: signal.input.clone(),
                terminal: unit_type
                    .input(&signal.input)
                    .and_then(|i| i.terminal.as_ref())
                    .map(|t| t.value.clone()),
                wired: wired(signal),
            })
            .collect(),
        outputs: analysis.logic.outputs.clone(),
        rows: found
            .items
            .iter()
            .map(|row| ChartRow {
                inputs: (0..analysis.signals.len()).map(|i| row.when.value(input(i))).collect(),
                outputs: row.outputs.clone(),
            })
            .collect(),
        complete: found.complete,
    }
}

/// What is wired to an input, in words. A tie says all: the input it is tied to has words of its own. Which point a
/// terminal is wired to is said by the step after it.
fn wired(signal: &Signal) -> String {
    let steps = match (&signal.feed, signal.path.as_slice()) {
        (Feed::Tie(_), [tie, ..]) => std::slice::from_ref(tie),
        (_, [_, rest @ ..]) if !rest.is_empty() => rest,
        (_, all) => all,
    };
    steps.iter().map(|because| because.text.as_str()).collect::<Vec<_>>().join("; ")
}

/// A variable of the type's logic with the choices in force: inputs stand for themselves.
fn by_input(analysis: &UnitAnalysis<'_>, number: usize, input: &dyn Fn(usize) -> Var) -> Function {
    let options = &analysis.unit_type.is.options;
    for (vars, option) in analysis.logic.choices.iter().zip(options) {
        let vars = vars.start as usize..vars.end as usize;
        if vars.contains(&number)
            && let Some(chosen) = analysis.choice(&option.name.value)
        {
            let this = option.choices.get(number - vars.start);
            return Function::constant(this.is_some_and(|c| c.value == *chosen));
        }
    }
    Function::var(input(number))
}

/// The states that the inputs can be in together, at some moment.
fn input_states(analysis: &UnitAnalysis<'_>, input: &dyn Fn(usize) -> Var) -> Function {
    Function::any(analysis.moments().iter().map(|moment| {
        let wired = analysis.signals.iter().enumerate().map(|(i, signal)| {
            let signal = analysis.terminal(&signal.input).map(|on| on.restrict_all(&moment.scheduled));
            Function::var(input(i)).equivalence(&signal.unwrap_or_else(Function::unknown))
        });
        let mut wired: Vec<Function> = wired.collect();
        let mut states = moment.allowed.clone();
        // One atom at a time, with only the inputs behind it: all of them together are too many to hold.
        for atom in (0..analysis.wires.atoms().len()).filter_map(variables::own) {
            let (behind, others) = wired.into_iter().partition(|of| !of.depends_on(atom).is_no());
            wired = others;
            let behind: Vec<Function> = behind;
            states = Function::all(std::iter::once(states).chain(behind)).exists(atom);
        }
        Function::all(std::iter::once(states).chain(wired))
    }))
}
