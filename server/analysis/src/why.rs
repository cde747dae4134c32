//! Why something holds of a unit: a smallest useful set of the written facts that force it.
//!
//! A fact that is left open may be anything: an option any of its choices, a terminal or a point
//! on or off, a schedule occupied or not, a line of the logic on or off; a limit that is left open
//! rules nothing out. A set of facts is enough when what is claimed holds with all others open; in
//! the sets given here every fact is necessary.

use crate::calls::Mode;
use crate::circuit::{Circuit, Fact, Open, value};
use crate::constraint::About;
use crate::reasons::Because;
use crate::signal::Feed;
use crate::unit::{Moment, UnitAnalysis};
use logic::{BitSet, Function, Op, Var, minimal_core};
use model::Wiring;

/// A fact that is necessary for a claim.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Reason {
    /// What kind of fact it is.
    pub kind: ReasonKind,
    /// Where it is written, and what it says there.
    pub because: Vec<Because>,
}

/// Kinds of facts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ReasonKind {
    /// The choice made for an option.
    Option,
    /// The point that is wired to an input.
    Wiring,
    /// That an input is tied on or off, or to another.
    Tie,
    /// That nothing is wired to an input.
    NotWired,
    /// What drives a point.
    Source,
    /// That nothing drives a point.
    Undriven,
    /// When a schedule is occupied, or that a zone follows it.
    Schedule,
    /// That a mode sets no limit, so that this call is not made.
    NoLimit(&'static str),
    /// That no sensor can report what would begin this call.
    BeyondSensor(&'static str),
    /// That two limits keep calls apart.
    LimitsApart,
    /// A line of the type's logic.
    Logic,
}

impl ReasonKind {
    /// Whether a check of its own reports the fact, so that what follows from it alone need not
    /// be told again.
    pub fn reported_itself(self) -> bool {
        matches!(self, ReasonKind::NotWired | ReasonKind::Undriven | ReasonKind::BeyondSensor(_))
    }

    /// How gladly it is left out of a set: wiring and schedules are told before setpoints, since a
    /// contractor looks there first. Lines of the logic come between, since hardly a set does
    /// without any.
    fn weight(self) -> u32 {
        match self {
            ReasonKind::Option
            | ReasonKind::Wiring
            | ReasonKind::Tie
            | ReasonKind::NotWired
            | ReasonKind::Source
            | ReasonKind::Undriven
            | ReasonKind::Schedule => 1,
            ReasonKind::Logic => 2,
            ReasonKind::NoLimit(_) | ReasonKind::BeyondSensor(_) | ReasonKind::LimitsApart => 4,
        }
    }
}

/// Something that can be claimed of a unit.
#[derive(Clone, Copy, Debug)]
pub enum Claim<'n> {
    /// A service never runs.
    ServiceNever(&'n str),
    /// An output is never on.
    OutputNever(&'n str),
    /// An output is never off.
    OutputAlways(&'n str),
    /// An input is never on.
    InputNever(&'n str),
    /// No output changes with an input.
    InputWithoutEffect(&'n str),
    /// No output changes when one choice of an option is made instead of another, by their numbers.
    ChoicesAlike(&'n str, usize, usize),
}

impl UnitAnalysis<'_> {
    /// Whether a claim is proven for all moments that `at` picks.
    pub fn holds(&self, claim: Claim<'_>, at: impl Fn(&Moment) -> bool) -> bool {
        self.question(claim, &at).is_some_and(|question| question.holds(&|_| false))
    }

    /// The smallest useful set of facts that force a claim at the moments that `at` picks, in the
    /// order option, wiring, source, schedule, limit, logic; nothing if it does not hold.
    pub fn why(&self, claim: Claim<'_>, at: impl Fn(&Moment) -> bool) -> Option<Vec<Reason>> {
        let question = self.question(claim, &at)?;
        let facts = question.facts();
        let kinds: Vec<ReasonKind> = facts.iter().map(|f| self.kind(*f)).collect();
        let weights: Vec<u32> = kinds.iter().map(|k| k.weight()).collect();
        let enough = |kept: &BitSet| {
            let open: Open<'_> = &|fact| facts.iter().position(|f| *f == fact).is_some_and(|i| !kept.contains(i));
            question.holds(open)
        };
        let core = minimal_core(&weights, enough)?;
        let reason = |i: usize| Some(Reason { kind: *kinds.get(i)?, because: self.because(*facts.get(i)?) });
        Some(core.iter().filter_map(reason).collect())
    }

    fn question<'q>(&'q self, claim: Claim<'q>, at: &dyn Fn(&Moment) -> bool) -> Option<Question<'q>> {
        let looked_at = match claim {
            Claim::ServiceNever(service) => vec![self.logic.service_var(service)?],
            Claim::OutputNever(output) | Claim::OutputAlways(output) => vec![self.logic.var_of(output)?],
            Claim::InputNever(input) => vec![self.logic.input(input)?],
            Claim::InputWithoutEffect(_) | Claim::ChoicesAlike(..) => self.logic.output_vars.clone(),
        };
        let free = match claim {
            Claim::InputWithoutEffect(input) => Some(self.logic.input(input)?),
            _ => None,
        };
        let choices = match claim {
            Claim::ChoicesAlike(option, a, b) => {
                let n = self.unit_type.is.options.iter().position(|o| o.name.value == option)?;
                let with = |choice| {
                    let mut chosen = self.chosen.clone();
                    *chosen.get_mut(n)? = Some(choice);
                    Some(chosen)
                };
                Some((n, [with(a)?, with(b)?]))
            }
            _ => None,
        };
        let mut states: Vec<&[Option<bool>]> = Vec::new();
        for moment in self.moments.iter().filter(|m| at(m)) {
            if !states.contains(&moment.states.as_slice()) {
                states.push(&moment.states);
            }
        }
        Some(Question { analysis: self, claim, looked_at, free, choices, states })
    }

    fn kind(&self, fact: Fact) -> ReasonKind {
        match fact {
            Fact::Choice(_) => ReasonKind::Option,
            Fact::Wiring(i) => match self.signals.get(i).map(|s| &s.feed) {
                Some(Feed::Open) => ReasonKind::NotWired,
                _ if self.is_tied(i) => ReasonKind::Tie,
                _ => ReasonKind::Wiring,
            },
            Fact::Point(n) if self.wires.lines().get(n).is_some_and(|l| l.undriven) => ReasonKind::Undriven,
            Fact::Point(_) => ReasonKind::Source,
            Fact::Windows(_) | Fact::Follows(_) => ReasonKind::Schedule,
            Fact::Limit(z, mode, k) => match self.about(z, mode, k) {
                Some(About::NoLimit(call)) => ReasonKind::NoLimit(call),
                Some(About::Beyond(call)) => ReasonKind::BeyondSensor(call),
                Some(About::Apart(..)) | None => ReasonKind::LimitsApart,
            },
            Fact::Line(_) => ReasonKind::Logic,
        }
    }

    fn about(&self, zone: usize, mode: Mode, constraint: usize) -> Option<About> {
        let rules = self.followed.zones.get(zone)?.modes.iter().find(|m| m.mode == mode)?;
        rules.constraints.get(constraint).map(|c| c.about)
    }

    /// What a fact says, where it is written.
    fn because(&self, fact: Fact) -> Vec<Because> {
        match fact {
            Fact::Choice(option) => self.choice_because(option).into_iter().collect(),
            // A path begins at its terminal.
            Fact::Wiring(i) => self.signals.get(i).and_then(|s| s.path.first().cloned()).into_iter().collect(),
            Fact::Point(n) => self.wires.lines().get(n).and_then(|l| l.because.clone()).into_iter().collect(),
            Fact::Windows(n) => self.windows_because(n).into_iter().collect(),
            Fact::Follows(z) => self.follows_because(z).into_iter().collect(),
            Fact::Limit(z, mode, k) => {
                let (Some(calling), Some(about)) = (self.followed.zones.get(z), self.about(z, mode, k)) else { return Vec::new() };
                let rules = calling.modes.iter().find(|m| m.mode == mode);
                rules.map_or_else(Vec::new, |m| about.because(calling.zone, &m.rules, mode))
            }
            Fact::Line(n) => self.line_because(n).into_iter().collect(),
        }
    }

    fn choice_because(&self, option: usize) -> Option<Because> {
        let decl = self.unit_type.is.options.get(option)?;
        let choice = &decl.choices.get((*self.chosen.get(option)?)?)?.value;
        let name = &decl.name;
        Some(match self.unit.is.options.iter().find(|(n, _)| n.value == name.value) {
            Some((_, written)) => Because::new(self.unit.place(written.at), format!("`{}` is `{choice}`", name.value)),
            None => Because::new(self.unit_type.place(name.at), format!("`{}` is `{choice}` as shipped", name.value)),
        })
    }

    fn windows_because(&self, n: usize) -> Option<Because> {
        let schedule = self.followed.schedules.get(n)?;
        let kinds = self.course.kinds.iter();
        let occupied = kinds.filter(|k| k.values.get(n).and_then(|v| schedule.is_on(*v)) == Some(true));
        let occupied: f64 = occupied.map(|k| k.hours).sum();
        let all = self.period.hours();
        let text = if occupied == 0.0 {
            format!("schedule `{}` is not occupied at any hour of the review period", schedule.name)
        } else if occupied >= all {
            format!("schedule `{}` is occupied at every hour of the review period", schedule.name)
        } else {
            let (occupied, all) = (crate::hours_words(occupied), crate::hours_words(all));
            format!("schedule `{}` is occupied in {occupied} of {all}", schedule.name)
        };
        Some(Because::new(schedule.found.head(), text))
    }

    fn follows_because(&self, zone: usize) -> Option<Because> {
        let zone = self.followed.zones.get(zone)?.zone;
        let schedule = zone.is.schedule.as_ref()?;
        Some(Because::new(zone.place(schedule.at), format!("`{}` follows schedule `{}`", zone.name(), schedule.value)))
    }

    fn line_because(&self, n: usize) -> Option<Because> {
        let gate = self.logic.gates.get(n)?;
        let words = self.unit_type.entry.part.scalar(gate.at).unwrap_or("this");
        Some(Because::new(self.unit_type.place(gate.at), format!("`{}` is on when {words}", gate.name)))
    }

    fn is_tied(&self, input: usize) -> bool {
        let name = self.logic.inputs.get(input);
        let wiring = name.and_then(|name| self.unit.is.wiring(name)).map(|(_, w)| &w.value);
        matches!(wiring, Some(Wiring::Tied(_) | Wiring::TiedTo(_)))
    }

    /// Whether an input is left without a wire on purpose: `not-wired`, or tied off.
    pub fn left_out_on_purpose(&self, input: &str) -> bool {
        let wiring = self.unit.is.wiring(input).map(|(_, w)| &w.value);
        matches!(wiring, Some(Wiring::NotWired | Wiring::Tied(false)))
    }
}

/// A claim, ready to be put with some facts left open.
struct Question<'q> {
    analysis: &'q UnitAnalysis<'q>,
    claim: Claim<'q>,
    /// The variables of the type that the claim is about.
    looked_at: Vec<Var>,
    /// The input that is free because the claim is about it.
    free: Option<Var>,
    /// The option that the claim is about, and all choices with either of the two in force.
    choices: Option<(usize, [Vec<Option<usize>>; 2])>,
    /// States of the schedules at the moments it is about, each once.
    states: Vec<&'q [Option<bool>]>,
}

impl Question<'_> {
    /// Whether the claim is proven with some facts open.
    fn holds(&self, open: Open<'_>) -> bool {
        let free = self.free.map(|var| Fact::Wiring(usize::from(var.0)));
        let open: Open<'_> = &|fact| Some(fact) == free || open(fact);
        let circuit = self.analysis.circuit();
        let values = circuit.values(open);
        let at = |values: &[Function]| -> Vec<Function> { self.looked_at.iter().map(|var| value(values, *var)).collect() };
        let looked_at = at(&values);
        let against = match self.claim {
            Claim::ServiceNever(_) | Claim::OutputNever(_) | Claim::InputNever(_) => Function::any(looked_at),
            Claim::OutputAlways(_) => Function::all(looked_at).not(),
            Claim::InputWithoutEffect(_) => {
                let var = crate::variables::of_type(self.free.unwrap_or_default());
                crate::unit::difference(&looked_at, var)
            }
            Claim::ChoicesAlike(..) => {
                let Some((_, choices)) = &self.choices else { return false };
                let [a, b] = choices.each_ref().map(|chosen| at(&Circuit { chosen, ..circuit }.values(open)));
                Function::any(a.iter().zip(&b).map(|(a, b)| a.xor(b)))
            }
        };
        if against.is_false() {
            return true;
        }
        self.states.iter().all(|states| {
            let (scheduled, allowed) = circuit.moment(states, open);
            allowed.and(&against.restrict_all(&scheduled)).is_false()
        })
    }

    /// The facts that can have to do with it, in the order they are told.
    fn facts(&self) -> Vec<Fact> {
        let analysis = self.analysis;
        let logic = &analysis.logic;
        let (mut lines, mut inputs, mut options) = (Vec::new(), Vec::new(), Vec::new());
        let mut open = self.looked_at.clone();
        while let Some(var) = open.pop() {
            if let Some(line) = logic.gate_of(var) {
                if !lines.contains(&line) {
                    lines.push(line);
                    open.extend(logic.gates.get(line).into_iter().flat_map(|g| g.expr.mentions()));
                }
            } else if let Some(option) = logic.option_of(var) {
                options.push(option);
            } else if usize::from(var.0) < analysis.signals.len() {
                let input = usize::from(var.0);
                if !inputs.contains(&input) {
                    inputs.push(input);
                    if let Some(Feed::Tie(other)) = analysis.signals.get(input).map(|s| &s.feed) {
                        open.push(Var(*other as u16));
                    }
                }
            }
        }
        for list in [&mut lines, &mut inputs, &mut options] {
            list.sort_unstable();
            list.dedup();
        }
        inputs.retain(|input| self.free != Some(Var(*input as u16)));
        if let Some((option, _)) = &self.choices {
            options.retain(|other| other != option);
        }
        if self.free.is_some() || self.choices.is_some() {
            // An open line would cut off what is to come through.
            lines.clear();
        }
        let points = self.points(&inputs);
        let choices = options.into_iter().map(Fact::Choice);
        let limits = analysis.followed.zones.iter().enumerate().flat_map(|(z, calling)| {
            let modes = calling.modes.iter();
            modes.flat_map(move |m| (0..m.constraints.len()).map(move |k| Fact::Limit(z, m.mode, k)))
        });
        choices
            .chain(inputs.into_iter().map(Fact::Wiring))
            .chain(points.into_iter().map(Fact::Point))
            .chain((0..analysis.followed.schedules.len()).map(Fact::Windows))
            .chain((0..analysis.followed.zones.len()).map(Fact::Follows))
            .chain(limits)
            .chain(lines.into_iter().map(Fact::Line))
            .collect()
    }

    /// The points behind some inputs, the nearest first.
    fn points(&self, inputs: &[usize]) -> Vec<usize> {
        let lines = self.analysis.wires.lines();
        let mut wanted = vec![false; lines.len()];
        let want = |expr: &logic::Expr, wanted: &mut Vec<bool>| {
            for op in expr.ops() {
                if let Op::Var(var) = op
                    && let Some(slot) = crate::variables::point(*var).and_then(|n| wanted.get_mut(n))
                {
                    *slot = true;
                }
            }
        };
        for input in inputs {
            if let Some(Feed::Value(expr)) = self.analysis.signals.get(*input).map(|s| &s.feed) {
                want(expr, &mut wanted);
            }
        }
        // Each point comes after those it takes its value from.
        for n in (0..lines.len()).rev() {
            if wanted.get(n) == Some(&true)
                && let Some(line) = lines.get(n)
            {
                want(&line.near, &mut wanted);
            }
        }
        let known = |n: &usize| wanted.get(*n) == Some(&true) && lines.get(*n).is_some_and(|l| l.because.is_some());
        (0..lines.len()).rev().filter(known).collect()
    }
}
