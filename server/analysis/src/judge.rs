//! The verdicts on a unit's services: proofs over every kind of moment.

use crate::proof::moment::Moment;
use crate::unit::UnitAnalysis;
use crate::verdict::{Gap, ServiceVerdict, Verdict, Verdicts, longest};
use crate::words::circumstance;
use logic::{
    Answer, Cube, Function, Literal, SearchLimits, SearchResult, Var, blocking_sets, prime_implicants,
};
use model::Mode;
use model::Name;
use std::sync::Arc;

/// So many sets of what blocks a service at a moment are listed: nobody reads more.
const MOST_SETS: usize = 12;

impl UnitAnalysis<'_> {
    /// The verdicts on all services.
    pub fn verdicts(&self) -> Verdicts {
        let services = self.services().iter().map(|(name, _)| self.verdict(name)).collect();
        Verdicts { services, period_hours: self.period.hours() }
    }

    /// The verdict on one service over the period.
    pub fn verdict(&self, service: &Name) -> ServiceVerdict {
        let each = self.each(service);
        let gaps = self.gaps_of(&each);
        let verdict = if each.contains(&Verdict::NotProven) {
            Verdict::NotProven
        } else if each.iter().all(|v| *v == Verdict::Never) {
            Verdict::Never
        } else if each.iter().all(|v| *v == Verdict::Always) {
            Verdict::Always
        } else {
            Verdict::Conditional
        };
        let (unless, cut_short) =
            if verdict == Verdict::Conditional { self.unless(service, &each) } else { (Vec::new(), false) };
        let hours = self.moments().iter().zip(each.iter()).filter(|(_, v)| **v != Verdict::Never);
        ServiceVerdict {
            service: service.clone(),
            verdict,
            // Not `sum`, which makes -0 of nothing.
            hours: gaps.as_ref().map(|_| hours.fold(0.0, |sum, (m, _)| sum + self.hours(m))),
            gaps: gaps.as_ref().map(Vec::len),
            longest_gap: gaps.as_deref().and_then(longest),
            unless,
            cut_short,
        }
    }

    /// The verdict on a service at one kind of moment.
    pub fn verdict_at(&self, service: &str, moment: &Moment) -> Verdict {
        let Some(function) = self.service(service) else {
            return Verdict::Never;
        };
        let judged = || judge(function, &self.demand(service), moment);
        self.told(self.solved.budget.each(judged))
    }

    fn told(&self, verdict: Verdict) -> Verdict {
        let _ = self.heard(if verdict == Verdict::NotProven { Answer::Unknown } else { Answer::Yes });
        verdict
    }

    /// The verdict on a service at each kind of moment.
    fn each(&self, service: &str) -> Arc<[Verdict]> {
        let Some((number, function)) = self.numbered(service) else {
            return self.moments().iter().map(|_| Verdict::Never).collect();
        };
        let each: Arc<[Verdict]> = self.solved.verdicts.of(&number, || {
            self.solved.budget.each(|| {
                let demand = self.demand(service);
                self.moments().iter().map(|m| judge(function, &demand, m)).collect()
            })
        });
        for verdict in each.iter() {
            let _ = self.told(*verdict);
        }
        each
    }

    /// A service of the type with its number.
    fn numbered(&self, service: &str) -> Option<(usize, &Function)> {
        let services = self.services().iter().enumerate();
        services.into_iter().find(|(_, (name, _))| name == service).map(|(n, (_, function))| (n, function))
    }

    /// The stretches of time in which a service cannot run; nothing where that is not proven.
    pub fn gaps(&self, service: impl AsRef<str>) -> Option<Vec<Gap>> {
        self.gaps_of(&self.each(service.as_ref()))
    }

    fn gaps_of(&self, each: &[Verdict]) -> Option<Vec<Gap>> {
        let mut gaps: Vec<Gap> = Vec::new();
        if each.contains(&Verdict::NotProven) {
            return None;
        }
        if !each.contains(&Verdict::Never) {
            return Some(gaps);
        }
        for (stretch, kind) in self.course.intervals() {
            if each.get(kind) == Some(&Verdict::Never) {
                match gaps.last_mut() {
                    Some(last) if last.to == stretch.from => last.to = stretch.to,
                    _ => gaps.push(stretch),
                }
            }
        }
        Some(gaps)
    }

    /// What blocks a service in the moments in which it can run, in words, and whether there is more of it.
    fn unless(&self, service: &str, each: &[Verdict]) -> (Vec<String>, bool) {
        let mut sets: Vec<(Cube, Vec<Option<Mode>>)> = Vec::new();
        let mut cut_short = false;
        for (moment, _) in self.moments().iter().zip(each).filter(|(_, v)| **v == Verdict::Conditional) {
            let Some(found) = self.blocking(service, moment) else { continue };
            cut_short |= !found.complete;
            for cube in &found.items {
                match sets.iter_mut().find(|(known, _)| known == cube) {
                    Some((_, modes)) => modes.push(moment.mode),
                    None => sets.push((cube.clone(), vec![moment.mode])),
                }
            }
        }
        // Stable, so that of equals those of the earlier moment stay first.
        sets.sort_by_key(|(cube, _)| cube.literals().len());
        let can = |mode| self.moments().iter().zip(each).any(|(m, v)| m.mode == mode && *v != Verdict::Never);
        let both = can(Some(Mode::Occupied)) && can(Some(Mode::Unoccupied));
        let mut told: Vec<String> = Vec::new();
        let words = sets.iter().map(|(cube, modes)| {
            let only = |mode| modes.iter().all(|m| *m == Some(mode));
            let suffix = match (both, only(Mode::Occupied), only(Mode::Unoccupied)) {
                (true, true, _) => " while occupied",
                (true, _, true) => " while unoccupied",
                _ => "",
            };
            self.cube_words(cube) + suffix
        });
        // Choices that could not be read have the same words.
        for words in words {
            if !told.contains(&words) {
                told.push(words);
            }
        }
        (told, cut_short)
    }

    /// What blocks a service at one kind of moment, in words, the smallest sets first, and whether there is
    /// more of it.
    pub fn unless_at(&self, service: &str, moment: &Moment) -> (Vec<String>, bool) {
        let Some(found) = self.blocking(service, moment) else { return (Vec::new(), false) };
        let mut sets = found.items.clone();
        sets.sort_by_key(|cube| cube.literals().len());
        (sets.iter().map(|cube| self.cube_words(cube)).collect(), !found.complete)
    }

    /// The smallest sets of states in which a call for a service is not honoured.
    pub(crate) fn blocking(&self, service: &str, moment: &Moment) -> Option<Arc<SearchResult<Cube>>> {
        let (number, function) = self.numbered(service)?;
        Some(self.solved.blocking.of(&(number, moment.number), || {
            self.solved.budget.each(|| {
                let demand = self.demand(service).restrict_all(&moment.scheduled);
                let on = function.restrict_all(&moment.scheduled);
                let limits = SearchLimits { answers: MOST_SETS, ..SearchLimits::default() };
                Arc::new(blocking_sets(&demand, &on, &moment.allowed, limits))
            })
        }))
    }

    /// The fewest circumstances under which a function is on at a moment, in words; its names quoted; nothing where
    /// it is not proven that an allowed state turns it on.
    pub fn circumstances(&self, function: &Function, moment: &Moment) -> Option<String> {
        if !self.can_be_on_at(moment, function).is_yes() {
            return None;
        }
        let fewest = moment.fewest.of(function, || {
            let limits = SearchLimits { answers: 1, ..SearchLimits::default() };
            self.solved.budget.each(|| {
                let on = function.restrict_all(&moment.scheduled);
                prime_implicants(&on, &moment.allowed.not(), limits).items.into_iter().next()
            })
        });
        let Some(fewest) = fewest else { return Some("some of its calls and contacts".to_owned()) };
        let mut literals = fewest.literals().to_vec();
        // What is on makes the case; what is off comes after.
        literals.sort_by_key(|literal| !literal.value);
        Some(self.words(&literals, " and ", true))
    }

    /// A set of states as circumstances, joined by `with`; the empty one blocks whatever else holds.
    fn cube_words(&self, cube: &Cube) -> String {
        if cube.literals().is_empty() {
            return "it is called for".to_owned();
        }
        self.words(cube.literals(), " with ", false)
    }

    /// The option of the type that a variable is a choice of.
    fn option_of(&self, var: Var) -> Option<&Name> {
        let option = self.logic.option_of(crate::variables::in_type(var)?)?;
        self.unit_type.is.options.get(option).map(|option| &option.name.value)
    }

    fn words(&self, literals: &[Literal], join: &str, quoted: bool) -> String {
        let several_zones = self.wires.of_several_zones();
        let words = literals.iter().map(|literal| match self.wires.atom_of(literal.var) {
            Some(atom) => circumstance(atom, literal.value, several_zones, quoted),
            None => match self.option_of(literal.var) {
                Some(option) => format!("`{option}`, whose choice could not be read"),
                None => "something that could not be read".to_owned(),
            },
        });
        words.collect::<Vec<_>>().join(join)
    }
}

fn judge(service: &Function, demand: &Function, moment: &Moment) -> Verdict {
    let on = service.restrict_all(&moment.scheduled);
    match moment.allowed.and(&on).can_be_on() {
        Answer::No => return Verdict::Never,
        Answer::Unknown => return Verdict::NotProven,
        Answer::Yes => {}
    }
    let asked = moment.allowed.and(&demand.restrict_all(&moment.scheduled));
    match asked.implies(&on) {
        Answer::Yes => Verdict::Always,
        Answer::No => Verdict::Conditional,
        Answer::Unknown => Verdict::NotProven,
    }
}
