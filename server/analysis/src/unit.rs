//! One unit over all its states and the whole review period.

use crate::calls::{Mode, allowed, call_rules};
use crate::logic_of_type::TypeLogic;
use crate::memo::Memo;
use crate::signal::{Atom, Signal, Wires};
use crate::time::{TimedSchedule, period, timed};
use crate::verdict::{Gap, ServiceVerdict, Verdict, Verdicts};
use crate::words::circumstance;
use calendar::{Joint, Period, join};
use logic::{Cube, Function, Limits, Literal, Var, blocking_sets};
use model::{Found, Name, Schedule, Unit, UnitType, View, Zone};
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// A kind of moment: everything that time decides is the same throughout.
pub struct Moment {
    /// Hours of the period that are of this kind.
    pub hours: f64,
    /// The mode of the unit's own zone; nothing if its schedule cannot be found.
    pub mode: Option<Mode>,
    /// Which schedules are on.
    pub scheduled: Cube,
    /// The states the free atoms may take.
    pub allowed: Function,
}

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
    /// Outputs as wired and set, over the atoms.
    pub outputs: Vec<(Name, Function)>,
    /// Services as wired and set, over the atoms.
    pub services: Vec<(Name, Function)>,
    /// The kinds of moments there are.
    pub moments: Vec<Moment>,
    /// The review period.
    pub period: Arc<Period>,
    /// Intervals of the period, each with its kind of moment.
    course: Vec<(Gap, usize)>,
    /// The schedules behind it and its zones, expanded.
    pub schedules: Vec<(Name, Arc<TimedSchedule>)>,
    chosen: Vec<Option<usize>>,
}

/// The analysis of a unit; nothing when its type is unknown.
pub fn analyse<'j>(view: &View<'j>, memo: &Memo, unit: Found<'j, Unit>) -> Option<UnitAnalysis<'j>> {
    let unit_type: Found<'j, UnitType> = view.find(&unit.is.type_.as_ref()?.value)?;
    let logic = memo.type_logic(&unit_type.entry.facts)?;
    let mut wires = Wires::default();
    let signals: Vec<Signal> = logic.inputs.iter().map(|input| wires.input(view, unit, input)).collect();
    let chosen = choices(unit.is, unit_type.is);
    let functions: Vec<Function> = signals.iter().map(|s| Function::from_expr(&s.expr)).collect();
    let meaning = Meaning { logic: &logic, functions: &functions, chosen: &chosen, free: wires.atoms().len() as u16 };
    let outputs = logic.outputs.iter().map(|(n, e)| (n.clone(), meaning.of(e, None))).collect();
    let services = logic.services.iter().map(|(n, e)| (n.clone(), meaning.of(e, None))).collect();
    let zone = unit.is.zone.as_ref().and_then(|z| view.find(&z.value));
    let time = Time::of(view, memo, &wires, zone)?;
    Some(UnitAnalysis {
        unit,
        unit_type,
        zone,
        wires,
        signals,
        outputs,
        services,
        moments: time.moments,
        period: time.period,
        course: time.course,
        schedules: time.schedules,
        chosen,
        logic,
    })
}

/// The choice in force for each option of the type, by number; nothing where the unit names a
/// choice that there is not, so that it may be any.
fn choices(unit: &Unit, unit_type: &UnitType) -> Vec<Option<usize>> {
    let of = |option: &model::OptionDecl| {
        match unit.options.iter().find(|(name, _)| name.value == option.name.value) {
            Some((_, choice)) => option.choices.iter().position(|c| c.value == choice.value),
            None => Some(option.as_shipped),
        }
    };
    unit_type.options.iter().map(of).collect()
}

/// Turns expressions over inputs and choices into functions over atoms.
struct Meaning<'a> {
    logic: &'a TypeLogic,
    functions: &'a [Function],
    chosen: &'a [Option<usize>],
    /// First variable behind the atoms, for what is left open.
    free: u16,
}

impl Meaning<'_> {
    /// The function of `expr`; the input `open`, if any, is a variable of its own.
    fn of(&self, expr: &logic::Expr, open: Option<Var>) -> Function {
        Function::substituted(expr, |var| {
            if open == Some(var) {
                return Function::var(self.open(var));
            }
            if let Some(function) = self.functions.get(usize::from(var.0)) {
                return function.clone();
            }
            for (vars, chosen) in self.logic.choices.iter().zip(self.chosen) {
                if vars.contains(&var.0) {
                    return match chosen {
                        Some(chosen) => Function::constant(usize::from(var.0 - vars.start) == *chosen),
                        None => Function::var(self.open(var)),
                    };
                }
            }
            Function::var(self.open(var))
        })
    }

    fn open(&self, var: Var) -> Var {
        Var(self.free.saturating_add(var.0))
    }
}

/// The moments of the period.
struct Time {
    period: Arc<Period>,
    moments: Vec<Moment>,
    course: Vec<(Gap, usize)>,
    schedules: Vec<(Name, Arc<TimedSchedule>)>,
}

impl Time {
    fn of(view: &View<'_>, memo: &Memo, wires: &Wires, own: Option<Found<'_, Zone>>) -> Option<Time> {
        let period = period(view, memo)?;
        let mut schedules = Schedules { view, memo, names: Vec::new(), found: Vec::new() };
        // Which schedule decides which atom.
        let mut deciding = Vec::new();
        // Which calls belong to which zone.
        let mut zones: Vec<(Name, Vec<(&'static str, Var)>)> = Vec::new();
        for (i, atom) in wires.atoms().iter().enumerate() {
            let var = Var(i as u16);
            match atom {
                Atom::Schedule(name) => deciding.extend(schedules.number(name).map(|n| (n, var))),
                Atom::Call { zone, call } => match zones.iter_mut().find(|(z, _)| z == zone) {
                    Some((_, calls)) => calls.push((call, var)),
                    None => zones.push((zone.clone(), vec![(call, var)])),
                },
                _ => {}
            }
        }
        let calling: Vec<Calling> = zones
            .iter()
            .filter_map(|(name, calls)| Some(Calling::of(view, &mut schedules, view.find(name)?, calls)))
            .collect();
        let own = own.map(|zone| Hours::of(&mut schedules, zone));
        let timelines: Vec<_> = schedules.found.iter().map(|(_, timed)| &timed.timeline).collect();
        let joint = join(&timelines, &period);
        let (moments, course) = moments(&joint, |values| {
            let scheduled = deciding.iter().map(|(n, var)| Literal { var: *var, value: schedules.is_on(*n, values) });
            let mode = own.as_ref().map_or(Some(Mode::Occupied), |hours| hours.mode(&schedules, values));
            let allowed = Function::all(calling.iter().map(|c| c.allowed(&schedules, values)));
            Moment { hours: 0.0, mode, scheduled: Cube::new(scheduled).unwrap_or_default(), allowed }
        });
        Some(Time { period, moments, course, schedules: schedules.into_found() })
    }
}

/// Groups the intervals of the period by the values of its schedules.
fn moments(joint: &Joint, of: impl Fn(&[u16]) -> Moment) -> (Vec<Moment>, Vec<(Gap, usize)>) {
    let mut moments: Vec<Moment> = Vec::new();
    let mut kinds: FxHashMap<&[u16], usize> = FxHashMap::default();
    let mut course = Vec::with_capacity(joint.count());
    for interval in joint.intervals() {
        let kind = *kinds.entry(interval.values).or_insert_with(|| {
            moments.push(of(interval.values));
            moments.len() - 1
        });
        if let Some(moment) = moments.get_mut(kind) {
            moment.hours += interval.hours();
        }
        course.push((Gap { from: interval.from, to: interval.to }, kind));
    }
    (moments, course)
}

/// The schedules that matter to a unit, each expanded once.
struct Schedules<'v, 'j> {
    view: &'v View<'j>,
    memo: &'v Memo,
    names: Vec<Name>,
    found: Vec<(Found<'j, Schedule>, Arc<TimedSchedule>)>,
}

impl Schedules<'_, '_> {
    fn number(&mut self, name: &Name) -> Option<usize> {
        if let Some(n) = self.names.iter().position(|known| known == name) {
            return Some(n);
        }
        let schedule = self.view.find::<Schedule>(name)?;
        let timed = timed(self.view, self.memo, schedule)?;
        self.names.push(name.clone());
        self.found.push((schedule, timed));
        Some(self.found.len() - 1)
    }

    /// Whether schedule `n` is in a state that turns a relay on.
    fn is_on(&self, n: usize, values: &[u16]) -> bool {
        let state = values.get(n).and_then(|v| self.found.get(n)?.0.is.states.get(usize::from(*v)));
        state.is_some_and(model::schedule::State::is_on)
    }

    fn into_found(self) -> Vec<(Name, Arc<TimedSchedule>)> {
        self.names.into_iter().zip(self.found.into_iter().map(|(_, timed)| timed)).collect()
    }
}

/// When a zone is occupied.
enum Hours {
    /// Always: it has no schedule.
    Always,
    /// By the schedule of this number.
    Scheduled(usize),
    /// Its schedule cannot be found.
    Unknown,
}

impl Hours {
    fn of(schedules: &mut Schedules<'_, '_>, zone: Found<'_, Zone>) -> Hours {
        match &zone.is.schedule {
            None => Hours::Always,
            Some(name) => schedules.number(&name.value).map_or(Hours::Unknown, Hours::Scheduled),
        }
    }

    fn mode(&self, schedules: &Schedules<'_, '_>, values: &[u16]) -> Option<Mode> {
        match self {
            Hours::Always => Some(Mode::Occupied),
            Hours::Unknown => None,
            Hours::Scheduled(n) if schedules.is_on(*n, values) => Some(Mode::Occupied),
            Hours::Scheduled(_) => Some(Mode::Unoccupied),
        }
    }
}

/// A zone that calls, with what its calls may do in each mode.
struct Calling {
    hours: Hours,
    occupied: Function,
    unoccupied: Function,
}

impl Calling {
    fn of(view: &View<'_>, schedules: &mut Schedules<'_, '_>, zone: Found<'_, Zone>, calls: &[(&'static str, Var)]) -> Self {
        let rules = |mode| allowed(&call_rules(view, zone, mode), calls);
        // A zone that could not be read in full may have any limit.
        let open = zone.entry.facts.broken;
        let any = || Function::constant(true);
        Calling {
            hours: Hours::of(schedules, zone),
            occupied: if open { any() } else { rules(Mode::Occupied) },
            unoccupied: if open { any() } else { rules(Mode::Unoccupied) },
        }
    }

    fn allowed(&self, schedules: &Schedules<'_, '_>, values: &[u16]) -> Function {
        match self.hours.mode(schedules, values) {
            Some(Mode::Occupied) => self.occupied.clone(),
            Some(Mode::Unoccupied) => self.unoccupied.clone(),
            None => self.occupied.or(&self.unoccupied),
        }
    }
}

impl<'j> UnitAnalysis<'j> {
    /// Whether some allowed state at some moment turns a function of the atoms on.
    pub fn can_be_on(&self, function: &Function) -> bool {
        self.moments.iter().any(|m| possible(m, function))
    }

    /// A service of the type, as wired and set.
    pub fn service(&self, name: &str) -> Option<&Function> {
        self.services.iter().find(|(n, _)| n == name).map(|(_, f)| f)
    }

    /// The signal at an input.
    pub fn signal(&self, input: &str) -> Option<&Signal> {
        self.signals.iter().find(|s| s.input == input)
    }

    /// The choice in force for an option of the type; nothing if the unit's is none of them.
    pub fn choice(&self, option: &str) -> Option<&'j Name> {
        let i = self.unit_type.is.options.iter().position(|o| o.name.value == option)?;
        let decl = self.unit_type.is.options.get(i)?;
        decl.choices.get((*self.chosen.get(i)?)?).map(|c| &c.value)
    }

    /// What asks for a service: the signal of the input that takes its call. Services without a
    /// call of their own are always asked for.
    pub fn demand(&self, service: &str) -> Function {
        let inputs: &[&str] = match service {
            "dehumidification" => &["dehumidify"],
            "humidification" => &["humidify"],
            "cooling" => &["cool-1", "cool-2"],
            "heating" => &["heat-1", "heat-2"],
            _ => &[],
        };
        let signals: Vec<Function> = inputs
            .iter()
            .filter_map(|input| Some(Function::from_expr(&self.signal(input)?.expr)))
            .collect();
        if signals.is_empty() { Function::constant(true) } else { Function::any(signals) }
    }

    /// Whether an output or service depends on an input at any moment, everything else as wired
    /// and set.
    pub fn has_effect(&self, input: &str) -> bool {
        let Some(open) = self.logic.input(input) else { return true };
        let functions: Vec<Function> = self.signals.iter().map(|s| Function::from_expr(&s.expr)).collect();
        let meaning = self.meaning(&functions);
        let var = meaning.open(open);
        self.logic.outputs.iter().any(|(_, expr)| {
            if !expr.mentions().contains(&open) {
                return false;
            }
            let function = meaning.of(expr, Some(open));
            self.can_be_on(&function.restrict(var, true).xor(&function.restrict(var, false)))
        })
    }

    /// A service as it would be with one input free, everything else as wired and set.
    pub fn service_with_free(&self, service: &str, input: &str) -> Option<Function> {
        let open = self.logic.input(input)?;
        let (_, expr) = self.logic.services.iter().find(|(n, _)| n == service)?;
        let functions: Vec<Function> = self.signals.iter().map(|s| Function::from_expr(&s.expr)).collect();
        Some(self.meaning(&functions).of(expr, Some(open)))
    }

    fn meaning<'a>(&'a self, functions: &'a [Function]) -> Meaning<'a> {
        Meaning { logic: &self.logic, functions, chosen: &self.chosen, free: self.wires.atoms().len() as u16 }
    }

    /// The verdict on a service at one kind of moment.
    pub fn verdict_at(&self, service: &str, moment: &Moment) -> Verdict {
        let Some(function) = self.service(service) else { return Verdict::Never };
        let (on, asked) = (function.restrict_all(&moment.scheduled), self.asked(service, moment));
        if asked.and(&on).is_false() && moment.allowed.and(&on).is_false() {
            Verdict::Never
        } else if asked.implies(&on) {
            Verdict::Always
        } else {
            Verdict::Unless
        }
    }

    /// The allowed states of a moment in which a service is asked for.
    fn asked(&self, service: &str, moment: &Moment) -> Function {
        moment.allowed.and(&self.demand(service).restrict_all(&moment.scheduled))
    }

    /// The stretches of time in which a service cannot run.
    pub fn gaps(&self, service: &str) -> Vec<Gap> {
        let never: Vec<bool> =
            self.moments.iter().map(|m| self.verdict_at(service, m) == Verdict::Never).collect();
        let mut gaps: Vec<Gap> = Vec::new();
        for (stretch, kind) in &self.course {
            if never.get(*kind) == Some(&true) {
                match gaps.last_mut() {
                    Some(last) if last.to == stretch.from => last.to = stretch.to,
                    _ => gaps.push(*stretch),
                }
            }
        }
        gaps
    }

    /// Intervals of the period with their kinds of moments, in order.
    pub fn course(&self) -> impl Iterator<Item = (Gap, &Moment)> {
        self.course.iter().filter_map(|(stretch, kind)| Some((*stretch, self.moments.get(*kind)?)))
    }

    /// The verdicts on all services.
    pub fn verdicts(&self) -> Verdicts {
        let services = self.services.iter().map(|(name, _)| self.verdict(name)).collect();
        Verdicts { services, period_hours: self.period.hours() }
    }

    /// The verdict on one service over the period.
    pub fn verdict(&self, service: &Name) -> ServiceVerdict {
        let each: Vec<Verdict> = self.moments.iter().map(|m| self.verdict_at(service, m)).collect();
        let gaps = self.gaps(service);
        let mut longest: Option<Gap> = None;
        for gap in &gaps {
            if longest.is_none_or(|l| gap.to - gap.from > l.to - l.from) {
                longest = Some(*gap);
            }
        }
        let verdict = if each.iter().all(|v| *v == Verdict::Never) {
            Verdict::Never
        } else if each.iter().all(|v| *v == Verdict::Always) {
            Verdict::Always
        } else {
            Verdict::Unless
        };
        let hours = self.moments.iter().zip(&each).filter(|(_, v)| **v != Verdict::Never);
        ServiceVerdict {
            service: service.clone(),
            verdict,
            hours: hours.fold(0.0, |sum, (m, _)| sum + m.hours),
            gaps: gaps.len(),
            longest_gap: longest,
            unless: if verdict == Verdict::Unless { self.unless(service, &each) } else { Vec::new() },
        }
    }

    /// What blocks a service in the moments in which it can run, in words.
    fn unless(&self, service: &str, each: &[Verdict]) -> Vec<String> {
        let Some(function) = self.service(service) else { return Vec::new() };
        let demand = self.demand(service);
        let mut sets: Vec<(Cube, Vec<Option<Mode>>)> = Vec::new();
        for (moment, _) in self.moments.iter().zip(each).filter(|(_, v)| **v == Verdict::Unless) {
            let found = blocking_sets(
                &demand.restrict_all(&moment.scheduled),
                &function.restrict_all(&moment.scheduled),
                &moment.allowed,
                Limits { answers: 12, ..Limits::default() },
            );
            for cube in found.items {
                match sets.iter_mut().find(|(known, _)| *known == cube) {
                    Some((_, modes)) => modes.push(moment.mode),
                    None => sets.push((cube, vec![moment.mode])),
                }
            }
        }
        let can = |mode| self.moments.iter().zip(each).any(|(m, v)| m.mode == mode && *v != Verdict::Never);
        let both = can(Some(Mode::Occupied)) && can(Some(Mode::Unoccupied));
        sets.iter()
            .map(|(cube, modes)| {
                let only = |mode| modes.iter().all(|m| *m == Some(mode));
                let suffix = match (both, only(Mode::Occupied), only(Mode::Unoccupied)) {
                    (true, true, _) => " while occupied",
                    (true, _, true) => " while unoccupied",
                    _ => "",
                };
                self.cube_words(cube) + suffix
            })
            .collect()
    }

    /// A set of states as circumstances, joined by `with`.
    fn cube_words(&self, cube: &Cube) -> String {
        let words = cube.literals().iter().map(|literal| {
            match self.wires.atoms().get(usize::from(literal.var.0)) {
                Some(atom) => circumstance(atom, literal.value),
                None => "something that could not be read".to_owned(),
            }
        });
        words.collect::<Vec<_>>().join(" with ")
    }
}

/// Whether an allowed state of the moment turns a function on.
fn possible(moment: &Moment, function: &Function) -> bool {
    !moment.allowed.and(&function.restrict_all(&moment.scheduled)).is_false()
}
