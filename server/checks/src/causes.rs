//! Which finding follows from which: one cause is told once, with what follows from it below.
//!
//! It orders what is shown and decides nothing: each finding keeps its name, its place and how bad it is.

use crate::check::Finding;
use model::{EntryId, Found, Job, Kind, Name, Point, Source, Unit, View, Wiring};
use rustc_hash::{FxHashMap, FxHashSet};
use syntax::NodeId;

/// Checks by how near to what is written they are. A finding follows only from one of a row above its own, so that no
/// two follow from each other.
const DEPTHS: [&[&str]; 7] = [
    &[
        "syntax-error",
        "too-large",
        "key-unknown",
        "key-missing",
        "wrong-value",
        "unit-of-measure-missing",
        "name-unknown",
        "terminal-unknown",
        "import-unreadable",
        "import-outside-job",
        "window-ends-before-start",
    ],
    &[
        "duplicate-name",
        "duplicate-object",
        "duplicate-device-instance",
        "instance-out-of-range",
        "point-undriven",
        "input-not-wired",
        "override-left-on",
        "competing-commands",
        "inverted-twice",
        "wrong-object-type",
        "wrong-units",
        "units-missing",
        "wrong-range",
        "windows-overlap",
        "schedule-outside-period",
        "exception-never-applies",
        "exceptions-collide",
        "wrong-schedule-values",
        "setpoints-crossed",
        "setpoint-outside-range",
        "humidity-limit-implausible",
    ],
    &[
        "occupancy-never-asserts",
        "occupancy-always-asserts",
        "occupancy-disagrees",
        "humidity-limit-unreachable",
    ],
    &[
        "dehumidification-call-never-made",
        "stage-never-reached",
        "option-defeated-by-wiring",
        "unit-logic-unsafe",
        "humidify-and-dehumidify-together",
    ],
    &[
        "dehumidification-never-runs",
        "heating-and-cooling-together",
        "reheat-never-enabled",
        "reheat-without-cooling",
        "dehumidification-without-reheat",
        "not-proven",
    ],
    &["dehumidification-gap", "dehumidification-yields-to-heating", "fan-runs-on"],
    &[
        "output-never-on",
        "output-always-on",
        "option-without-effect",
        "input-without-effect",
        "schedule-drives-nothing",
        "point-unused",
        "indoor-dew-point-high",
        "predicted-too-humid",
        "predicted-mold",
    ],
];

/// The depth of what is in no row: it neither explains what is read nor follows from how a unit runs.
const ELSEWHERE: usize = 3;

fn depth(check: &str) -> usize {
    DEPTHS.iter().position(|row| row.contains(&check)).unwrap_or(ELSEWHERE)
}

/// A place that a finding or a reason of one marks.
type Mark = (EntryId, NodeId);

/// For each finding of a job, in the order of files and lines, the number of that from which it follows.
pub fn causes(job: &Job, findings: &[(EntryId, &Finding)]) -> Vec<Option<usize>> {
    let all = All::of(job, findings);
    let mut causes: Vec<Option<usize>> = (0..findings.len()).map(|n| all.cause(n)).collect();
    all.unused_points(&mut causes);
    break_circles(&mut causes);
    causes
}

/// Of a circle one is a cause: pairs and lines that are alike go by order and not by depth.
fn break_circles(causes: &mut [Option<usize>]) {
    for n in 0..causes.len() {
        let (mut at, mut steps) = (n, 0);
        while let Some(next) = causes.get(at).copied().flatten() {
            (at, steps) = (next, steps + 1);
            if at == n || steps > MOST_STEPS {
                if let Some(cause) = causes.get_mut(n) {
                    *cause = None;
                }
                break;
            }
        }
    }
}

/// No chain of causes is longer: it would lie on a circle.
const MOST_STEPS: usize = 100;

struct All<'a> {
    job: &'a Job,
    findings: &'a [(EntryId, &'a Finding)],
    /// What stands at a mark, and in an entry.
    at: FxHashMap<Mark, Vec<usize>>,
    within: FxHashMap<EntryId, Vec<usize>>,
    /// The lines of the job that force it.
    facts: Vec<Vec<Mark>>,
}

impl<'a> All<'a> {
    fn of(job: &'a Job, findings: &'a [(EntryId, &'a Finding)]) -> All<'a> {
        let (mut at, mut within): (FxHashMap<Mark, Vec<usize>>, FxHashMap<EntryId, Vec<usize>>) =
            Default::default();
        let mut facts = Vec::with_capacity(findings.len());
        let view = View::new(job);
        for (n, (entry, finding)) in findings.iter().enumerate() {
            if let Some(node) = finding.spot.node() {
                at.entry((*entry, node)).or_default().push(n);
            }
            within.entry(*entry).or_default().push(n);
            let written = finding.because.iter().filter_map(|because| {
                let of_job = !view.built_in(job.entry(because.place.entry)?);
                Some((because.place.entry, because.place.spot.node()?)).filter(|_| of_job)
            });
            facts.push(written.collect());
        }
        All { job, findings, at, within, facts }
    }

    fn depth(&self, n: usize) -> usize {
        self.findings.get(n).map_or(ELSEWHERE, |(_, finding)| depth(finding.check.id))
    }

    /// The nearest of some findings above another; of equal ones the first.
    fn nearest(&self, n: usize, of: impl Iterator<Item = usize>) -> Option<usize> {
        let own = self.depth(n);
        of.filter(|other| self.depth(*other) < own)
            .max_by_key(|other| (self.depth(*other), usize::MAX - other))
    }

    fn cause(&self, n: usize) -> Option<usize> {
        let (entry, finding) = self.findings.get(n)?;
        let facts = self.facts.get(n)?;
        let here = finding.spot.node().map(|node| (*entry, node));
        // What marks an entry's name may be about any of it.
        let head = self.job.entry(*entry)?.part.key_node();
        let whole = finding.spot.node() == Some(head);
        let at = |mark: &Mark| self.at.get(mark).into_iter().flatten().copied();
        // What is wrong with a line that it names, or with its own.
        self.nearest(n, facts.iter().flat_map(at))
            .or_else(|| {
                self.nearest(n, here.iter().flat_map(at).filter(|other| !whole || self.depth(*other) == 0))
            })
            .or_else(|| self.alike(n, *entry))
            .or_else(|| self.pair(n, here?))
    }

    /// Two that are wrong by each other are told at the later place.
    fn pair(&self, n: usize, here: Mark) -> Option<usize> {
        let check = self.findings.get(n)?.1.check.id;
        let others = self.facts.get(n)?.iter().filter_map(|mark| self.at.get(mark)).flatten().copied();
        let mutual = others.filter(|other| {
            *other > n
                && self.findings.get(*other).is_some_and(|(_, finding)| finding.check.id == check)
                && self.facts.get(*other).is_some_and(|facts| facts.contains(&here))
        });
        mutual.max()
    }

    /// What the same lines force in the same entry: they are told of the first.
    fn alike(&self, n: usize, entry: EntryId) -> Option<usize> {
        let (_, finding) = self.findings.get(n)?;
        let lines: FxHashSet<&Mark> = self.facts.get(n)?.iter().collect();
        // A long list of what is alike is told as a list.
        let others = self.within.get(&entry).filter(|others| !lines.is_empty() && others.len() <= 50)?;
        let same = others.iter().copied().filter(|other| {
            self.facts.get(*other).is_some_and(|facts| facts.iter().collect::<FxHashSet<_>>() == lines)
        });
        let same: Vec<usize> = same.collect();
        let first = same.iter().copied().find(|other| {
            *other < n && self.findings.get(*other).is_some_and(|(_, f)| f.check.id == finding.check.id)
        });
        self.nearest(n, same.iter().copied()).or(first)
    }

    /// A point that nothing reads follows from what is wrong where it would be read.
    fn unused_points(&self, causes: &mut [Option<usize>]) {
        let is_open = |n: usize| causes.get(n).is_some_and(Option::is_none);
        let unused: Vec<(usize, EntryId)> = (0..)
            .zip(self.findings)
            .filter(|(n, (_, finding))| finding.check.id == "point-unused" && is_open(*n))
            .map(|(n, (entry, _))| (n, *entry))
            .collect();
        if unused.is_empty() {
            return;
        }
        let misspelt = self.misspelt();
        let view = View::new(self.job);
        let units: FxHashMap<String, Found<'_, Unit>> =
            view.all::<Unit>().into_iter().map(|unit| (letters(unit.name()), unit)).collect();
        for (n, entry) in unused {
            let Some(point) = view.as_found::<Point>(entry) else { continue };
            let cause = misspelt.get(&Name::new(point.name())).copied();
            let cause = cause.or_else(|| self.at_unit(&units, point));
            if let Some(slot) = causes.get_mut(n) {
                *slot = cause;
            }
        }
    }

    /// Points that an unknown name may mean, each with the finding of that name.
    fn misspelt(&self) -> FxHashMap<Name, usize> {
        /// Of so many unknown names, whole lists are missing.
        const MOST: usize = 1_000;
        let unknown =
            (0..).zip(self.findings).filter_map(|(n, (_, finding))| Some((n, finding.missing.as_ref()?)));
        let points = unknown.filter(|(_, (kind, _))| *kind == Kind::Point).take(MOST);
        let near = points
            .flat_map(|(n, (kind, name))| self.job.near(*kind, name).into_iter().map(move |near| (near, n)));
        let mut found = FxHashMap::default();
        near.for_each(|(name, n)| {
            found.entry(name).or_insert(n);
        });
        found
    }

    /// What is found of the input at which a point named after a unit would be wired: `HP3-HEAT2` at `heat-2` of `HP-3`.
    fn at_unit(&self, units: &FxHashMap<String, Found<'_, Unit>>, point: Found<'_, Point>) -> Option<usize> {
        let (prefix, rest) = point.name().split_once('-')?;
        let unit = units.get(&letters(prefix))?;
        let call = point.is.drivers.iter().find_map(|driver| match &driver.source {
            Some(Source::Call { call, .. }) => Some(call.value.name()),
            _ => None,
        });
        let word = rest.to_lowercase();
        let meant = |input: &str| Some(input) == call || word.len() > 2 && input.contains(&word);
        let open = unit
            .is
            .inputs
            .iter()
            .filter(|(_, wiring)| matches!(wiring.value, Wiring::Tied(_) | Wiring::NotWired));
        let at = open.filter(|(input, _)| meant(&input.value)).map(|(_, wiring)| (unit.id, wiring.at));
        let marks: FxHashSet<Mark> = at.collect();
        let marked = self.within.get(&unit.id)?.iter().copied().filter(|n| {
            let here =
                self.findings.get(*n).and_then(|(entry, finding)| Some((*entry, finding.spot.node()?)));
            let facts = self.facts.get(*n).into_iter().flatten().copied();
            here.into_iter().chain(facts).any(|mark| marks.contains(&mark))
        });
        marked.min_by_key(|n| self.depth(*n))
    }
}

/// The letters and digits of a name, without regard to case.
fn letters(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_uppercase).collect()
}

#[cfg(test)]
mod tests {
    use super::DEPTHS;

    #[test]
    fn rows_name_checks_once() {
        let all: Vec<&str> = DEPTHS.iter().flat_map(|row| row.iter().copied()).collect();
        assert!(all.iter().all(|id| crate::find(id).is_some()), "{all:?}");
        assert!(all.iter().all(|id| all.iter().filter(|other| *other == id).count() == 1));
    }
}
