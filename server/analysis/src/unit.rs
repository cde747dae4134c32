//! One unit over all its states and the whole review period.

use crate::logic_of_type::TypeLogic;
use crate::memo::Memo;
use crate::proof::circuit::{Circuit, Open, value};
use crate::proof::course::Course;
use crate::proof::followed::Followed;
use crate::proof::shape::Shape;
use crate::proof::solved::{Moment, Reach, Solved};
use crate::signal::{Signal, signals};
use crate::time::{TimedSchedule, period};
use crate::verdict::Gap;
use crate::wires::Wires;
use calendar::Period;
use logic::{Function, Var};
use model::{Found, Limits, Name, Unit, UnitType, View, Zone};
use std::sync::Arc;

/// A unit with its type, its signals, and the moments of the period.
pub struct UnitAnalysis<'j> {
    /// The unit.
    pub unit: Found<'j, Unit>,
    /// Its type.
    pub unit_type: Found<'j, UnitType>,
    /// Its zone, if it has one.
    pub zone: Option<Found<'j, Zone>>,
    /// The type's logic.
    pub logic: Arc<TypeLogic>,
    /// The atoms behind its inputs.
    pub wires: Wires,
    /// Its inputs as wired, in the type's order.
    pub signals: Vec<Signal>,
    /// The review period.
    pub period: Arc<Period>,
    pub(crate) chosen: Vec<Option<usize>>,
    pub(crate) followed: Followed<'j>,
    pub(crate) course: Arc<Course>,
    pub(crate) solved: Arc<Solved>,
}

/// The analysis of a unit; nothing when its type is unknown.
pub fn analyse<'j>(view: &View<'j>, memo: &Memo, unit: Found<'j, Unit>) -> Option<UnitAnalysis<'j>> {
    let unit_type: Found<'j, UnitType> = view.find(&unit.is.type_.as_ref()?.value)?;
    let logic = memo.type_logic(&unit_type.entry.facts)?;
    let period = period(view, memo)?;
    let mut wires = Wires::default();
    let signals = signals(&mut wires, view, unit, &logic.inputs);
    let chosen = choices(unit, unit_type.is);
    let zone = unit.is.zone.as_ref().and_then(|z| view.find(&z.value));
    let mut followed = Followed::of(view, memo, wires.atoms(), zone);
    let course = Course::of(memo, &period, followed.timed());
    followed.settle(&course.kinds);

    let circuit =
        Circuit { logic: &logic, wires: &wires, signals: &signals, chosen: &chosen, followed: &followed };
    let solved = memo.solved(Shape::of(&circuit, &course.kinds), || Solved::of(&circuit, &course.kinds));
    Some(UnitAnalysis {
        unit,
        unit_type,
        zone,
        logic,
        wires,
        signals,
        period,
        chosen,
        followed,
        course,
        solved,
    })
}

/// The choice in force for each option of the type, by number; nothing where that cannot be told:
/// the unit names a choice that there is not, or leaves the option out while it sets one that
/// there is not.
fn choices(unit: Found<'_, Unit>, unit_type: &UnitType) -> Vec<Option<usize>> {
    let strays = unit.is.options.iter().any(|(name, _)| unit_type.option(&name.value).is_none());
    let of = |option: &model::OptionDecl| match unit
        .is
        .options
        .iter()
        .find(|(name, _)| name.value == option.name.value)
    {
        Some((_, choice)) => option.choices.iter().position(|c| c.value == choice.value),
        None if strays || unit.entry.facts.doubtful() => None,
        None => Some(option.as_shipped),
    };
    unit_type.options.iter().map(of).collect()
}

impl<'j> UnitAnalysis<'j> {
    pub(crate) fn circuit(&self) -> Circuit<'_, 'j> {
        Circuit {
            logic: &self.logic,
            wires: &self.wires,
            signals: &self.signals,
            chosen: &self.chosen,
            followed: &self.followed,
        }
    }

    /// Outputs as wired and set, over the atoms.
    pub fn outputs(&self) -> &[(Name, Function)] {
        &self.solved.outputs
    }

    /// Services as wired and set, over the atoms.
    pub fn services(&self) -> &[(Name, Function)] {
        &self.solved.services
    }

    /// The kinds of moments there are.
    pub fn moments(&self) -> &[Moment] {
        &self.solved.moments
    }

    /// Hours of the period that are of a kind.
    pub fn hours(&self, moment: &Moment) -> f64 {
        self.course.kinds.get(moment.number).map_or(0.0, |kind| kind.hours)
    }

    /// Whether some allowed state at some moment turns a function of the atoms on.
    pub fn can_be_on(&self, function: &Function) -> bool {
        self.moments().iter().any(|m| m.can_be_on(function))
    }

    /// The limits of the unit's own zone at a moment; nothing where it sets none, or its mode cannot be told.
    pub(crate) fn limits(&self, moment: &Moment) -> Option<Limits> {
        self.followed.limits(self.zone?.is, moment.mode?, &moment.states)
    }

    /// A service of the type, as wired and set.
    pub fn service(&self, name: &str) -> Option<&Function> {
        self.services().iter().find(|(n, _)| n == name).map(|(_, f)| f)
    }

    /// The signal at an input.
    pub fn signal(&self, input: &str) -> Option<&Signal> {
        self.signals.iter().find(|s| s.input == input)
    }

    /// The function of the atoms at an input.
    pub fn terminal(&self, input: &str) -> Option<&Function> {
        let i = self.logic.input(input)?;
        self.solved.terminals.get(usize::from(i.0))
    }

    /// The schedules behind the unit and its zones, expanded.
    pub fn schedules(&self) -> impl Iterator<Item = (&Name, &Arc<TimedSchedule>)> {
        self.followed.schedules.iter().map(|s| (&s.name, &s.timed))
    }

    /// The choice in force for an option of the type; nothing if the unit's is none of them.
    pub fn choice(&self, option: &str) -> Option<&'j Name> {
        let i = self.unit_type.is.options.iter().position(|o| o.name.value == option)?;
        let decl = self.unit_type.is.options.get(i)?;
        decl.choices.get((*self.chosen.get(i)?)?).map(|c| &c.value)
    }

    /// The states that an input can be in at each kind of moment, in the order of [`UnitAnalysis::moments`].
    pub fn reach(&self, input: &str) -> Option<Arc<[Reach]>> {
        let (var, on) = (self.logic.input(input)?, self.terminal(input)?);
        Some(self.solved.reach.of(&var, || {
            let off = on.not();
            self.moments().iter().map(|m| Reach { on: m.can_be_on(on), off: m.can_be_on(&off) }).collect()
        }))
    }

    /// What asks for a service: the signal of the input that takes its call, and the call of a zone's
    /// thermostat behind that signal, which an interlock on the way may hold back. Services without a
    /// call of their own are always asked for.
    pub fn demand(&self, service: &str) -> Function {
        let calls = call_inputs(service);
        let asking: Vec<&Function> = calls.iter().filter_map(|input| self.terminal(input)).collect();
        if asking.is_empty() {
            return Function::constant(true);
        }
        let zones = self.followed.zones.iter().flat_map(|zone| &zone.calls);
        let behind = zones
            .filter(|(call, var)| calls.contains(call) && asking.iter().any(|f| f.support().contains(var)))
            .map(|(_, var)| Function::var(*var));
        Function::any(behind.chain(asking.iter().copied().cloned()))
    }

    /// Whether some output depends on an input at any moment, everything else as wired and set.
    pub fn has_effect(&self, input: &str) -> bool {
        let Some(var) = self.logic.input(input) else {
            return true;
        };
        self.solved.effects.of(&var, || {
            let values = self.with_free(&[var]);
            let outputs: Vec<Function> = self.logic.output_vars.iter().map(|o| value(&values, *o)).collect();
            self.can_be_on(&difference(&outputs, crate::variables::of_type(var)))
        })
    }

    /// Whether an output depends on an input under the options chosen, whatever is wired to the others
    /// and whatever is set.
    pub fn looks_at(&self, input: &str) -> bool {
        let Some(var) = self.logic.input(input) else {
            return true;
        };
        self.unwired_outputs().iter().any(|function| depends(function, var))
    }

    /// The inputs that each output depends on under the options chosen, whatever is wired and set.
    pub fn inputs_of_outputs(&self) -> Vec<(&Name, Vec<&Name>)> {
        let inputs = |function: &Function| {
            let all = self.logic.inputs.iter();
            all.filter(|input| self.logic.input(input).is_some_and(|var| depends(function, var))).collect()
        };
        let outputs = self.logic.outputs.iter().map(|(name, _)| name);
        outputs.zip(self.unwired_outputs().iter()).map(|(name, function)| (name, inputs(function))).collect()
    }

    /// The outputs over the type's inputs, with nothing wired to them.
    fn unwired_outputs(&self) -> Arc<[Function]> {
        self.solved.unwired.of(&(), || {
            let values =
                self.circuit().values(&|fact| matches!(fact, crate::proof::circuit::Fact::Wiring(_)));
            self.logic.output_vars.iter().map(|var| value(&values, *var)).collect()
        })
    }

    /// A service as it would be with some inputs free, everything else as wired and set.
    pub fn service_with_free(&self, service: &str, inputs: &[&str]) -> Option<Function> {
        let free: Vec<Var> = inputs.iter().filter_map(|input| self.logic.input(input)).collect();
        Some(value(&self.with_free(&free), self.logic.service_var(service)?))
    }

    fn with_free(&self, inputs: &[Var]) -> Vec<Function> {
        let wiring: Vec<_> =
            inputs.iter().map(|input| crate::proof::circuit::Fact::Wiring(usize::from(input.0))).collect();
        let open: Open<'_> = &|fact| wiring.contains(&fact);
        self.circuit().values(open)
    }

    /// Intervals of the period with their kinds of moments, in order.
    pub fn course(&self) -> impl Iterator<Item = (Gap, &Moment)> {
        self.course.intervals().filter_map(|(stretch, kind)| Some((stretch, self.moments().get(kind)?)))
    }
}

/// The inputs that take the calls for a service; none for one that is not called for.
pub fn call_inputs(service: &str) -> &'static [&'static str] {
    match service {
        "dehumidification" => &["dehumidify"],
        "humidification" => &["humidify"],
        "cooling" => &["cool-1", "cool-2"],
        "heating" => &["heat-1", "heat-2"],
        _ => &[],
    }
}

/// Whether a function depends on an input of the type; one that is not known may.
fn depends(function: &Function, input: Var) -> bool {
    !function.is_known() || function.support().contains(&crate::variables::of_type(input))
}

/// The states in which any of some functions changes with a variable.
pub(crate) fn difference(functions: &[Function], var: Var) -> Function {
    let concerned = functions.iter().filter(|f| !f.is_known() || f.support().binary_search(&var).is_ok());
    Function::any(concerned.map(|f| f.restrict(var, true).xor(&f.restrict(var, false))))
}
