//! One unit over all its states and a whole period.

use crate::analysis::Analysis;
use crate::logic_of_type::TypeLogic;
use crate::proof::circuit::value;
use crate::proof::course::Course;
use crate::proof::followed::{Followed, Ruled};
use crate::proof::moment::Moment;
use crate::proof::solved::{Reach, Solved};
use crate::signal::{Signal, signals};
use crate::time::TimedSchedule;
use crate::variables;
use crate::verdict::{Gap, Verdict};
use crate::wires::Wires;
use calendar::Period;
use logic::{Answer, Function, Var};
use model::{Found, ModeLimits, Name, OutputDecl, Role, Unit, UnitType, Zone};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// A unit with its type, its signals, and the moments of the period.
pub struct UnitAnalysis<'j> {
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
    pub period: Arc<Period>,
    pub(crate) ruled: Ruled<'j>,
    pub(crate) course: Arc<Course>,
    pub(crate) solved: Arc<Solved>,
    /// Whether a question was asked that has no proven answer.
    unproven: AtomicBool,
}

/// Something about a unit that was too large to prove.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Unproven {
    /// When a service can run.
    Service(Name),
    /// Whether an output can be on, and off.
    Output(Name),
    /// Whether an output depends on an input.
    Input(Name),
}

impl<'j> Analysis<'_, 'j> {
    /// The analysis of a unit over the period; nothing when its type is unknown.
    pub fn unit(&self, unit: Found<'j, Unit>) -> Option<UnitAnalysis<'j>> {
        let view = self.view;
        let unit_type: Found<'j, UnitType> = view.find(&unit.is.type_.as_ref()?.value)?;
        let logic = TypeLogic::shared(self.memo, unit_type);
        let mut wires = Wires::default();
        let bounds = self.memo.bounds();
        let signals = bounds.0.within(|| signals(&mut wires, view, unit, &logic.inputs));
        let zone = unit.is.zone.as_ref().and_then(|z| view.find(&z.value));
        let followed = Followed::of(self, wires.atoms(), zone);
        let course = followed.course(self);
        let ruled = followed.under(&course);
        let chosen = choices(unit, unit_type.is);
        let shape = Arc::new(ruled.shape(&logic, chosen, &signals, wires.lines()));
        let solved = self.memo.of(shape, |shape| Arc::new(Solved::of(shape, bounds)));
        let (period, unproven) = (self.over.clone(), AtomicBool::new(false));
        Some(UnitAnalysis {
            unit,
            unit_type,
            zone,
            logic,
            wires,
            signals,
            period,
            ruled,
            course,
            solved,
            unproven,
        })
    }
}

/// The choice in force for each option of the type, by number; nothing where that is not known:
/// the unit names a choice that there is not, or leaves the option out while it sets one that
/// there is not.
fn choices(unit: Found<'_, Unit>, unit_type: &UnitType) -> Box<[Option<usize>]> {
    let strays = unit.is.options.iter().any(|(name, _)| unit_type.option(&name.value).is_none());
    let of = |option: &model::OptionDecl| match unit
        .is
        .options
        .iter()
        .find(|(name, _)| name.value == option.name.value)
    {
        Some((_, choice)) => option.choices.iter().position(|c| c.value == choice.value),
        None if strays || unit.entry.facts.doubtful() => None,
        None => Some(option.default),
    };
    unit_type.options.iter().map(of).collect()
}

impl<'j> UnitAnalysis<'j> {
    /// Outputs as wired and set, over the atoms.
    pub fn outputs(&self) -> &[(Name, Function)] {
        &self.solved.outputs
    }

    /// Services as wired and set, over the atoms.
    pub fn services(&self) -> &[(Name, Function)] {
        &self.solved.services
    }

    /// The outputs of such a role, as wired and set.
    pub fn outputs_that(&self, is: impl Fn(Role) -> bool) -> impl Iterator<Item = (&Name, &Function)> {
        let named = |decl: &OutputDecl| self.outputs().iter().find(|(name, _)| *name == decl.name.value);
        self.unit_type.is.outputs_that(is).filter_map(named).map(|(name, on)| (name, on))
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
    pub fn can_be_on(&self, function: &Function) -> Answer {
        self.heard(self.solved.can_be_on(function))
    }

    /// Whether some allowed state at a moment turns a function of the atoms on.
    pub fn can_be_on_at(&self, moment: &Moment, function: &Function) -> Answer {
        self.heard(moment.can_be_on(function))
    }

    /// Does work on functions of the unit within what one question may take.
    pub fn bounded<T>(&self, work: impl FnOnce() -> T) -> T {
        self.solved.budget.each(work)
    }

    /// Remembers where an answer is not known: who asked says nothing then, and somebody has to.
    pub(crate) fn heard(&self, answer: Answer) -> Answer {
        if answer.is_unknown() {
            self.unproven.store(true, Ordering::Relaxed);
        }
        answer
    }

    /// Whether any question so far had no proven answer.
    pub fn left_something_unproven(&self) -> bool {
        self.unproven.load(Ordering::Relaxed)
    }

    /// What was too large to prove: services, outputs, and the effect of inputs that are wired.
    pub fn unproven(&self) -> Vec<Unproven> {
        let services = self.services().iter().map(|(name, _)| name);
        let services = services.filter(|name| self.verdict(name).verdict == Verdict::NotProven);
        let outputs = self.outputs().iter().filter(|(_, on)| {
            self.can_be_on(on).is_unknown() || self.can_be_on(&self.bounded(|| on.not())).is_unknown()
        });
        let inputs = self.signals.iter().filter(|signal| signal.mentioned);
        let inputs = inputs.filter(|signal| self.has_effect(&signal.input).is_unknown());
        let services = services.cloned().map(Unproven::Service);
        let outputs = outputs.map(|(name, _)| Unproven::Output(name.clone()));
        services.chain(outputs).chain(inputs.map(|signal| Unproven::Input(signal.input.clone()))).collect()
    }

    /// The limits of the unit's own zone at a moment; nothing where it sets none, or its mode is not known.
    pub(crate) fn limits(&self, moment: &Moment) -> Option<ModeLimits> {
        self.ruled.schedules.limits(self.zone?.is, moment.mode?, self.solved.states(moment))
    }

    /// A service of the type, as wired and set.
    pub fn service(&self, name: impl AsRef<str>) -> Option<&Function> {
        self.services().iter().find(|(n, _)| n == name.as_ref()).map(|(_, f)| f)
    }

    /// The signal at an input.
    pub fn signal(&self, input: impl AsRef<str>) -> Option<&Signal> {
        self.signals.iter().find(|s| s.input == input.as_ref())
    }

    /// The function of the atoms at an input.
    pub fn terminal(&self, input: impl AsRef<str>) -> Option<&Function> {
        self.solved.terminal(input.as_ref())
    }

    /// The schedules behind the unit and its zones, expanded.
    pub fn schedules(&self) -> impl Iterator<Item = (&Name, &Arc<TimedSchedule>)> {
        self.ruled.schedules.all.iter().map(|s| (&s.name, &s.timed))
    }

    /// The choice in force for an option of the type; nothing if the unit's is none of them.
    pub fn choice(&self, option: &str) -> Option<&'j Name> {
        let i = self.unit_type.is.options.iter().position(|o| o.name.value == option)?;
        let decl = self.unit_type.is.options.get(i)?;
        decl.choices.get(self.chosen(i)?).map(|c| &c.value)
    }

    /// The choice in force for an option of the type, both by number.
    pub(crate) fn chosen(&self, option: usize) -> Option<usize> {
        *self.solved.shape().chosen.get(option)?
    }

    /// The states that an input can be in at each kind of moment, in the order of [`UnitAnalysis::moments`].
    pub fn reach(&self, input: &str) -> Option<Arc<[Reach]>> {
        let reach = self.solved.reach(self.logic.input(input)?);
        for reach in reach.iter() {
            let _ = (self.heard(reach.on), self.heard(reach.off));
        }
        Some(reach)
    }

    /// What asks for a service: the signal of the input that takes its call, and the call of a zone's
    /// thermostat behind that signal, which an interlock on the way may hold back. Services without a
    /// call of their own are always asked for.
    pub fn demand(&self, service: impl AsRef<str>) -> Function {
        self.solved.demand(service.as_ref())
    }

    /// Whether some output depends on an input at any moment, everything else as wired and set.
    pub fn has_effect(&self, input: &str) -> Answer {
        self.heard(self.logic.input(input).map_or(Answer::Yes, |input| self.solved.has_effect(input)))
    }

    /// Whether an output depends on an input under the options chosen, whatever is wired to the others
    /// and whatever is set.
    pub fn looks_at(&self, input: &str) -> Answer {
        let Some(var) = self.logic.input(input) else {
            return Answer::Yes;
        };
        let outputs = self.solved.unwired_outputs();
        self.heard(Answer::any(outputs.iter().map(|function| depends(function, var))))
    }

    /// The inputs that each output depends on, or may, under the options chosen, whatever is wired and set.
    pub fn inputs_of_outputs(&self) -> Vec<(&Name, Vec<&Name>)> {
        let inputs = |function: &Function| {
            let all = self.logic.inputs.iter();
            let may = |input: &Name| self.logic.input(input).map(|var| depends(function, var));
            all.filter(|input| may(input).is_some_and(|answer| !answer.is_no())).collect()
        };
        let outputs = self.logic.outputs.iter();
        outputs
            .zip(self.solved.unwired_outputs().iter())
            .map(|(name, function)| (name, inputs(function)))
            .collect()
    }

    /// A service as it would be with some inputs free, everything else as wired and set.
    pub fn service_with_free(&self, service: &str, inputs: &[&str]) -> Option<Function> {
        let free: Vec<Var> = inputs.iter().filter_map(|input| self.logic.input(input)).collect();
        Some(value(&self.solved.with_free(&free), self.logic.service_var(service)?))
    }

    /// Intervals of the period with their kinds of moments, in order.
    pub fn course(&self) -> impl Iterator<Item = (Gap, &Moment)> {
        self.course.intervals().filter_map(|(stretch, kind)| Some((stretch, self.moments().get(kind)?)))
    }
}

/// Whether a function depends on an input of the type.
fn depends(function: &Function, input: Var) -> Answer {
    variables::of_type(input).map_or(Answer::Unknown, |var| function.depends_on(var))
}
